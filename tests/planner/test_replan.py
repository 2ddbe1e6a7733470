"""Planning again keeps the order so far, takes in what is new, and lets go of what is gone."""

from __future__ import annotations

from dataclasses import replace

from proofbell.planner.problem import Chain, Problem
from proofbell.planner.repair.replan import carried_over, replan, shifted
from proofbell.planner.search import plan
from tests.benchmarks.kitchens import kitchen


def moved(chain: Chain, by_s: int) -> Chain:
    """The same wish on another clock."""
    ready_by_s = None if chain.ready_by_s is None else chain.ready_by_s + by_s
    return replace(chain, ready_by_s=ready_by_s, not_before_s=chain.not_before_s + by_s)


def test_nothing_new_moves_nothing() -> None:
    before = plan(kitchen(3, 4), 20)

    again = next(replan(before.problem, before))

    assert again.times == before.times


def test_another_origin_moves_every_moment_alike() -> None:
    before = plan(kitchen(3, 3), 10)
    hour_on = Problem(
        tuple(moved(chain, -3600) for chain in before.problem.chains), before.problem.capacity, now_s=-3600
    )

    again = next(replan(hour_on, before, shift_s=-3600))

    assert again.times == tuple(shifted(times, -3600) for times in before.times)


def test_a_bake_that_is_given_up_leaves_the_others_where_they_were_or_better() -> None:
    before = plan(kitchen(1, 5), 20)
    fewer = replace(before.problem, chains=before.problem.chains[1:])

    again = next(replan(fewer, before))

    assert again.feasible
    assert again.cost.total <= before.cost.total
    assert [times.letter for times in again] == [times.letter for times in before][1:]


def test_a_bake_that_comes_later_is_taken_in_at_once() -> None:
    day = kitchen(2, 6)
    before = plan(replace(day, chains=day.chains[:5]), 20)

    times = carried_over(day, before)
    again = next(replan(day, before))

    assert times[:5] == before.times
    assert again.feasible


def test_a_letter_that_another_bake_has_taken_over_keeps_no_times_of_the_old_one() -> None:
    day = kitchen(1, 3)
    before = plan(day, 10)
    other = replace(day.chains[0], name="another dough")

    times = carried_over(replace(day, chains=(other, *day.chains[1:])), before)

    assert times[0] != before.times[0]
    assert times[1:] == before.times[1:]


def test_a_bake_begun_without_a_plan_keeps_its_begin() -> None:
    day = kitchen(0, 3)
    before = plan(replace(day, chains=day.chains[:2]), 10)
    third = day.chains[2]
    begun = replace(third, steps=(replace(third.steps[0], begun_s=0), *third.steps[1:]))

    again = next(replan(replace(day, chains=(*day.chains[:2], begun)), before))

    assert again.of("C").begins_s[0] == 0
    assert again.feasible


def test_two_doughs_in_one_pair_of_hands_at_once_are_a_fact_and_no_fault_of_the_plan() -> None:
    day = kitchen(0, 3)
    now_s = 120
    begun = tuple(
        replace(chain, steps=(replace(chain.steps[0], begun_s=at), *chain.steps[1:]))
        for at, chain in enumerate(day.chains)
    )

    found = plan(replace(day, chains=begun, now_s=now_s), 6)

    assert [times.begins_s[0] for times in found] == [0, 1, 2]
    for chain, times in zip(begun, found, strict=True):
        assert times.ends_s[0] >= chain.steps[0].least_s
        assert list(times.begins_s) == sorted(times.begins_s)
