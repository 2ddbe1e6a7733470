"""Orders are timed only where they may pay: what is foretold of one is never more than what it comes to."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.planner.problem import Problem
from proofbell.planner.search import Search
from proofbell.planner.solver import conflicts
from proofbell.planner.solver.partial_schedule import PartialSchedule
from tests.benchmarks import days
from tests.support.made import kitchens


@settings(max_examples=40)
@given(kitchens(), st.randoms(use_true_random=False))
def test_no_order_comes_out_cheaper_than_foretold(day: Problem, rng: random.Random) -> None:
    schedule = PartialSchedule(day)
    for _ in range(12):
        choices = conflicts.select_conflict(schedule)
        if not choices or any(schedule.decided(choice) for choice in choices):
            return
        here = schedule.save()
        for choice in choices:
            foretold = schedule.lower_bound(choice)
            schedule.decide(choice)
            schedule.optimise()
            assert schedule.cost() >= foretold - 1
            schedule.restore(here)
        schedule.decide(rng.choice(choices))
        schedule.optimise()


@pytest.mark.parametrize("number", [0, 2, 3, 6, 8, 9])
def test_where_no_dough_needs_the_cold_a_day_before_any_decision_costs_no_more_than_any_plan_of_it(number: int) -> None:
    problem = days.day(number, 4)

    assert PartialSchedule(problem).cost() <= Search(problem).best.cost.total + 1000
