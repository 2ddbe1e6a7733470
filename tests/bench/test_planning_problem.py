"""Formulas and live bakes as the planner sees them, and a plan laid onto the clock."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.bench.plan.planning_problem import Wish, problem_of
from proofbell.bench.plan.stage_steps import step_of
from proofbell.bench.plan.timetable import timetable
from proofbell.kitchen.model import Kitchen, Oven
from proofbell.planner.problem import Flexibility, Problem, Step
from proofbell.planner.repair.minimal_change import with_lengths_kept
from proofbell.planner.search import plan
from tests.support.bakes import house
from tests.support.decided import TO_FINAL_PROOF, bake, said

MINUTE_US = 60_000_000
SECOND_US = 1_000_000


def steps(name: str) -> dict[str, Step]:
    formula = house(name)
    found = [step_of(formula, index) for index in range(len(formula.stages))]
    return {step.name: step for step in found}


def test_a_proof_has_the_bounds_that_the_formula_gives_it() -> None:
    proof = steps("harbour-knots")["First proof"]

    assert (proof.least_s, proof.nominal_s, proof.most_s) == (50 * 60, 70 * 60, 100 * 60)
    assert (proof.critical, proof.hands_s, proof.heats) == (True, 0, ())


def test_hands_are_taken_for_all_of_a_hands_stage_or_for_as_long_as_it_says() -> None:
    loaf = steps("quay-pan-loaf")

    assert loaf["Divide and round"].hands_s is None
    assert loaf["Mix and knead"].hands_s == 6 * 60, "the machine kneads the rest"


def test_a_bake_is_neither_shortened_nor_kept_longer_by_a_plan() -> None:
    """The house formula lets it take 14 to 20 minutes; that is for the core temperature to say."""
    oven = steps("harbour-knots")["Bake"]

    assert (oven.least_s, oven.nominal_s, oven.most_s) == (16 * 60, 16 * 60, 16 * 60)
    assert [(heat.seconds_s, heat.oven_c) for heat in oven.heats] == [(16 * 60, 190.0)]
    assert (oven.hands_s, oven.hands_end_s) == (60, 60)


def test_a_bake_in_phases_has_a_heat_for_each() -> None:
    oven = steps("lamplighter-loaf")["Bake"]

    assert [(heat.seconds_s, heat.oven_c) for heat in oven.heats] == [(15 * 60, 240.0), (25 * 60, 215.0)]
    assert oven.nominal_s == 40 * 60


def test_the_cold_may_take_a_proofs_place_where_the_formula_says_so() -> None:
    cold = steps("harbour-knots")["First proof"].instead

    assert cold is not None
    assert (cold.kind, cold.least_s, cold.most_s) == ("chill", 90 * 60, 135 * 60)
    assert steps("harbour-knots")["Final proof"].instead is None


def test_the_kitchens_oven_and_hands_are_the_plans() -> None:
    kitchen = Kitchen(room_c=20.0, hands=2, oven=Oven(heat_up_s=1800.0, cool_down_s=900.0, trays=3))

    capacity = problem_of([Wish("A", house("harbour-knots"))], kitchen, 0).capacity

    assert (capacity.people, capacity.trays) == (2, 3)
    # 180 K in 30 min are 10 s for each; 100 K in 15 min are 9 s.
    assert (capacity.change_s(20.0, 200.0), capacity.change_s(200.0, 100.0)) == (1800, 900)
    assert capacity.oven_c == capacity.room_c == 20.0


def test_a_batch_wider_than_the_oven_bakes_in_loads_and_the_oven_stays_as_it_is() -> None:
    formula = house("harbour-knots")
    wide = replace(formula, oven=replace(formula.oven, trays=5))

    problem = problem_of([Wish("A", wide)], Kitchen(oven=Oven(trays=2)), 0)

    bakes = [step for step in problem.chains[0].steps if step.heats]
    assert problem.capacity.trays == 2
    assert [step.trays for step in bakes] == [2, 2, 1]
    assert {(step.nominal_s, step.hands_s, step.hands_end_s) for step in bakes} == {(16 * 60, 60, 60)}


def test_what_is_wanted_is_counted_from_the_moment_of_the_plan() -> None:
    wish = Wish("A", house("harbour-knots"), ready_us=10 * 60 * MINUTE_US, not_before_us=7 * 60 * MINUTE_US)

    (chain,) = problem_of([wish], Kitchen(), 6 * 60 * MINUTE_US).chains

    assert (chain.ready_by_s, chain.not_before_s) == (4 * 3600, 3600)
    (times,) = plan(Problem((chain,)), 20).times
    assert times.begins_s[:2] == (3600 - 420, 3600), "the first stage not before then; it may be weighed out before"


def live(now_s: int, *states: BakeState) -> Problem:
    return problem_of([], Kitchen(), now_s * SECOND_US, states)


def test_what_is_past_stays_and_what_runs_goes_on() -> None:
    problem = live(6400, bake("A", "harbour-knots", *TO_FINAL_PROOF))

    (chain,) = problem.chains
    begun = [(step.begun_s, step.ended_s) for step in chain.steps]
    # Seconds of the plan: the bake began 6400 s before it.
    assert begun[:4] == [(-6400, -6040), (-6040, -5440), (-5440, -1240), (-1240, -40)]
    assert begun[4:] == [(-40, None), (None, None), (None, None)]


def test_a_reading_changes_the_proof_that_is_planned() -> None:
    """The formula's bands: at 26 °C or warmer the first proof takes 55 minutes and not 70."""
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF[:3])
    warm = said(state, 1000, intents.Read("dough temperature", "27", raw=27.0))

    assert live(1000, state).chains[0].steps[2].nominal_s == 70 * 60
    assert live(1000, warm).chains[0].steps[2].nominal_s == 55 * 60


