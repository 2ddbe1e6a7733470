"""A day that was begun by a plan stays as it was planned, in every window, until something moves it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from proofbell.app.planning.day_plan import Planned, agreed
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide
from proofbell.bake.events import StartPlanned
from proofbell.bake.fold import apply
from proofbell.bake.intents import Intent
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.plan.as_planned import hours_of, planned_times, wanted_as_planned
from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.bench.plan.timetable import BakeTimes, Timetable, timetable
from proofbell.kitchen.model import Kitchen
from proofbell.planner.plan import Plan
from proofbell.planner.repair.minimal_change import as_before, keeps_promises
from proofbell.planner.search import plan
from tests.support.bakes import house

MINUTE_US = 60_000_000
HOUR_US = 60 * MINUTE_US
OPENED_US = 1_772_960_400_000_000
KITCHEN = Kitchen()
MORNING = (
    ("A", "harbour-knots", 5),
    ("B", "quay-pan-loaf", 6),
    ("C", "harbour-knots", 5),
    ("D", "pilots-milk-buns", 5),
    ("E", "quay-pan-loaf", 6),
    ("F", "lantern-pittas", 5),
)
"""Letter, formula, and in how many hours it is wanted: with one oven of one place two of them cannot be on time."""


def at(us: int) -> Stamp:
    return Stamp(us, us - OPENED_US + HOUR_US, "boot", 0)


def said(state: BakeState | None, intent: Intent, us: int) -> BakeState:
    decided = decide(state, intent, at(us))
    assert isinstance(decided, tuple), decided
    for event in decided:
        state = apply(state, event)
    assert state is not None
    return state


@pytest.fixture(scope="module")
def paper() -> Timetable:
    wishes = [Wish(letter, house(name), OPENED_US + hours * HOUR_US) for letter, name, hours in MORNING]
    found = plan(problem_of(wishes, KITCHEN, OPENED_US), 60)
    assert found.feasible
    return timetable(found, OPENED_US)


@pytest.fixture(scope="module")
def begun(paper: Timetable) -> tuple[BakeState, ...]:
    """All of it put on the bench, as whoever begins a plan does."""
    states = []
    for (letter, name, hours), times in zip(MORNING, paper.bakes, strict=True):
        formula = house(name)
        batch, start_s = weigh_out(formula, KITCHEN).batch, (times.begins_us - OPENED_US) / 1e6
        weigh_s = (min(times.weighs)[0] - OPENED_US) / 1e6
        wished_s, plan_ = hours * 3600.0, hours_of(times)
        opening = intents.Open(letter, letter, formula, batch, KITCHEN, "0", start_s, wished_s, weigh_s, plan_)
        state = said(None, opening, OPENED_US)
        for agreement in agreed(Planned(letter, formula, batch, formula, KITCHEN), times):
            state = said(state, agreement, OPENED_US)
        states.append(state)
    return tuple(states)


def looked_at(states: Sequence[BakeState], us: int) -> Plan | None:
    day = wanted_as_planned(problem_of((), KITCHEN, us, states), states, us)
    return as_before(day, planned_times(day, states, us))


def hours(one: BakeTimes) -> list[int]:
    """When each stage begins; of a bake in loads each load."""
    return [us for line in one.lines for us in ([load.begins_us for load in line.loads] or [line.begins_us])]


def off_min(paper: Timetable, now: Timetable) -> dict[str, float]:
    """By how much the hour of any stage is off the paper, for each bake (min)."""
    return {
        one.letter: max(abs(a - b) for a, b in zip(hours(one), hours(was), strict=True)) / MINUTE_US
        for one, was in zip(now.bakes, paper.bakes, strict=True)
    }


@pytest.mark.parametrize("after_min", [0.0, 0.5, 3.0, 11.0])
def test_while_nothing_happens_the_day_is_that_of_the_paper_to_the_minute(
    paper: Timetable, begun: tuple[BakeState, ...], after_min: float
) -> None:
    first_us = min(bake.hands_from_us for bake in paper.bakes)
    us = min(OPENED_US + round(after_min * MINUTE_US), first_us)

    found = looked_at(begun, us)

    assert found is not None
    assert keeps_promises(found)
    assert max(off_min(paper, timetable(found, us)).values()) < 1.0


def test_a_bake_that_was_planned_later_than_wished_is_late_no_more(
    paper: Timetable, begun: tuple[BakeState, ...]
) -> None:
    late = [one.letter for one in paper.bakes if one.wanted_us is not None and one.ready_us > one.wanted_us]
    assert late, "or the morning says nothing"

    found = looked_at(begun, OPENED_US)

    assert found is not None
    assert found.cost.late_s < 60


def test_a_dough_that_begins_late_takes_its_hours_along_and_leaves_the_others_their_own(
    paper: Timetable, begun: tuple[BakeState, ...]
) -> None:
    first = min(range(len(MORNING)), key=lambda number: paper.bakes[number].begins_us)
    us = paper.bakes[first].begins_us + 2 * MINUTE_US
    state = said(begun[first], intents.Begin(), us)
    states = [state if number == first else one for number, one in enumerate(begun)]

    found = looked_at(states, us)

    assert found is not None
    assert all(by < 6.0 for by in off_min(paper, timetable(found, us)).values())


def test_a_start_that_is_moved_takes_the_hours_of_its_plan_along(begun: tuple[BakeState, ...]) -> None:
    state = begun[-1]
    assert state.start_s is not None
    us = OPENED_US + MINUTE_US

    moved = said(state, intents.PlanStart(state.start_s + 540.0), us)

    assert moved.as_planned == state.as_planned
    day = problem_of((), KITCHEN, us, [moved])
    (times,) = planned_times(day, [moved], us)
    (before,) = planned_times(problem_of((), KITCHEN, us, [state]), [state], us)
    assert times.ready_s - before.ready_s == 600


def test_a_plan_of_before_has_no_hours_and_each_bake_its_own(begun: tuple[BakeState, ...]) -> None:
    (body,) = (event.body for event in begun[0].events if isinstance(event.body, StartPlanned))
    assert body.plan is not None
    old = replace(begun[0], as_planned=None)
    day = problem_of((), KITCHEN, OPENED_US, [old])

    assert wanted_as_planned(day, [old], OPENED_US) == day
