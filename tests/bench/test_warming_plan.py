"""A dough in the fridge before its oven: plan, wall sheet and bench reckon with one take-out and one warming."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.advice.advise import advise
from proofbell.bake.prompts import prompts
from proofbell.bake.view import view
from proofbell.bench.paper.rows import sheet_rows
from proofbell.bench.plan.planning_problem import problem_of
from proofbell.bench.plan.proposals import proposals
from proofbell.bench.plan.timetable import Timetable, timetable
from proofbell.kitchen.model import Kitchen
from proofbell.planner.search import plan
from tests.support.bakes import house
from tests.support.baking import Baking
from tests.support.walking import LAMPLIGHTER, at, chilled, later

TEN_MIN_US = 600_000_000


def in_the_fridge(room_c: float = 21.0, read_c: float = 9.0) -> Baking:
    """A shaped dough whose card knows of no cold, for an hour in the fridge and read there."""
    made = house(LAMPLIGHTER)
    stages = tuple(replace(each, chill_instead=None) for each in made.stages)
    baking = later(chilled(at(replace(made, stages=stages), "Final proof", kitchen=Kitchen(room_c=room_c))), 50)
    baking.read(read_c)
    return baking


def planned(baking: Baking) -> Timetable:
    problem = problem_of([], Kitchen(), baking.now.wall_us, [baking.state])
    return timetable(plan(problem), baking.now.wall_us)


@pytest.mark.parametrize("minutes", [0, 180])
def test_the_plan_loads_the_oven_when_the_bench_does_and_asks_for_no_longer_proof(minutes: float) -> None:
    baking = later(in_the_fridge(), minutes)
    table = planned(baking)
    index = baking.state.current or 0
    bench = next(each for each in view(baking.state, baking.now_s).spans if each.stage == index + 1)
    line = table.bakes[0].lines[index + 1]
    assert abs(line.begins_us - baking.state.wall_us(bench.begin_s)) < TEN_MIN_US
    assert bench.begin_s > baking.now_s + 3600
    assert proposals([baking.state], table, baking.now.wall_us) == ()


def test_it_is_taken_out_once_on_the_sheet_and_at_the_moment_of_the_bench() -> None:
    baking = in_the_fridge()
    table = planned(baking)
    out = [row for row in sheet_rows(table, Kitchen()) if "take it out of the cold" in row.does]
    due_s = next(each.due_s for each in prompts(baking.state, now_s=baking.now_s) if each.over)
    assert [row.at_us for row in out] == [baking.state.wall_us(due_s)]


def test_out_of_the_fridge_the_plan_waits_for_the_warmth_and_takes_nothing_out_again() -> None:
    baking = later(in_the_fridge(), 60)
    baking.say(intents.Move("room"))
    table = planned(baking)
    index = baking.state.current or 0
    bench = next(each for each in view(baking.state, baking.now_s).spans if each.stage == index + 1)
    assert abs(table.bakes[0].lines[index + 1].begins_us - baking.state.wall_us(bench.begin_s)) < TEN_MIN_US
    assert not any("take it out of the cold" in row.does for row in sheet_rows(table, Kitchen()))


def test_what_is_said_of_loading_waits_until_the_dough_has_warmed() -> None:
    baking = later(in_the_fridge(), 180)
    seen = view(baking.state, baking.now_s)
    assert "take it out of the cold, let it warm" in seen.then
    assert seen.text == baking.state.stage(baking.state.current or 0).text
    assert "oven" not in seen.text


def test_a_dough_that_is_warm_enough_is_told_to_come_out_of_the_fridge_before_it_is_loaded() -> None:
    made = house(LAMPLIGHTER)
    stages = tuple(replace(each, chill_instead=None) for each in made.stages)
    baking = chilled(at(replace(made, stages=stages), "Final proof", minutes=10))
    assert view(baking.state, baking.now_s).then == "take it out of the cold, load the oven"


def test_a_dough_not_ready_in_the_fridge_is_told_to_rise_on_as_it_warms_for_the_oven() -> None:
    baking = later(in_the_fridge(room_c=10.0, read_c=4.5), 20)
    said = {each.situation: each.short for each in advise(baking.state, baking.now_s)}
    assert said["not ready at take-out"].endswith("let it rise on as it warms, and judge it before it is baked.")


def test_a_dough_that_does_the_rest_as_it_warms_is_not_told_to_be_behind() -> None:
    baking = later(in_the_fridge(), 20)
    assert "not ready at take-out" not in {each.situation for each in advise(baking.state, baking.now_s)}
    assert "the rest as it warms" in view(baking.state, baking.now_s).why