def test_a_bake_that_was_given_up_takes_nothing_any_more() -> None:
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF)

    assert live(6400, said(state, 6390, intents.GiveUp("dropped"))).chains == ()


def test_a_bake_in_the_oven_says_how_hot_it_is() -> None:
    proving = bake("A", "harbour-knots", *TO_FINAL_PROOF)
    inside = said(proving, 9360, intents.Done())

    assert live(9400, proving).capacity.oven_c == Kitchen().room_c
    assert live(9400, inside).capacity.oven_c == 190.0


def test_what_has_run_over_is_a_fact_and_not_a_fault_of_the_plan() -> None:
    """The first proof began at 960 s and forgives 100 min; at 7560 s it has had 110 min."""
    found = plan(live(7560, bake("A", "harbour-knots", *TO_FINAL_PROOF[:3])), 20)

    assert found.feasible
    assert found.times[0].ends_s[2] == 0, "it ends now"


def test_what_must_still_wait_for_the_oven_is_kept_too_long_and_that_is_said() -> None:
    """The final proof began at 6360 s and forgives 70 min; at 11 000 s it has had 77 min 20 s, and the oven is cold."""
    found = plan(live(11_000, bake("A", "harbour-knots", *TO_FINAL_PROOF)), 20)

    # 169 K take 23 min 29 s.
    assert found.times[0].ends_s[4] == 1409
    assert found.cost.violation_s == 1409


def test_an_oven_that_was_turned_on_is_not_heated_from_cold_again() -> None:
    """Turned on at 8000 s; 169 K take 1408.3 s: at 9000 s it has 120 of them, and 408.3 s to go."""
    state = said(bake("A", "harbour-knots", *TO_FINAL_PROOF), 8000, intents.Task(OvenTask("oven on", 5)))

    found = plan(live(9000, state), 20)

    assert live(9000, state).capacity.oven_c == pytest.approx(21 + 120)
    assert live(9300, state).capacity.oven_c == pytest.approx(21 + 156)
    assert live(9500, state).capacity.oven_c == 190.0
    assert found.times[0].begins_s[5] == 409


def test_a_plan_is_laid_onto_the_clock_with_its_past() -> None:
    origin_us = 6400 * SECOND_US
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF)
    wish = Wish("B", house("harbour-knots"), ready_us=origin_us + 5 * 60 * MINUTE_US)

    table = timetable(plan(problem_of([wish], Kitchen(), origin_us, [state]), 20), origin_us)

    first, second = table.bakes
    assert [line.past for line in first.lines] == [True] * 4 + [False] * 3
    assert (first.begins_us, first.wanted_us) == (0, None)
    assert second.wanted_us == second.ready_us == origin_us + 5 * 60 * MINUTE_US
    assert table.ready_us == second.ready_us
    whole = [line for one in table.bakes for line in one.lines]
    begins = [line.begins_us for line in sorted(whole, key=lambda line: line.begins_us)]
    assert begins == sorted(begins)
    assert len(begins) == 14
    for bake_ in table.bakes:
        for before, after in zip(bake_.lines, bake_.lines[1:], strict=False):
            assert before.ends_us <= after.begins_us


@pytest.mark.parametrize("name", ["harbour-knots", "quay-pan-loaf", "breakwater-flatbread", "lamplighter-loaf"])
def test_a_house_formula_alone_is_planned_at_its_own_lengths(name: str) -> None:
    formula = house(name)
    ready_us = 30 * 60 * MINUTE_US

    (bake_,) = timetable(plan(problem_of([Wish("A", formula, ready_us)], Kitchen(), 0), 20), 0).bakes

    assert [line.seconds for line in bake_.lines] == [round(stage.time_s) for stage in formula.stages]
    assert bake_.ready_us == ready_us
    assert {line.strays_s for line in bake_.lines} == {0}


def test_only_proofs_and_rests_may_give_a_little_and_what_cools_stays_open() -> None:
    day = problem_of([Wish("A", house("harbour-knots"))], Kitchen(), 0)

    for before, kept in zip(day.chains[0].steps, with_lengths_kept(day).chains[0].steps, strict=True):
        give_s = kept.most_s - before.nominal_s
        if before.kind == "cool":
            assert (kept.least_s, kept.most_s) == (before.least_s, before.most_s)
        elif before.kind in ("proof", "rest", "chill"):
            assert give_s == min(240, before.most_s - before.nominal_s)
        else:
            assert give_s == 0
    assert {step.kind for step in day.chains[0].steps} >= {"hands", "proof", "bake", "cool"}


def test_a_stage_in_hand_never_lasts_longer_and_a_proof_may_be_asked_to() -> None:
    steps = problem_of([Wish("A", house("harbour-knots"))], Kitchen(), 0).chains[0].steps

    assert {step.kind for step in steps if step.flexibility is Flexibility.RIGID} == {"hands", "weigh"}
    assert {step.kind for step in steps if step.flexibility is Flexibility.FIXED} == {"bake"}
