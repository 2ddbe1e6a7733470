"""Our planner held against OR-Tools CP-SAT, an exact constraint solver, on generated kitchens it can prove.

The solver's model is written from the aims in words (`tests.benchmarks.exact`); the benchmark `plan_gap` does the
same for days too crowded for a test.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.planner.plan import Plan
from proofbell.planner.problem import Capacity, Chain, Problem
from proofbell.planner.search import plan
from tests.benchmarks import days, exact
from tests.benchmarks.kitchens import kitchen
from tests.support.made import MIN, baking, hands, proof
from tests.support.rules import broken, unforgiven_s

SECONDS = 20.0
"""At most; each is proved in a small part of it. What is asserted holds for an unproved answer too."""

PROVABLE = [(0, 1), (3, 1), (0, 2), (1, 2), (3, 2), (0, 3), (4, 3), (6, 3), (7, 3), (8, 3), (10, 3), (2, 4)]


@pytest.mark.parametrize(("number", "bakes"), PROVABLE)
def test_ours_is_as_cheap_as_the_cheapest_plan_there_is(number: int, bakes: int) -> None:
    problem = kitchen(number, bakes)

    ours = plan(problem, 200)
    answer = exact.solve(problem, SECONDS)

    assert broken(ours) == []
    assert answer.times is not None
    assert answer.total is not None
    # The solver's own plan keeps the rules as well, and costs by our reckoning what it says.
    assert broken(Plan(problem, answer.times, answer.cost(problem))) == []
    assert answer.cost(problem).total == answer.total
    assert ours.feasible
    assert answer.bound <= ours.cost.total <= answer.total


TIGHT = (hands("Mix", 10), proof("Proof", 30, 30, 33), baking(30, 220.0))
"""A proof that hardly waits: two of them in one oven must begin half an hour apart."""


def crowd(bakes: int, latest_min: int) -> Problem:
    chains = tuple(Chain(letter, TIGHT, 90 * MIN, latest_s=latest_min * MIN) for letter in "ABC"[:bakes])
    return Problem(chains, Capacity(up_s_per_k=6.0, down_s_per_k=9.0))


@pytest.mark.parametrize(("bakes", "latest_min"), [(2, 101), (3, 132), (3, 131), (2, 100), (2, 99), (3, 130)])
def test_ours_finds_a_sound_plan_exactly_where_there_is_one(bakes: int, latest_min: int) -> None:
    problem = crowd(bakes, latest_min)

    ours = plan(problem, 200)
    answer = exact.solve(problem, SECONDS)

    assert broken(ours) == []
    assert answer.status in {"optimal", "infeasible"}
    assert ours.feasible == (answer.status == "optimal")
    assert unforgiven_s(ours) == ours.cost.violation_s
    # By hand: the first loaf is out after 10 + 30 + 30 = 70 min at the earliest, each other one 30 min later.
    assert ours.feasible == (latest_min >= 70 + 30 * (bakes - 1))


def test_the_least_lateness_of_three_loaves_in_one_oven_is_known_by_hand() -> None:
    """All wanted as the first one is ready at the earliest, after 70 min: the others are late by 30 and by 60 min."""
    chains = tuple(replace(chain, ready_by_s=70 * MIN, latest_s=None) for chain in crowd(3, 0).chains)

    ours = plan(replace(crowd(3, 0), chains=chains), 200)

    assert ours.cost.late_s == (30 + 60) * MIN


@pytest.mark.parametrize("number", [0, 1, 2, 3, 4, 5, 7, 9, 11, 13])
def test_one_dough_with_loads_nights_and_the_cold_costs_what_the_solver_proves(number: int) -> None:
    """Days as a small bakery has them; in one of these the dough cannot but wait too long."""
    day = days.day(number, 1)

    answer = exact.solve(day, 120.0, 1)
    found = plan(day, 100)

    assert answer.status == "optimal"
    assert found.proved
    assert found.cost.total == answer.cost(day).total
