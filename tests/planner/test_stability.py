"""A plan that runs keeps its order and its times, but for what has to move or is worth a word."""

from __future__ import annotations

import itertools
import random
from dataclasses import replace

import pytest

from proofbell.planner.plan import Plan
from proofbell.planner.problem import Capacity, Chain, Problem
from proofbell.planner.repair.replan import carried_over, replan
from proofbell.planner.repair.stability import minimal_repair, stabilised, worth_changing
from proofbell.planner.search import improve, plan
from tests.benchmarks import days, kitchens
from tests.support.made import MIN, baking, hands, later, proof
from tests.support.rules import broken


def begins(found: Plan, letter: str) -> dict[str, int]:
    """When each stage of one bake begins."""
    chain = found.problem.by_letter[letter]
    return dict(zip((step.name for step in chain.steps), found.of(letter).begins_s, strict=True))


def two_loaves() -> Plan:
    """Two loaves for one oven, both wanted at 300 min: A goes in first."""
    steps = (
        hands("Mix", 10), proof("First proof", 50, 60, 90), hands("Shape", 10), proof("Final proof", 40, 50, 80),
        baking(30, 220.0),
    )  # fmt: skip
    wishes = (("A", 260 * MIN), ("B", 300 * MIN))
    return plan(Problem(tuple(Chain(letter, steps, by_s) for letter, by_s in wishes), Capacity()), 30)


def test_a_proof_that_ends_within_what_the_plan_leaves_moves_no_other_dough() -> None:
    before = two_loaves()
    now_s = before.of("A").begins_s[1] + 10 * MIN
    longer = later(before, now_s, 1.05)

    again = next(replan(longer, before))

    assert broken(again) == []
    assert begins(again, "B") == begins(before, "B")


def test_a_minute_gained_is_not_worth_moving_and_a_quarter_of_an_hour_is() -> None:
    before = two_loaves()
    late = replace(before.cost, late_s=20 * MIN, total=before.cost.total + 60 * 20 * MIN)
    minute = replace(before.cost, late_s=19 * MIN, total=before.cost.total + 60 * 19 * MIN)

    assert not worth_changing(replace(before, cost=late), replace(before, cost=minute))
    assert worth_changing(replace(before, cost=late), before)
    assert not worth_changing(before, replace(before, cost=late))
    assert not worth_changing(before, replace(before, cost=replace(before.cost, violation_s=60)))
    assert worth_changing(replace(before, cost=replace(before.cost, violation_s=60)), replace(before, cost=late))


@pytest.mark.parametrize("number", range(6))
def test_what_keeps_still_is_as_sound_and_loses_nothing_that_anybody_would_notice(number: int) -> None:
    before = plan(kitchens.kitchen(number, 5), 12)
    rng = random.Random(number)
    now_s = round(rng.uniform(0.2, 0.7) * max(times.ready_s for times in before) / MIN) * MIN
    problem = kitchens.under_way(before.problem, before.times, now_s, rng)
    asked = itertools.count()
    found = list(improve(problem, before.times, lambda: next(asked) > 60))[-1]

    still = stabilised(found, before.times)

    assert broken(still) == []
    assert still.feasible == found.feasible
    assert not worth_changing(still, found)
    assert strays_s(still, before) <= strays_s(found, before)


def strays_s(found: Plan, before: Plan) -> int:
    """By how much what is still to begin has moved, all together."""
    return sum(
        abs(new_s - old_s)
        for chain, new, old in zip(found.problem.chains, found.times, before.times, strict=True)
        for step, new_s, old_s in zip(chain.steps, new.begins_s, old.begins_s, strict=True)
        if step.begun_s is None
    )


def test_each_plan_that_follows_is_worth_moving_for() -> None:
    before = plan(kitchens.kitchen(6, 7), 6)
    now_s = 140 * MIN
    problem = kitchens.under_way(before.problem, before.times, now_s, random.Random(3))
    asked = itertools.count()

    found = list(replan(problem, before, 0, lambda: next(asked) > 400))

    assert all(worth_changing(one, other) for one, other in itertools.pairwise(found))


@pytest.mark.parametrize(("number", "count"), [(11, 2), (6, 3), (13, 3), (13, 4)])
def test_what_takes_longer_puts_off_what_follows_in_the_order_so_far(number: int, count: int) -> None:
    before = plan(days.day(number, count), 10)
    rng = random.Random(number)
    first_s, last_s = min(times.begins_s[0] for times in before), max(times.ready_s for times in before)
    for _ in range(6):
        now_s = rng.randint(first_s // 60, last_s // 60 - 1) * 60
        problem = kitchens.under_way(before.problem, before.times, now_s, rng)

        again, _may_be_feasible = minimal_repair(problem, carried_over(problem, before))

        assert again is not None
        assert again.feasible
        assert broken(again) == []
