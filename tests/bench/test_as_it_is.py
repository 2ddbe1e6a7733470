"""A baker is asked only when leaving everything as it is would not do."""

from __future__ import annotations

from tests.bench.test_what_moved import KITCHEN, TO_FINAL_PROOF, bake

from proofbell.bench.as_it_is import works_as_it_is
from proofbell.bench.chain import problem_of
from proofbell.bench.search import plan

ORIGIN_US = 6400 * 1_000_000


def test_one_dough_works_as_it_is() -> None:
    problem = problem_of([], KITCHEN, ORIGIN_US, [bake("A", "harbour-knots", *TO_FINAL_PROOF)])

    assert works_as_it_is(plan(problem))


def test_two_doughs_due_for_one_oven_place_at_the_same_time_do_not() -> None:
    states = [bake(letter, "harbour-knots", *TO_FINAL_PROOF) for letter in "AB"]

    assert not works_as_it_is(plan(problem_of([], KITCHEN, ORIGIN_US, states)))


def test_two_doughs_half_an_hour_apart_do() -> None:
    first = bake("A", "harbour-knots", *TO_FINAL_PROOF)
    second = bake("B", "harbour-knots", *((seconds + 1800, said) for seconds, said in TO_FINAL_PROOF))

    assert works_as_it_is(plan(problem_of([], KITCHEN, 8200 * 1_000_000, [first, second])))
