"""The formula's bands, by hand arithmetic on the demo rule: below 24 °C 85 min, below 26 °C 70 min, else 55 min."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.formula.model import Band, Bands, Check
from proofbell.kitchen.model import Kitchen, Probe
from tests.support.baking import FIRST_PROOF, at_stage


@pytest.mark.parametrize(
    ("reading", "minutes"),
    [(22.0, 85), (23.9, 85), (24.0, 70), (25.9, 70), (26.0, 55), (27.0, 55), (31.0, 55)],
)
def test_a_reading_equal_to_a_bound_belongs_to_the_next_band(reading: float, minutes: int) -> None:
    baking = at_stage(FIRST_PROOF)
    baking.read(reading)
    assert baking.length_min == minutes


def test_a_reading_changes_the_whole_length_and_not_what_is_left() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.wait(minutes=10)
    change = baking.read(27.0)
    assert change is not None
    assert (change.from_s, change.to_s, change.by, change.band_s) == (4200, 3300, "bands", 3300)
    # 55 minutes, of which 10 have passed.
    assert baking.left_min == pytest.approx(45)


def test_a_moment_that_has_passed_is_due_now() -> None:
    short = Bands("dough temperature", (Band(26.0, 70 * 60.0), Band(None, 5 * 60.0)))
    baking = at_stage(replace(FIRST_PROOF, adjust=short, stretch=None))
    baking.wait(minutes=10)
    baking.read(27.0)
    assert baking.left_min == pytest.approx(-5)


def test_the_reason_says_reading_bound_change_and_what_the_rate_would_say() -> None:
    baking = at_stage(FIRST_PROOF)
    change = baking.read(27.0)
    assert change is not None
    assert change.rate_s is not None
    assert change.rate_low_s is not None
    assert change.rate_high_s is not None
    rate = f"{change.rate_s / 60:.0f}, {change.rate_low_s / 60:.0f} to {change.rate_high_s / 60:.0f} min"
    assert change.reason == f"Dough 27.0 °C, 26 °C or warmer: 70 → 55 min by the formula (the rate says {rate})."
    assert 55 * 60 < change.rate_low_s < change.rate_s < change.rate_high_s < 70 * 60


def test_a_later_reading_counts_from_the_length_that_holds() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.read(27.0)
    baking.wait(minutes=10)
    change = baking.read(23.5)
    assert change is not None
    assert (change.from_s, change.to_s) == (55 * 60, 85 * 60)
    assert change.reason.startswith("Dough 23.5 °C, below 24 °C: 55 → 85 min by the formula")
    assert baking.left_min == pytest.approx(75)


def test_a_reading_in_the_band_that_holds_changes_nothing() -> None:
    baking = at_stage(FIRST_PROOF)
    assert baking.read(25.0) is None
    assert baking.length_min == 70


def test_the_probes_correction_goes_before_the_rule_and_both_values_are_logged() -> None:
    baking = at_stage(FIRST_PROOF, Kitchen(probe=Probe(offset_k=-0.6, slope=1.0)))
    baking.read(26.5)
    reading = baking.state.readings[-1]
    assert reading.raw == 26.5
    assert reading.value == pytest.approx(25.9)
    assert baking.length_min == 70


def test_what_was_done_by_hand_stays_on_top_of_what_the_rule_says() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.say(intents.Longer(10 * 60))
    change = baking.read(27.0)
    assert change is not None
    assert baking.length_min == 65
    assert "80 → 65 min by the formula and 10 min more by hand" in change.reason
    assert change.band_s == 55 * 60
    assert baking.read(27.0) is None


def test_bands_may_go_by_the_rise_or_the_room() -> None:
    rise = Bands("rise", (Band(40.0, 90 * 60.0), Band(None, 60 * 60.0)))
    baking = at_stage(replace(FIRST_PROOF, adjust=rise, checks=(Check("rise", "into", 30 * 60.0),)))
    baking.wait(minutes=30)
    change = baking.read(55.0, "rise")
    assert change is not None
    assert change.reason == "Rise 55 %, 40 % or more: 70 → 60 min by the formula."
    room = Bands("room temperature", (Band(20.0, 90 * 60.0), Band(None, 60 * 60.0)))
    baking = at_stage(replace(FIRST_PROOF, adjust=room, checks=()))
    change = baking.read(18.0, "room temperature")
    assert change is not None
    assert change.reason == "Room 18.0 °C, below 20 °C: 70 → 90 min by the formula."


def test_a_dough_that_was_moved_into_the_cold_keeps_the_time_agreed_for_it_there() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.say(intents.Accept(1, 10 * 3600.0, "Overnight, so that the oven is free.", 4.0))
    baking.wait(minutes=30)
    assert baking.read(27.0) is None
    assert baking.length_min == 600
