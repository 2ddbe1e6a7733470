"""A baker is asked only when leaving everything as it is would not do."""

from __future__ import annotations

from proofbell.bake import intents
from proofbell.bake.state import BakeState
from proofbell.bench.plan.planning_problem import problem_of
from proofbell.planner.plan import Plan
from proofbell.planner.repair.minimal_change import (
    lengths_kept,
    minimal_perturbation,
    prefer_stable,
    uncoordinated_times,
)
from proofbell.planner.search import plan
from tests.support.bakes import house
from tests.support.decided import KITCHEN, TO_FINAL_PROOF, bake
from tests.support.planned import whole_stages_only

ORIGIN_US = 6400 * 1_000_000
KNOTS, LOAF = (whole_stages_only(house(name)) for name in ("harbour-knots", "quay-pan-loaf"))


def test_one_dough_works_as_it_is() -> None:
    problem = problem_of([], KITCHEN, ORIGIN_US, [bake("A", "harbour-knots", *TO_FINAL_PROOF)])

    assert lengths_kept(problem) is not None


def test_two_doughs_due_for_one_oven_place_at_the_same_time_do_not() -> None:
    states = [bake(letter, "harbour-knots", *TO_FINAL_PROOF) for letter in "AB"]

    assert lengths_kept(problem_of([], KITCHEN, ORIGIN_US, states)) is None


def test_two_doughs_half_an_hour_apart_do() -> None:
    first = bake("A", "harbour-knots", *TO_FINAL_PROOF)
    second = bake("B", "harbour-knots", *((seconds + 1800, said) for seconds, said in TO_FINAL_PROOF))

    assert lengths_kept(problem_of([], KITCHEN, 8200 * 1_000_000, [first, second])) is not None


def doughs(*starts_min: int) -> list[BakeState]:
    """Harbour knots: the first begun at its moment, the others waiting for theirs."""
    first, *others = zip("ABCDEFGHIJKL", starts_min, strict=False)
    begun = bake(first[0], KNOTS, (first[1] * 60.0, intents.Begin()))
    return [begun, *(bake(letter, KNOTS, start_in_s=minutes * 60.0) for letter, minutes in others)]


def begins_min(left: Plan) -> list[list[float]]:
    return [[moment / 60 for moment in times.begins_s] for times in left.times]


def test_a_day_that_works_stands_as_the_bench_shows_it() -> None:
    """Mix 6 min, knead 10, proof 70, tie 20, proof 50, bake 16 (all min): twenty minutes apart they meet nowhere."""
    left = lengths_kept(problem_of([], KITCHEN, 0, doughs(0, 20, 40)))

    assert left is not None
    assert begins_min(left) == [[start + at for at in (0, 6, 16, 86, 106, 156, 172)] for start in (0, 20, 40)]


def test_a_start_that_would_meet_another_dough_is_put_off_and_no_length_changes() -> None:
    """B is wanted ten minutes after A, which is kneaded until 16 min."""
    left = lengths_kept(problem_of([], KITCHEN, 0, doughs(0, 10)))

    assert left is not None
    assert begins_min(left)[0][:4] == [0, 6, 16, 86]
    assert begins_min(left)[1][0] >= 16
    for times, chain in zip(left.times, left.problem.chains, strict=True):
        lengths = [end - begin for begin, end in zip(times.begins_s, times.ends_s, strict=True)]
        assert lengths == [step.nominal_s for step in chain.steps]


def test_where_two_must_give_way_a_third_that_meets_neither_is_left_alone() -> None:
    """A and B want the one oven place at the same moment; C is half an hour behind them."""
    states = [bake(letter, KNOTS, *TO_FINAL_PROOF) for letter in "AB"]
    states += [bake("C", KNOTS, *((seconds + 1800, said) for seconds, said in TO_FINAL_PROOF[:3]))]
    problem = problem_of([], KITCHEN, ORIGIN_US, states)
    better = plan(problem)

    assert lengths_kept(problem) is None
    assert better.of("C") != uncoordinated_times(problem)[2], "a shorter day would have C give way too"
    for chosen in (prefer_stable(None, better), prefer_stable(minimal_perturbation(problem), better)):
        assert chosen.feasible
        assert chosen.of("C") == uncoordinated_times(problem)[2]


def test_a_warm_dough_that_meets_another_at_the_bench_moves_none_of_those_behind_them() -> None:
    """B at 27 °C is ready to be tied after 55 min, while A is tied; C, D and E wait for their starts."""
    states = [bake("A", KNOTS, *TO_FINAL_PROOF[:3])]
    warm = (2200.0, intents.Read("dough temperature", "27", raw=27.0))
    states += [bake("B", KNOTS, *((seconds + 1200, said) for seconds, said in TO_FINAL_PROOF[:3]), warm)]
    waiting = (("C", KNOTS, 2400), ("D", LOAF, 4080), ("E", LOAF, 8760))
    states += [bake(letter, name, start_in_s=start) for letter, name, start in waiting]
    problem = problem_of([], KITCHEN, 2300 * 1_000_000, states)

    chosen = minimal_perturbation(problem)

    assert lengths_kept(problem) is None
    assert chosen is not None
    assert chosen.feasible
    assert chosen.times[2:] == uncoordinated_times(problem)[2:]
