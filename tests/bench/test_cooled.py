"""Bread that has cooled stands until it is wanted: paper, table and bench have one moment at which it is ready."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.app.planning.by_plan import by_plan
from proofbell.app.planning.day_plan import Planned, agreed
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.board import board
from proofbell.bench.day_words import late_words
from proofbell.bench.paper.rows import sheet_rows
from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.bench.plan.timetable import Timetable, timetable
from proofbell.kitchen.model import Kitchen
from proofbell.planner.search import plan
from tests.support.bakes import house
from tests.support.decided import at, bake

SECOND_US = 1_000_000
HOUR_US = 3600 * SECOND_US
PAN = house("quay-pan-loaf")
"""It cools for two hours, and forgives from an hour and a half to twelve."""

QUIET = (6 * HOUR_US, 13 * HOUR_US)
WANTED_US = 14 * HOUR_US


def overnight() -> Timetable:
    asked = problem_of([Wish("A", PAN, WANTED_US)], Kitchen(), 0, quiet=[QUIET])
    return timetable(plan(asked, 20), 0)


def test_what_cools_in_the_night_is_ready_when_it_has_cooled_and_then_stands() -> None:
    table = overnight()
    (times,) = table.bakes
    cool = times.lines[-1]

    assert cool.seconds == 7200
    assert cool.stands_until_us == WANTED_US
    assert times.ready_us == cool.ends_us == table.ready_us < QUIET[1]
    assert late_words(times) == ", on time"
    (goes,) = (goes for row in sheet_rows(table, Kitchen()) for goes in row.goes if goes.ready)
    assert (goes.until_us, goes.stands_until_us) == (cool.ends_us, WANTED_US)


def test_wanted_later_than_it_may_stand_it_is_early_by_all_that_is_between() -> None:
    """Baked before the night and wanted long after it: twelve hours are the most that its card lets it stand."""
    asked = problem_of([Wish("A", PAN, 24 * HOUR_US)], Kitchen(), 0, quiet=[(6 * HOUR_US, 23 * HOUR_US)])
    (times,) = timetable(plan(asked, 20), 0).bakes

    assert (times.lines[-1].seconds, times.lines[-1].stands_until_us) == (7200, None)
    assert times.off_us(24 * HOUR_US) == times.ready_us - 24 * HOUR_US < -12 * HOUR_US


def test_the_bench_has_it_ready_at_the_same_moment() -> None:
    (times,) = overnight().bakes
    state = bake("A", PAN, start_in_s=times.begins_us / SECOND_US)
    shown = by_plan(board([state], at(0)), [state], {state.id: times})

    assert state.wall_us(shown.views[0].spans[-1].end_s) == pytest.approx(times.ready_us, abs=SECOND_US)


def test_no_plan_reckons_with_a_shorter_cooling_than_the_bench_will_ring_for() -> None:
    (wished,) = problem_of([Wish("A", PAN)], Kitchen(), 0).chains
    (live,) = problem_of((), Kitchen(), 0, [bake("A", PAN, start_in_s=600)]).chains

    assert wished.steps[-1].least_s == 90 * 60, "begun by a plan it is agreed to"
    assert live.steps[-1].least_s == 2 * 3600


def test_a_shorter_cooling_is_agreed_to_as_the_plan_begins_and_a_longer_one_is_not() -> None:
    (times,) = overnight().bakes
    planned = Planned("A", PAN, weigh_out(PAN, Kitchen()).batch, PAN, Kitchen())
    last = len(times.lines) - 1

    def cooled_for(seconds: int) -> list[float]:
        line = replace(times.lines[-1], ends_us=times.lines[-1].begins_us + seconds * SECOND_US)
        lines = (*times.lines[:-1], line)
        return [each.to_s for each in agreed(planned, replace(times, lines=lines)) if each.stage == last]

    assert cooled_for(100 * 60) == [6000]
    assert cooled_for(180 * 60) == []
