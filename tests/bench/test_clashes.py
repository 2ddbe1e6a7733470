"""When it cannot be done: the two stages, the moment, and ways out that really mend it. All figures by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.bench.made import MIN, baking, hands, proof
from tests.bench.rules import broken, unforgiven_s

from proofbell.bench.clashes import clashes_of, ways_out
from proofbell.bench.model import Capacity, Chain, Clash, Plan, Problem, Step
from proofbell.bench.search import plan

LOAF = (hands("Mix", 10), proof("Proof", 30, 30, 33), baking(30, 220.0))
KITCHEN = Capacity(up_s_per_k=6.0, down_s_per_k=9.0)


def day(*chains: Chain, capacity: Capacity = KITCHEN) -> Plan:
    return plan(Problem(chains, capacity), 60)


@pytest.fixture
def two_loaves() -> Plan:
    """Out of the oven at 70 and 100 min at the earliest, wanted at 90."""
    return day(Chain("A", LOAF, 90 * MIN), Chain("B", LOAF, 90 * MIN))


def only(found: Plan) -> Clash:
    (clash,) = clashes_of(found)
    return clash


def late_s(found: Plan) -> int:
    return sum(
        max(0, times.ready_s - chain.ready_by_s)
        for chain, times in zip(found.problem.chains, found.times, strict=True)
        if chain.ready_by_s is not None
    )


def test_two_loaves_in_one_oven_are_named_with_the_moment(two_loaves: Plan) -> None:
    clash = only(two_loaves)

    assert {clash.first_letter, clash.second_letter} == {"A", "B"}
    assert (clash.first_step, clash.second_step, clash.about) == (2, 2, "oven")
    assert clash.at_s == 70 * MIN
    assert clash.over_s == 10 * MIN


def test_every_way_out_mends_the_clash(two_loaves: Plan) -> None:
    ways = ways_out(two_loaves, only(two_loaves))

    assert 1 <= len(ways) <= 3
    assert "use 2 oven places at once" in [way.words for way in ways]
    for way in ways:
        assert broken(way.plan) == []
        assert unforgiven_s(way.plan) == 0
        assert late_s(way.plan) == way.late_s == 0


def test_the_second_loaf_may_be_let_be_later(two_loaves: Plan) -> None:
    clash = only(two_loaves)

    words = [way.words for way in ways_out(two_loaves, clash)]

    assert f"let {clash.second_letter} be ready 10 min later, with no stage shortened" in words


def test_leaving_a_bake_out_is_named_last(two_loaves: Plan) -> None:
    words = [way.words for way in ways_out(two_loaves, only(two_loaves))]

    left_out = [word.startswith("leave ") for word in words]
    assert left_out == sorted(left_out)
    assert not left_out[0]


def test_one_pair_of_hands_wanted_twice_is_named() -> None:
    """Kneaded for an hour each: the second is begun at 60 min and ready at 150, wanted at 100."""
    knead = (hands("Knead", 60), Step("Bake", "bake", 30 * MIN, 30 * MIN, 30 * MIN, heats=LOAF[2].heats))
    found = day(Chain("A", knead, 100 * MIN), Chain("B", knead, 100 * MIN), capacity=replace(KITCHEN, trays=2))

    clash = only(found)

    assert (clash.first_step, clash.second_step, clash.about) == (0, 0, "hands")
    assert clash.first_letter != clash.second_letter
    assert (clash.at_s, clash.over_s) == (60 * MIN, 50 * MIN)
    ways = ways_out(found, clash)
    assert "ask for a second pair of hands" in [way.words for way in ways]
    assert all(way.late_s == 0 for way in ways)


def test_a_bake_that_has_too_little_time_by_itself_clashes_with_nobody() -> None:
    """70 min at least, wanted at 60."""
    found = day(Chain("A", LOAF, 60 * MIN))

    clash = only(found)

    assert (clash.first_letter, clash.first_step) == (clash.second_letter, clash.second_step)
    assert (clash.about, clash.over_s) == ("time", 10 * MIN)
    assert [way.words for way in ways_out(found, clash)] == ["let A be ready 10 min later, with no stage shortened"]


def test_a_proof_that_would_be_kept_too_long_is_a_clash_about_what_the_dough_forgives() -> None:
    """B's proof has run since minute 0 and forgives 33 min; A is in the oven from 20 to 50 min and cannot be moved."""
    in_oven = (replace(LOAF[2], begun_s=20 * MIN),)
    rising = (replace(LOAF[0], begun_s=-10 * MIN, ended_s=0), replace(LOAF[1], begun_s=0), LOAF[2])
    capacity = replace(KITCHEN, oven_c=220.0)
    found = plan(Problem((Chain("A", in_oven), Chain("B", rising)), capacity, 25 * MIN), 60)

    clash = only(found)

    assert (clash.first_letter, clash.second_letter, clash.second_step, clash.about) == ("A", "B", 2, "oven")
    assert (clash.at_s, clash.over_s) == (50 * MIN, 17 * MIN)
    assert unforgiven_s(found) == 17 * MIN
    ways = ways_out(found, clash)
    assert [way.words for way in ways] == ["use 2 oven places at once"]
    assert unforgiven_s(ways[0].plan) == 0


def test_the_cold_is_offered_where_the_formula_allows_it() -> None:
    """With a second shaping at the same time tomorrow, the dough that may stand in the cold gives way."""
    cold = Step("Proof, in the cold", "chill", 60 * MIN, 60 * MIN, 600 * MIN, critical=True)
    patient = (LOAF[0], replace(LOAF[1], instead=cold), LOAF[2])
    chains = (Chain("A", LOAF, latest_s=75 * MIN), Chain("B", patient, latest_s=240 * MIN, not_before_s=0))
    tight = Problem(
        tuple(replace(c, steps=(replace(c.steps[0], begun_s=-10 * MIN, ended_s=0), *c.steps[1:])) for c in chains),
        replace(KITCHEN, oven_c=220.0),
    )
    found = plan(tight, 60)
    assert not found.feasible

    ways = ways_out(found, only(found))

    assert "retard B: proof in the cold, 1 h" in [way.words for way in ways]
    assert all(unforgiven_s(way.plan) < unforgiven_s(found) for way in ways)


def test_a_day_that_holds_has_no_clash() -> None:
    assert clashes_of(day(Chain("A", LOAF, 90 * MIN), Chain("B", LOAF, 130 * MIN))) == ()
