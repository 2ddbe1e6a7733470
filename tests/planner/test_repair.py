"""After a change: an order that can still be kept is kept soundly, one that cannot is mended, and no hope is named."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, event, given, settings
from hypothesis import strategies as st

from proofbell.planner.plan import Plan, Times
from proofbell.planner.problem import Capacity, Chain, Problem, Step
from proofbell.planner.repair.repair import repaired, schedule_committed
from proofbell.planner.repair.replan import carried_over, replan
from proofbell.planner.repair.reversal import CriticalReversal, is_feasible
from proofbell.planner.repair.stability import minimal_repair, nearest_in_order
from proofbell.planner.search import Search, plan
from proofbell.planner.solver.branch_and_bound import BranchAndBound, SearchContext, Solution, reference_order
from proofbell.planner.solver.network import HARD
from proofbell.planner.solver.partial_schedule import PartialSchedule
from tests.benchmarks import exact, kitchens
from tests.support.made import baking, hands, later, proof
from tests.support.made import kitchens as small_kitchens
from tests.support.rules import broken, unforgiven_s

Moment = tuple[str, int, str]
Bound = tuple[Moment, Moment, int]
NOW = ("", 0, "now")


def own_bounds(problem: Problem) -> Iterator[Bound]:
    """What each bake asks of its own moments, as (one, other, other is at least so many seconds after one)."""
    now_s = problem.now_s
    for chain in problem.chains:
        before: Moment | None = None
        for at, step in enumerate(chain.steps):
            begin, end = (chain.letter, at, "begin"), (chain.letter, at, "end")
            most_s, wait_s = step.most_s, chain.steps[at - 1].wait_s
            if step.begun_s is not None:
                yield NOW, begin, step.begun_s - now_s
                yield begin, NOW, now_s - step.begun_s
                most_s = max(most_s, now_s - step.begun_s)
                if step.ended_s is None:
                    yield NOW, end, 0
            else:
                yield NOW, begin, 0 if at else max(0, chain.not_before_s - now_s)
                if before is not None:
                    ended_s = chain.steps[at - 1].ended_s
                    wait_s = wait_s if ended_s is None else max(wait_s, now_s - ended_s)
                    yield before, begin, 0
                    yield begin, before, -wait_s
            if step.ended_s is not None:
                yield NOW, end, step.ended_s - now_s
                yield end, NOW, now_s - step.ended_s
            else:
                yield begin, end, step.least_s
                yield end, begin, -most_s
            before = end
        if chain.latest_s is not None and before is not None and not chain.steps[-1].ended:
            yield before, NOW, now_s - chain.latest_s


def order_bounds(problem: Problem, times: tuple[Times, ...]) -> Iterator[Bound]:
    """What the order of one pair of hands and of one oven place adds."""
    hands: list[tuple[int, Moment, int, Moment, int]] = []
    oven: list[tuple[int, Moment, Moment, float, float]] = []
    for chain, moments in zip(problem.chains, times, strict=True):
        for at, step in enumerate(chain.steps):
            if step.ended_s is not None:
                continue
            begin, end = (chain.letter, at, "begin"), (chain.letter, at, "end")
            begins_s, ends_s = moments.begins_s[at], moments.ends_s[at]
            if step.hands_s is None:
                hands.append((begins_s, begin, 0, end, 0))
            elif step.hands_s and not (step.begun_s is not None and step.begun_s + step.hands_s <= problem.now_s):
                hands.append((begins_s, begin, 0, begin, step.hands_s))
            if step.hands_end_s:
                hands.append((ends_s - step.hands_end_s, end, -step.hands_end_s, end, 0))
            if step.heats:
                oven.append((begins_s, begin, end, step.heats[0].oven_c, step.heats[-1].oven_c))
                if step.begun_s is None:
                    yield NOW, begin, problem.capacity.change_s(problem.capacity.oven_c, step.heats[0].oven_c)
    for first, second in pairwise(sorted(hands)):
        yield first[3], second[1], first[4] - second[2]
    for one, other in pairwise(sorted(oven)):
        yield one[2], other[1], problem.capacity.change_s(one[4], other[3])


def can_be_kept(problem: Problem, times: tuple[Times, ...]) -> bool:
    """Whether the order of a timetable still works: no circle of bounds asks for more than there is.

    The longest ways by Bellman and Ford's method: they go on growing only where a circle does.
    """
    bounds = [*own_bounds(problem), *order_bounds(problem, times)]
    far_s = dict.fromkeys({moment for bound in bounds for moment in bound[:2]}, 0)
    for _ in range(len(far_s) + 1):
        grown = False
        for one, other, apart_s in bounds:
            if far_s[one] + apart_s > far_s[other]:
                far_s[other] = far_s[one] + apart_s
                grown = True
        if not grown:
            return True
    return False


def one_of_each(problem: Problem) -> bool:
    """One pair of hands and one oven place."""
    return problem.capacity.people == 1 and problem.capacity.trays == 1


@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(small_kitchens(most_each=1).filter(one_of_each), st.floats(0.1, 0.9), st.sampled_from((1.0, 1.1, 1.2, 1.5)))
def test_an_order_that_can_still_be_kept_gives_a_sound_plan_at_once(day: Problem, share: float, longer: float) -> None:
    before = plan(day, 6)
    if not before.feasible:
        return
    now_s = round(share * max(times.ready_s for times in before))
    problem = later(before, now_s, longer)
    kept = can_be_kept(problem, before.times)
    event(f"the order can be kept: {kept}")
    running = carried_over(problem, before)
    still = nearest_in_order(problem, running, running)
    assert still is None or (broken(still) == [] and unforgiven_s(still) == 0)

    again = next(replan(problem, before))

    assert broken(again) == []
    assert again.feasible or not kept


def a_morning(number: int, count: int, moment: int) -> tuple[Plan, Problem]:
    """A plan, and the same day later on when one thing has gone otherwise."""
    before = plan(kitchens.kitchen(number, count), 20)
    first_s, last_s = min(t.begins_s[0] for t in before), max(t.ready_s for t in before)
    rng = random.Random(number)
    for _ in range(moment + 1):
        now_s = rng.randint(first_s // 60, last_s // 60 - 1) * 60
        problem = kitchens.under_way(before.problem, before.times, now_s, rng)
    return before, problem


@pytest.mark.parametrize(("number", "count", "moment"), [(16, 6, 2), (18, 6, 0), (11, 7, 3), (17, 7, 1)])
def test_an_order_that_no_longer_works_is_mended_at_once(number: int, count: int, moment: int) -> None:
    before, problem = a_morning(number, count, moment)
    assert not can_be_kept(problem, before.times)
    running = carried_over(problem, before)
    assert nearest_in_order(problem, running, running) is None

    again = next(replan(problem, before))

    assert again.feasible
    assert broken(again) == []
    assert unforgiven_s(again) == 0


@pytest.mark.parametrize(("number", "count", "moment"), [(8, 6, 0), (15, 6, 0), (1, 7, 1), (13, 8, 1)])
def test_where_no_hope_is_seen_the_exact_solver_sees_none(number: int, count: int, moment: int) -> None:
    before, problem = a_morning(number, count, moment)

    assert schedule_committed(problem, before.times) == (None, True)
    assert minimal_repair(problem, carried_over(problem, before))[1] is False
    assert not Search(problem, before.times).may_be_feasible
    assert exact.solve(problem, 60.0, 2).status == "infeasible"


def test_hope_is_never_given_up_on_a_day_that_has_a_sound_plan() -> None:
    for number in range(6):
        before, problem = a_morning(number, 5, 1)
        answer = exact.solve(problem, 5.0, 2)
        assert answer.status in ("optimal", "feasible", "infeasible")

        assert minimal_repair(problem, carried_over(problem, before))[1] is (answer.times is not None)


@settings(max_examples=200, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(small_kitchens(), st.floats(0.05, 0.95), st.sampled_from((0.5, 1.2, 1.5, 2.0)))
def test_hope_is_given_up_only_where_the_exact_solver_finds_no_plan(day: Problem, share: float, longer: float) -> None:
    before = plan(day, 2)
    problem = later(before, round(share * max(times.ready_s for times in before)), longer)

    again, may_be_feasible = minimal_repair(problem, carried_over(problem, before))

    event("sound" if again is not None and again.feasible else f"may be feasible: {may_be_feasible}")
    if not may_be_feasible:
        assert exact.solve(problem, 60.0, 2).status == "infeasible"


def test_two_bakes_that_fit_into_the_oven_together_are_no_proof_of_either_order() -> None:
    """Found by the property above: that they fit was noted while more was looked at, and overwritten after it."""
    cool = Step("Cool", "cool", 300, 300, 900), Step("Cool", "cool", 840, 840, 1440)
    one = (hands("Mix", 1), proof("First", 10, 10, 10), hands("Shape", 1), proof("Final", 17, 17, 17), baking(10, 220))
    two = (hands("Mix", 1), proof("First", 10, 10, 10), hands("Shape", 9), proof("Final", 24, 24, 24), baking(26, 190))
    three = (hands("Mix", 11), proof("First", 34, 36, 36), hands("Shape", 14), proof("Final", 45, 52, 54))
    chains = (
        Chain("A", one, ready_by_s=2340, not_before_s=1200),
        Chain("B", (*two, cool[0]), ready_by_s=4680),
        Chain("C", (*three, baking(36, 190), cool[1]), ready_by_s=8760, not_before_s=1200),
        Chain("D", (hands("Mix", 4), proof("First", 39, 39, 39), baking(14, 190))),
    )
    day = Problem(chains, Capacity(trays=2, up_s_per_k=6.0, down_s_per_k=9.0))
    before = plan(day, 2)
    problem = later(before, round(0.625 * max(times.ready_s for times in before)), 0.5)
    assert exact.solve(problem, 5.0, 2).times is not None
    found, may_be_feasible = minimal_repair(problem, carried_over(problem, before))
    assert may_be_feasible
    assert found is not None
    assert found.feasible


def unsound(number: int, count: int, moment: int) -> tuple[PartialSchedule, Solution]:
    """A morning's order so far, where it keeps somebody too long; a sound one where it does not."""
    before, problem = a_morning(number, count, moment)
    schedule = PartialSchedule(problem)
    context = SearchContext(bound=HARD, reference=reference_order(schedule, before.times), decide_heating=False)
    found = BranchAndBound(schedule, context).run()
    assert found is not None
    return schedule, found


