"""A day that was begun by a plan stays as it was planned, in every window, until something moves it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

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
from proofbell.bench.plan.as_planned import hours_of, planned_times, plans_beside, wanted_as_planned
from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.bench.plan.timetable import BakeTimes, Timetable, timetable
from proofbell.kitchen.model import Kitchen
from proofbell.planner.plan import Plan
from proofbell.planner.repair.minimal_change import as_before, keeps_promises
from proofbell.planner.search import plan
from proofbell.planner.solver.branch_and_bound import never_stop
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
EVENING = (
    ("A", "breakwater-flatbread", 15),
    ("B", "regatta-brioche", 15),
    ("C", "lamplighter-loaf", 18),
    ("D", "boathook-baguettes", 19),
    ("E", "mooring-plait", 5),
    ("F", "quay-pan-loaf", 16),
    ("G", "tidemark-sourdough", 20),
    ("H", "harbour-knots", 16),
)
"""The same of a day before, with a night in which nobody works from 22:00 until 05:00; it is 17:20."""
NIGHT = ((OPENED_US + 280 * MINUTE_US, OPENED_US + 700 * MINUTE_US),)


@dataclass
class Day:
    """Doughs and a night; the plan of it, and all of them put on the bench by that."""

    doughs: tuple[tuple[str, str, int], ...]
    night: tuple[tuple[int, int], ...]
    paper: Timetable
    begun: tuple[BakeState, ...]

    def looked_at(self, states: Sequence[BakeState], us: int) -> Plan | None:
        """The plan that is looked for, as long as it keeps what was promised."""
        problem = problem_of((), KITCHEN, us, states, quiet=self.night)
        day = wanted_as_planned(problem, states, us)
        before = planned_times(day, states, us)
        found = as_before(day, before)
        if found is None or not keeps_promises(found, before):
            return None
        assert list(plans_beside(problem, states, us)(never_stop)) == [found], "nothing else is looked for"
        return found


def at(us: int) -> Stamp:
    return Stamp(us, us - OPENED_US + HOUR_US, "boot", 0)


def said(state: BakeState | None, intent: Intent, us: int) -> BakeState:
    decided = decide(state, intent, at(us))
    assert isinstance(decided, tuple), decided
    for event in decided:
        state = apply(state, event)
    assert state is not None
    return state


@pytest.fixture(scope="module", params=[(MORNING, ()), (EVENING, NIGHT)], ids=["a morning", "a night between"])
def day(request: pytest.FixtureRequest) -> Day:
    """All of it planned and put on the bench, as whoever begins a plan does."""
    doughs, night = request.param
    wishes = [Wish(letter, house(name), OPENED_US + hours * HOUR_US) for letter, name, hours in doughs]
    found = plan(problem_of(wishes, KITCHEN, OPENED_US, quiet=night), 60)
    assert found.feasible
    paper = timetable(found, OPENED_US)
    states = []
    for (letter, name, hours), times in zip(doughs, paper.bakes, strict=True):
        formula = house(name)
        batch, start_s = weigh_out(formula, KITCHEN).batch, (times.begins_us - OPENED_US) / 1e6
        weigh_s = (min(times.weighs)[0] - OPENED_US) / 1e6
        wished_s, plan_ = hours * 3600.0, hours_of(times)
        opening = intents.Open(letter, letter, formula, batch, KITCHEN, "0", start_s, wished_s, weigh_s, plan_)
        state = said(None, opening, OPENED_US)
        for agreement in agreed(Planned(letter, formula, batch, formula, KITCHEN), times):
            state = said(state, agreement, OPENED_US)
        states.append(state)
    return Day(doughs, night, paper, tuple(states))


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
def test_while_nothing_happens_the_day_is_that_of_the_paper_to_the_minute(day: Day, after_min: float) -> None:
    first_us = min(bake.hands_from_us for bake in day.paper.bakes)
    us = min(OPENED_US + round(after_min * MINUTE_US), first_us)

    found = day.looked_at(day.begun, us)

    assert found is not None
    assert max(off_min(day.paper, timetable(found, us)).values()) < 1.0


@pytest.mark.parametrize("weighed_s", [1.0, 30.0, 70.0, 200.0])
def test_while_the_first_dough_is_weighed_as_planned_nothing_moves(day: Day, weighed_s: float) -> None:
    us = min(bake.hands_from_us for bake in day.paper.bakes) + round(weighed_s * 1e6)

    found = day.looked_at(day.begun, us)

    assert found is not None
    assert max(off_min(day.paper, timetable(found, us)).values()) < 1.0


def test_what_was_planned_later_than_wished_is_late_no_more(day: Day) -> None:
    found = day.looked_at(day.begun, OPENED_US)

    assert found is not None
    assert found.cost.late_s < 300


@pytest.mark.parametrize("late_s", [14, 120])
def test_a_dough_that_begins_late_leaves_the_others_their_hours(day: Day, late_s: int) -> None:
    first = min(range(len(day.doughs)), key=lambda number: day.paper.bakes[number].begins_us)
    us = day.paper.bakes[first].begins_us + late_s * 1_000_000
    state = said(day.begun[first], intents.Begin(), us)
    states = [state if number == first else one for number, one in enumerate(day.begun)]

    found = day.looked_at(states, us)

    assert found is not None
    assert all(by < 6.0 for by in off_min(day.paper, timetable(found, us)).values())


def test_a_start_that_is_moved_takes_the_hours_of_its_plan_along(day: Day) -> None:
    state = day.begun[-1]
    assert state.start_s is not None
    us = OPENED_US + MINUTE_US

    moved = said(state, intents.PlanStart(state.start_s + 540.0), us)

    assert moved.as_planned == state.as_planned
    (times,) = planned_times(problem_of((), KITCHEN, us, [moved]), [moved], us)
    (before,) = planned_times(problem_of((), KITCHEN, us, [state]), [state], us)
    assert times.ready_s - before.ready_s == 600


def test_a_bake_of_before_has_no_hours_but_its_own(day: Day) -> None:
    (body,) = (event.body for event in day.begun[0].events if isinstance(event.body, StartPlanned))
    assert body.plan is not None
    old = replace(day.begun[0], as_planned=None)
    problem = problem_of((), KITCHEN, OPENED_US, [old])

    assert wanted_as_planned(problem, [old], OPENED_US) == problem
