"""``by = "rate"`` on a live bake. The arithmetic itself is held against published figures among the dough's tests."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.fermenting.terms import dough_mass_g, modelled_tau_s
from proofbell.formula.model import Rate
from proofbell.kitchen.model import Kitchen, Probe
from tests.support.baking import BATCH, FINAL_PROOF, Baking, at_stage, formula
from tests.support.fermentation import equal_time

ROOM_22 = Kitchen(room_c=22.0)


def test_a_dough_as_the_rule_was_written_for_changes_nothing() -> None:
    baking = at_stage(FINAL_PROOF, ROOM_22)
    assert baking.read(25.0) is None


def test_a_warmer_dough_needs_less_and_a_colder_one_more() -> None:
    warm, cold = at_stage(FINAL_PROOF, ROOM_22), at_stage(FINAL_PROOF, ROOM_22)
    warm.read(28.0)
    cold.read(22.0)
    assert warm.length_min < 50 < cold.length_min


def test_the_length_is_the_equal_fermentation_in_whole_minutes() -> None:
    baking = at_stage(FINAL_PROOF, ROOM_22)
    change = baking.read(27.0)
    estimate = equal_time(
        nominal_s=3000,
        at_c=25.0,
        nominal_place_c=22.0,
        readings=((0.0, 27.0),),
        place_c=22.0,
        tau_s=modelled_tau_s(baking.state, 1),
        rise_percent=60.0,
    )
    assert change is not None
    assert change.rate_s == change.to_s == round(estimate.seconds / 60) * 60
    low, high = f"{estimate.low_s / 60:.0f}", f"{estimate.high_s / 60:.0f}"
    minutes = f"{change.to_s / 60:.0f}"
    assert change.reason == f"Dough 27.0 °C: 50 → {minutes} min for the same fermentation ({low} to {high} min)."


def test_a_dough_unlike_the_cards_gets_the_time_that_it_needs_and_the_card_is_named_beside_it() -> None:
    baking = at_stage(FINAL_PROOF, ROOM_22)
    change = baking.read(10.0)
    assert change is not None
    assert change.to_s == change.rate_s
    assert change.to_s > 70 * 60
    assert "; the card's most of 70 min is for a dough of 25 °C in 22 °C." in change.reason
    baking = at_stage(FINAL_PROOF, ROOM_22)
    change = baking.read(39.0)
    assert change is not None
    assert change.to_s == change.rate_s
    assert change.to_s < 35 * 60
    assert "; the card's least of 35 min is for a dough of 25 °C in 22 °C." in change.reason


def test_a_dough_that_will_never_be_ready_gets_the_most_it_forgives_or_no_change() -> None:
    hot, kitchen = replace(FINAL_PROOF, place_name="hot box"), Kitchen(places=(("hot box", 55.0),))
    baking = at_stage(hot, kitchen)
    change = baking.read(54.0)
    assert change is not None
    assert (change.to_s, change.rate_s) == (70 * 60, None)
    assert change.reason == "Dough 54.0 °C, not ready where it stands: 39 → 70 min, the longest this dough allows."
    assert at_stage(replace(hot, stretch=None), kitchen).read(54.0) is None


def test_a_second_reading_takes_over_from_the_modelled_temperature() -> None:
    alone, twice = at_stage(FINAL_PROOF, ROOM_22), at_stage(FINAL_PROOF, ROOM_22)
    for baking in (alone, twice):
        baking.read(27.0)
        baking.wait(minutes=15)
    change = twice.read(31.0)
    assert change is not None
    assert twice.length_min < alone.length_min


def test_a_warmer_room_read_during_the_stage_counts() -> None:
    baking = at_stage(FINAL_PROOF, ROOM_22)
    baking.read(25.0)
    change = baking.read(28.0, "room temperature")
    assert change is not None
    assert change.by == "rate"
    assert change.to_s < 50 * 60


def test_the_room_says_nothing_of_a_dough_that_stands_elsewhere() -> None:
    prover = at_stage(replace(FINAL_PROOF, place_name="prover"), replace(ROOM_22, places=(("prover", 22.0),)))
    prover.read(25.0)
    assert prover.read(28.0, "room temperature") is None


def test_a_warmer_room_shortens_a_proof_that_nobody_has_read_too() -> None:
    change = at_stage(FINAL_PROOF, ROOM_22).read(28.0, "room temperature")
    assert change is not None
    assert change.by == "place"
    assert change.to_s < 50 * 60


def test_the_rise_goes_before_the_temperature() -> None:
    baking = at_stage(FINAL_PROOF, ROOM_22)
    baking.wait(minutes=50)
    baking.eye("not yet")
    assert baking.length_min == 58
    assert baking.read(30.0) is None
    assert baking.length_min == 58


def test_a_reading_at_the_end_of_kneading_still_holds_when_the_proof_begins() -> None:
    baking = Baking(formula(replace(FINAL_PROOF, name="Rest", adjust=None, rise=None), FINAL_PROOF), ROOM_22)
    baking.say(intents.Begin())
    baking.wait(minutes=41)
    baking.read(28.0)
    baking.wait(minutes=9)
    baking.say(intents.Done())
    direct = Baking(formula(replace(FINAL_PROOF, name="Rest", adjust=None, rise=None), FINAL_PROOF), ROOM_22)
    direct.to_stage(1)
    direct.read(28.0)
    assert baking.length_min == direct.length_min < 50


def test_a_reading_of_long_ago_counts_by_where_the_dough_has_come_since() -> None:
    baking = Baking(formula(replace(FINAL_PROOF, name="Rest", adjust=None, rise=None), FINAL_PROOF), ROOM_22)
    baking.say(intents.Begin())
    baking.read(28.0)
    baking.wait(minutes=11)
    baking.say(intents.Done())
    change = baking.state.stages[1].adjustments[-1].body
    assert change.by == "place"
    direct = Baking(formula(replace(FINAL_PROOF, name="Rest", adjust=None, rise=None), FINAL_PROOF), ROOM_22)
    direct.to_stage(1)
    direct.read(28.0)
    assert direct.length_min <= baking.length_min < 50


def test_shaped_pieces_take_on_the_rooms_warmth_sooner_than_the_whole_dough() -> None:
    made = formula(
        replace(FINAL_PROOF, name="First proof"),
        replace(FINAL_PROOF, name="Shape", kind="hands", adjust=None),
        FINAL_PROOF,
    )
    baking = Baking(made)
    assert dough_mass_g(baking.state, 0) == BATCH.dough_g
    assert dough_mass_g(baking.state, 2) == BATCH.piece_g


def test_a_rule_without_a_place_is_told_for_an_ordinary_room() -> None:
    baking = at_stage(replace(FINAL_PROOF, adjust=Rate(25.0)), Kitchen(room_c=21.0))
    assert baking.read(25.0) is None
    assert baking.left_min == pytest.approx(50)
    warm = at_stage(replace(FINAL_PROOF, adjust=Rate(25.0)), Kitchen(room_c=27.0))
    warm.read(25.0)
    assert warm.length_min < 50


def test_a_probe_of_a_finer_class_narrows_the_range() -> None:
    def spread_s(probe: Probe) -> float:
        change = at_stage(FINAL_PROOF, Kitchen(probe=probe, uncertainty_k=0.0)).read(24.0)
        assert change is not None
        assert change.rate_low_s is not None
        assert change.rate_high_s is not None
        return change.rate_high_s - change.rate_low_s

    assert spread_s(Probe(pt100="A")) < spread_s(Probe()) < spread_s(Probe(tolerance_k=3.0))
    assert spread_s(Probe(pt100="A", tolerance_k=9.0)) == spread_s(Probe(pt100="A"))