@pytest.mark.parametrize(
    ("number", "count", "moment"), [(7, 5, 1), (18, 5, 1), (8, 6, 0), (3, 6, 2), (12, 7, 3), (19, 7, 3)]
)
def test_turning_about_shows_no_hope_only_where_the_exact_solver_finds_no_plan(
    number: int, count: int, moment: int
) -> None:
    schedule, found = unsound(number, count, moment)
    reversal = CriticalReversal(schedule, found)

    reversal.run(40)

    assert reversal.proved_infeasible
    assert exact.solve(schedule.problem, 60.0, 2).status == "infeasible"


@pytest.mark.parametrize(
    ("number", "count", "moment"), [(11, 5, 3), (18, 6, 0), (16, 6, 2), (17, 7, 2), (19, 7, 2), (11, 7, 3)]
)
def test_turning_about_what_presses_mends_an_order(number: int, count: int, moment: int) -> None:
    schedule, found = unsound(number, count, moment)
    assert not is_feasible(found)
    reversal = CriticalReversal(schedule, found)

    reversal.run(20)

    assert not reversal.proved_infeasible
    again = Plan(schedule.problem, reversal.best.times, reversal.best.cost)
    assert broken(again) == []
    assert unforgiven_s(again) == 0


def test_where_turning_about_does_not_help_what_has_begun_goes_first_and_the_others_follow() -> None:
    schedule, found = unsound(15, 8, 0)

    after, may_be_feasible = repaired(schedule, found)

    assert may_be_feasible
    again = Plan(schedule.problem, after.times, after.cost)
    assert broken(again) == []
    assert unforgiven_s(again) == 0
