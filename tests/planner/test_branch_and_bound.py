"""Orders are timed only where they may pay: what is foretold of one is never more than what it comes to."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.planner.problem import Problem
from proofbell.planner.search import Search
from proofbell.planner.solver import conflicts
from proofbell.planner.solver.network import HARD, SHIFT
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


@pytest.mark.parametrize("number", range(6))
def test_what_a_schedule_is_held_to_cost_is_never_more_than_what_it_costs(number: int) -> None:
    search = Search(days.day(number, 4))
    for _ in range(12):
        search.step()

    search.schedule.restore(search.best.snapshot)

    # An order that fits to the second costs next to nothing: 4,096 parts of 2**40 of a second, at HARD each.
    assert search.schedule.cost() <= search.best.cost.total + 20 * (HARD >> (SHIFT - 12))
