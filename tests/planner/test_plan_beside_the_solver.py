"""Shared ovens, more hands and days under way, beside an exact constraint solver (OR-Tools CP-SAT)."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.formula.model import Formula
from proofbell.kitchen.model import Kitchen
from proofbell.planner.objective import cost_of
from proofbell.planner.problem import Capacity, Heat, Problem
from proofbell.planner.search import Search, improve, plan
from tests.benchmarks import exact, kitchens
from tests.support.bakes import house


def shared(problem: Problem) -> Problem:
    """The same day with three oven places, two people, and one heat for every bake of a single heat."""
    chains = []
    for chain in problem.chains:
        steps = tuple(
            replace(step, heats=(Heat(step.nominal_s, 200.0),)) if len(step.heats) == 1 else step
            for step in chain.steps
        )
        chains.append(replace(chain, steps=steps))
    return Problem(tuple(chains), replace(problem.capacity, people=2, trays=3), problem.now_s)


@pytest.mark.parametrize("number", range(3))
def test_two_people_and_three_oven_places_are_used_as_well_as_can_be(number: int) -> None:
    problem = shared(kitchens.kitchen(number, 3))
    answer = exact.solve(problem, 3.0, 2)
    assert answer.times is not None

    found = plan(problem, 60)

    assert found.feasible
    assert found.cost.total <= answer.cost(problem).total
    assert found.cost.total >= answer.bound


@pytest.mark.parametrize("number", range(4))
def test_under_way_a_plan_is_sound_wherever_the_solver_finds_one(number: int) -> None:
    morning = plan(kitchens.kitchen(number, 4), 6)
    rng = random.Random(number)
    for share in (0.3, 0.6):
        now_s = round(share * max(times.ready_s for times in morning) / 60) * 60
        problem = kitchens.under_way(morning.problem, morning.times, now_s, rng)
        search = Search(problem, morning.times)
        for _ in range(20):
            search.step()
        answer = exact.solve(problem, 1.0, 2)

        if answer.status == "infeasible":
            assert not search.plan().feasible
        if answer.times is not None:
            assert search.plan().feasible
            assert search.plan().cost.total <= 1.1 * answer.cost(problem).total


def test_the_planner_and_the_solver_reckon_alike() -> None:
    problem = kitchens.kitchen(2, 3)
    answer = exact.solve(problem, 1.0, 2)
    assert answer.times is not None
    assert answer.total is not None

    # The solver may leave a little air in what it reckons while it is still looking; never the other way.
    assert cost_of(problem, answer.times).total <= answer.total


def read_at_the_start(formula: Formula) -> Formula:
    """Its first proof is only read as it begins: hands are wanted at its end for what follows, and no reading."""
    first = next(index for index, stage in enumerate(formula.stages) if stage.kind == "proof")
    stages = [*formula.stages]
    stages[first] = replace(stages[first], checks=tuple(c for c in stages[first].checks if c.when == "start"))
    return replace(formula, stages=tuple(stages))


def test_of_three_doughs_wanted_at_once_the_first_plan_shown_has_none_early_without_need() -> None:
    knots = read_at_the_start(house("harbour-knots"))
    ready_us = 10 * 3_600_000_000
    doughs = knots, house("quay-pan-loaf"), knots
    wishes = [Wish(letter, formula, ready_us) for letter, formula in zip("ABC", doughs, strict=True)]
    problem = problem_of(wishes, Kitchen(room_c=21.5), 0)

    found = next(improve(problem))

    answer = exact.solve(problem, 2.0, 2)
    assert answer.times is not None
    assert found.cost.total <= answer.cost(problem).total
    assert found.cost.early_s == 0


def test_a_cold_kitchen_with_no_bakes_has_an_empty_plan() -> None:
    found = plan(Problem((), Capacity()), 3)

    assert found.times == ()
    assert found.cost.total == 0
    assert found.feasible
