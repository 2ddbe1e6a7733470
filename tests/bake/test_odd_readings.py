"""What is asked again before it is taken: what lies far from what the check expects."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from proofbell.app.reading.reading_words import expected as card_expected
from proofbell.app.reading.reading_words import unchanged
from proofbell.bake import intents
from proofbell.bake.advice.advise import advise
from proofbell.bake.decisions.reading_rules import expected
from proofbell.bake.readings import may_become, odd
from proofbell.formula.model import Check, Stage
from proofbell.words import told_length
from tests.support.baking import FIRST_PROOF, at_stage
from tests.support.walking import KNOTS, LAMPLIGHTER, at, chilled, later


@pytest.mark.parametrize(
    ("value", "again"), [(40, True), (5, True), (34.5, True), (15.5, True), (33, False), (17, False)]
)
def test_a_dough_far_from_what_is_expected_is_asked_again(value: float, again: bool) -> None:  # noqa: FBT001
    baking = at_stage(FIRST_PROOF)
    intent = intents.Read("dough temperature", f"{value:g}", raw=value)
    if not again:
        assert baking.say(intent)
        return
    assert "24 to 26 °C is expected" in baking.refused(intent).message
    assert baking.refused(intent).odd
    assert baking.say(intents.Read("dough temperature", f"{value:g}", raw=value, sure=True))


def test_a_dough_in_the_cold_may_be_warm_or_cold() -> None:
    cold = Stage("Retard", "chill", 36_000.0, checks=(Check("dough temperature", "start", expect=(4.0, 6.0)),))
    for value in (5.0, 22.0):
        assert at_stage(cold).say(intents.Read("dough temperature", f"{value:g}", raw=value))


def test_what_the_check_expects_is_never_odd() -> None:
    assert odd("dough temperature", 40.0, None, "proof")
    assert not odd("dough temperature", 40.0, (38.0, 42.0), "proof")


def test_a_correction_far_from_what_is_expected_is_asked_again_too() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.read(25.0)
    number = baking.state.readings[0].number
    assert baking.refused(intents.Correct(number, "40", 40.0)).odd


@pytest.mark.parametrize("typed", ["", "-", "2", "26,5 °", "26.5 °C", "79F", "−3"])
def test_a_number_grows_character_by_character(typed: str) -> None:
    assert may_become("dough temperature", typed)


@pytest.mark.parametrize("typed", ["o", "°", "C", "26o", "26%", "1.2.3", "x5"])
def test_what_can_be_no_number_is_known_at_once(typed: str) -> None:
    assert not may_become("dough temperature", typed)


def test_weights_are_typed_in_four_units() -> None:
    assert all(may_become("weight", typed) for typed in ("912g", "1.2 kg", "3 o", "3oz", "2 lb"))


def test_a_dough_that_was_moved_is_expected_as_cold_as_it_has_become_there() -> None:
    baking = chilled(at(LAMPLIGHTER, "Final proof"))
    baking.wait(minutes=300)
    index = baking.state.current
    moved = expected(baking.state, index, "dough temperature", baking.now_s)
    assert moved is not None
    # A probe's log of 750 g in a home fridge (breadbakingathome.com): 10 °C after 4 h, 5 °C after 7 h.
    assert 4 <= moved[0] < moved[1] <= 13
    baking.say(intents.Read("dough temperature", "8", 8.0))
    assert "unlikely reading" not in {each.situation for each in advise(baking.state, baking.now_s)}
    shown = card_expected(baking.state, "dough temperature", None, baking.now_s)
    assert re.fullmatch(r"expected \d+ to \d+ °C by now", shown)


@pytest.mark.parametrize(("beside_k", "again"), [(-4, True), (-2, False), (2, False), (4, True)])
def test_a_dough_in_the_fridge_is_asked_again_as_far_on_either_side(beside_k: float, again: bool) -> None:  # noqa: FBT001
    """9 °C after 3¾ h in a fridge of 4 °C is what a log has: 10 °C after 4 h (breadbakingathome.com)."""
    baking = chilled(at(LAMPLIGHTER, "Final proof"))
    baking.wait(minutes=225)
    low, high = expected(baking.state, baking.state.current, "dough temperature", baking.now_s) or (0, 0)
    value = (low if beside_k < 0 else high) + beside_k
    intent = intents.Read("dough temperature", f"{value:g}", raw=value)
    assert (baking.refused(intent).odd if again else not baking.say(intent)) is again


@pytest.mark.parametrize(("minutes", "percent", "again"), [(5, 180, True), (5, 20, False), (70, 180, False)])
def test_no_dough_trebles_in_five_minutes(minutes: float, percent: float, again: bool) -> None:  # noqa: FBT001
    baking = at_stage(FIRST_PROOF)
    baking.wait(minutes=minutes)
    intent = intents.Read("rise", f"{percent:g}", raw=percent)
    assert (baking.refused(intent).odd if again else not baking.say(intent)) is again


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (69, r"stays 70 min, due \d\d:\d\d\."),
        (70.5, r"stays 70 min, due now\."),
        (121, r"is 51 min over, was due \d\d:\d\d\."),
    ],
)
def test_a_rise_that_is_logged_past_the_end_says_how_long_ago_the_stage_was_due(minutes: float, words: str) -> None:
    baking = later(at(KNOTS, "First proof"), minutes)
    assert re.search(f"First proof {words}", unchanged(baking.state, baking.now))


@pytest.mark.parametrize(
    ("before_c", "then_c", "after_s", "again"),
    [(82, 97, 135, True), (82, 97, 600, False), (82, 93, 135, False), (60, 72, 135, False), (40, 97, 60, True)],
)
def test_a_core_that_leaps_is_asked_again(before_c: float, then_c: float, after_s: float, again: bool) -> None:  # noqa: FBT001
    """Near the end of a bake a crumb gains 1 to 2 K a minute, by the curve of `dough/core_outlook.py`."""
    baking = at(LAMPLIGHTER, "Bake", minutes=35)
    baking.read(before_c, "core temperature")
    baking.wait(seconds=after_s)
    intent = intents.Read("core temperature", f"{then_c:g}", raw=then_c)
    if not again:
        assert baking.say(intent)
        return
    refused = baking.refused(intent)
    assert refused.odd
    assert refused.message.startswith(f"It read {before_c}.0 °C {told_length(after_s)} ago")
    assert baking.say(replace(intent, sure=True))


def test_a_core_in_the_middle_of_a_small_rolls_bake_may_heat_fast() -> None:
    baking = at(KNOTS, "Bake", minutes=9)
    baking.read(62, "core temperature")
    baking.wait(minutes=2.5)
    assert baking.say(intents.Read("core temperature", "78", raw=78.0))
