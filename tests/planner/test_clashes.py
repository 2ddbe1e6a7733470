"""When a day cannot be kept, the two stages that clash are named, and the ways out mend it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from proofbell.bench.plan.reason_words import way_out_words
from proofbell.planner.changes import LeaveOut, MoveDue
from proofbell.planner.clashes import WayOut, clashes_of, ways_out
from proofbell.planner.plan import Plan
from proofbell.planner.problem import Capacity, Chain, Problem
from proofbell.planner.search import plan
from tests.support.made import MIN, baking, hands, proof

LOAF = (hands("Mix", 10), proof("Final proof", 30, 30, 45), baking(30, 220.0))


def two_loaves() -> Plan:
    """Both are wanted after 70 min, the least that one takes; the oven has one place, so one is 30 min late."""
    chains = (Chain("A", LOAF, 70 * MIN), Chain("B", LOAF, 70 * MIN))
    return plan(Problem(chains, Capacity(people=2, up_s_per_k=6.0, down_s_per_k=9.0)), 60)


def two_proofs_under_way() -> Plan:
    """Two proofs that began at once and forgive 45 min at most: one loaf must wait 30 min more for the oven."""
    chains = []
    for letter in "AB":
        mix, proving, bake = LOAF
        steps = (replace(mix, begun_s=0, ended_s=10 * MIN), replace(proving, begun_s=10 * MIN), bake)
        chains.append(Chain(letter, steps, 120 * MIN))
    capacity = Capacity(people=2, up_s_per_k=6.0, down_s_per_k=9.0, oven_c=220.0)
    return plan(Problem(tuple(chains), capacity, now_s=39 * MIN), 60)


def test_a_day_that_can_be_kept_has_no_clash() -> None:
    chains = (Chain("A", LOAF, 70 * MIN), Chain("B", LOAF, 200 * MIN))

    assert clashes_of(plan(Problem(chains), 20)) == ()


def test_two_loaves_for_one_oven_clash_at_the_oven_when_the_first_comes_out() -> None:
    found = two_loaves()
    first, second = sorted(found, key=lambda times: times.ready_s)

    (clash,) = clashes_of(found)

    assert (clash.first_letter, clash.second_letter, clash.about) == (first.letter, second.letter, "oven")
    assert (clash.first_step, clash.second_step) == (2, 2)
    assert clash.at_s == first.ends_s[2] == second.begins_s[2]
    assert clash.over_s == 30 * MIN


def test_a_proof_that_would_be_kept_too_long_is_told_apart_from_lateness() -> None:
    found = two_proofs_under_way()
    assert found.cost.violation_s == 15 * MIN, "30 min in the oven, less the 15 min that the proof may be stretched"

    (clash,) = clashes_of(found)

    assert clash.about == "oven"
    assert clash.over_s == 15 * MIN
    assert {clash.first_letter, clash.second_letter} == {"A", "B"}


def test_ways_out_are_few_mend_the_day_and_come_in_the_order_of_their_cost() -> None:
    for found in (two_loaves(), two_proofs_under_way()):
        (clash,) = clashes_of(found)

        ways = ways_out(found, clash)

        assert 1 <= len(ways) <= 3
        before = (found.cost.violation_s, found.cost.late_s)
        after = [(way.plan.cost.violation_s, way.late_s) for way in ways]
        assert all(one < before for one in after)
        assert after == sorted(after)
        assert len({way_out_words(way) for way in ways}) == len(ways)


def letters_of(ways: Sequence[WayOut]) -> set[str]:
    return {way.change.letter for way in ways if isinstance(way.change, MoveDue | LeaveOut)}


def test_a_chain_that_cannot_be_changed_from_here_is_changed_by_no_way_out() -> None:
    found = two_loaves()
    (clash,) = clashes_of(found)
    second = clash.second_letter

    ways = ways_out(found, clash, {second})

    assert second in letters_of(ways_out(found, clash))
    assert letters_of(ways) == {*"AB"} - {second}
    assert ways_out(found, replace(clash, about="time"), {"A", "B"}) == ()


def test_a_loaf_that_may_be_ready_later_is_ready_half_an_hour_later() -> None:
    found = two_loaves()
    (clash,) = clashes_of(found)

    later = [
        way
        for way in ways_out(found, clash)
        if way_out_words(way).startswith(f"let {clash.second_letter} be ready 30 min")
    ]

    assert len(later) == 1
    assert later[0].late_s == 0
    assert later[0].plan.of(clash.second_letter).ready_s == 100 * MIN


def test_the_baker_may_keep_a_proof_longer_than_the_formula_says() -> None:
    found = two_proofs_under_way()
    (clash,) = clashes_of(found)

    words = {way_out_words(way): way.plan for way in ways_out(found, clash)}
    longer = f"keep {clash.second_letter}'s final proof 15 min longer than its dough allows"

    assert longer in words
    assert words[longer].feasible
    assert words[longer].times == found.times


def test_a_third_tray_for_two_oven_places_is_a_clash_about_the_oven_and_no_way_out_makes_the_oven_wider() -> None:
    steps = (hands("Mix", 5), proof("Proof", 55, 60, 65), baking(30, 200.0))
    chains = tuple(Chain(letter, steps, 95 * MIN) for letter in "ABC")

    found = plan(Problem(chains, Capacity(people=3, trays=2)), 20)
    (clash,) = clashes_of(found)

    assert clash.about == "oven"
    assert {clash.first_letter, clash.second_letter} < set("ABC")
    ways = ways_out(found, clash)
    assert ways
    assert all(way.plan.problem.capacity.trays == 2 for way in ways)
