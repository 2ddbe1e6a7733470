"""Bakes that are alike go in the order of their letters; others stay where the plan puts them."""

from __future__ import annotations

from dataclasses import replace

from proofbell.planner import objective
from proofbell.planner.greedy import nominal_times
from proofbell.planner.plan import Times
from proofbell.planner.problem import Chain, Problem
from proofbell.planner.search import plan
from proofbell.planner.symmetry import break_symmetry
from tests.support.made import MIN, hands, proof


def knots(letter: str, ready_by_s: int | None = None) -> Chain:
    """A small dough."""
    return Chain(letter, (hands("Mix", 10), proof("Proof", 50, 60, 75), hands("Shape", 20)), ready_by_s=ready_by_s)


def at(chain: Chain, start: int) -> Times:
    """A bake at its nominal lengths from a minute on."""
    return nominal_times(chain, start * MIN)


def starts(times: tuple[Times, ...]) -> dict[str, int]:
    """When each bake begins, minutes."""
    return {one.letter: one.begins_s[0] // MIN for one in times}


def test_bakes_that_are_alike_begin_in_the_order_of_their_letters_at_no_cost() -> None:
    problem = Problem((knots("A"), knots("B"), knots("C")))
    times = (at(problem.chains[0], 40), at(problem.chains[1], 0), at(problem.chains[2], 20))

    found = break_symmetry(problem, times)

    assert starts(found) == {"A": 0, "B": 20, "C": 40}
    assert objective.cost_of(problem, found) == objective.cost_of(problem, times)


def test_a_bake_with_a_wish_of_its_own_or_that_has_begun_keeps_its_place() -> None:
    begun = knots("C")
    begun = replace(begun, steps=(replace(begun.steps[0], begun_s=0), *begun.steps[1:]))
    problem = Problem((knots("A"), knots("B", ready_by_s=3 * 3600), begun))
    times = (at(problem.chains[0], 40), at(problem.chains[1], 20), at(problem.chains[2], 0))

    assert break_symmetry(problem, times) == times


def test_a_plan_of_doughs_that_are_alike_begins_with_the_first_letter() -> None:
    found = plan(Problem(tuple(knots(letter) for letter in "ABCDE")), 30)

    begins = list(starts(found.times).values())
    assert begins == sorted(begins)
