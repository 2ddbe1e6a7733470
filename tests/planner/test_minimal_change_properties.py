"""The plan that is told and asked by: whatever happens, it can be carried out, and it leaves alone what it can."""

from __future__ import annotations

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from proofbell.planner.plan import Plan
from proofbell.planner.problem import Problem
from proofbell.planner.repair.minimal_change import (
    lengths_kept,
    minimal_perturbation,
    prefer_stable,
    uncoordinated_times,
)
from proofbell.planner.search import plan
from tests.support.made import kitchens, later
from tests.support.rules import broken, unforgiven_s

modest = settings(max_examples=40)
SHARES = st.sampled_from((0.8, 0.9, 1.0, 1.1, 1.3))


def under_way(problem: Problem, share: float, part: float) -> Problem:
    """The day at some moment, with every timed length from then on another one."""
    before = plan(problem, 6)
    return later(before, round(part * max(times.ready_s for times in before)), share)


@modest
@given(kitchens(), SHARES, st.floats(0.05, 0.9))
def test_what_is_told_can_be_carried_out_and_leaves_the_past_alone(problem: Problem, share: float, part: float) -> None:
    now = under_way(problem, share, part)
    better = plan(now, 6)
    little = minimal_perturbation(now)

    for told in (little, prefer_stable(little, better), prefer_stable(None, better)):
        if told is not None and (told is not better or better.feasible):
            assert broken(told) == []
            assert unforgiven_s(told) == 0


@modest
@given(kitchens(), SHARES, st.floats(0.05, 0.9))
def test_a_day_in_which_nothing_clashes_stands_as_it_is_shown(problem: Problem, share: float, part: float) -> None:
    now = under_way(problem, share, part)
    shown = uncoordinated_times(now)
    by_time = all(c.ready_by_s is None or t.ready_s <= c.ready_by_s for c, t in zip(now.chains, shown, strict=True))
    as_is = Plan(now, shown, plan(now, 1).cost)
    assume(by_time and not broken(as_is) and not unforgiven_s(as_is))

    left = lengths_kept(now)

    assert left is not None
    assert left.times == shown


@modest
@given(kitchens(), SHARES, st.floats(0.05, 0.9))
def test_the_same_day_is_told_in_the_same_way(problem: Problem, share: float, part: float) -> None:
    now = under_way(problem, share, part)

    assert minimal_perturbation(now) == minimal_perturbation(now)
