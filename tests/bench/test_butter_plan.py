"""A dough that is too warm for its butter: the plan reckons with its chill as the bench does, and asks for nothing."""

from __future__ import annotations

import pytest

from proofbell.bake.view import view
from proofbell.bench.plan.planning_problem import problem_of
from proofbell.bench.plan.proposals import proposals
from proofbell.bench.plan.timetable import timetable
from proofbell.kitchen.model import Kitchen
from proofbell.planner.search import plan
from tests.support.walking import KNOTS, at, later, read

TWO_MIN_US = 120_000_000


@pytest.mark.parametrize(("name", "minutes"), [(KNOTS, 3), (KNOTS, 50), (KNOTS, 60), ("regatta-brioche", 3)])
def test_the_plan_has_what_follows_when_the_bench_has_it(name: str, minutes: float) -> None:
    baking = later(read(at(name, "First proof"), 31.0), minutes)
    table = timetable(plan(problem_of([], Kitchen(), baking.now.wall_us, [baking.state])), baking.now.wall_us)
    index = baking.state.current or 0
    bench = next(each for each in view(baking.state, baking.now_s).spans if each.stage == index + 1)
    line = table.bakes[0].lines[index + 1]
    assert abs(line.begins_us - baking.state.wall_us(bench.begin_s)) < TWO_MIN_US
    assert proposals([baking.state], table, baking.now.wall_us) == ()
