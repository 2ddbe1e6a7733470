"""What is said of a reading, what is expected of it and what it makes of the time go by one path: the modelled one."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from proofbell.bake import intents
from proofbell.bake.coming import judged_from_s
from proofbell.bake.fermenting.place_words import rough
from proofbell.bake.outlook import outlook
from proofbell.bake.view import view
from proofbell.kitchen.model import Kitchen
from tests.support.baking import Baking
from tests.support.walking import KNOTS, at, chilled, done, later


def out_of_the_cold(hours: float = 2.0) -> Baking:
    """Knots whose first proof was in the fridge for so long, then shaped at once."""
    return later(done(later(chilled(at(KNOTS, "First proof")), 60 * hours)), 10)


def said_of(baking: Baking) -> str:
    advice = view(baking.state, baking.now_s).advice
    return "" if advice is None else advice.seen


@settings(max_examples=30, deadline=None)
@example(read_c=20.0, room_c=None, minutes=30.0)
@given(
    read_c=st.floats(12.0, 30.0).map(lambda value: round(value, 1)),
    room_c=st.sampled_from((12.0, 14.0, 18.0, 21.0, None)),
    minutes=st.sampled_from((0.0, 8.0, 30.0)),
)
def test_no_dough_is_told_to_be_slower_that_is_due_sooner_nor_faster_that_is_due_later(
    read_c: float, room_c: float | None, minutes: float
) -> None:
    retarded = room_c is None
    begun = done(out_of_the_cold()) if retarded else at(KNOTS, "Final proof", kitchen=Kitchen(room_c=room_c or 0.0))
    baking = later(begun, minutes)
    before_min = baking.length_min
    baking.read(read_c)
    assert not ("slower" in said_of(baking) and baking.length_min < before_min)
    assert not ("faster" in said_of(baking) and baking.length_min > before_min)


def test_a_dough_colder_than_its_card_and_warmer_than_expected_is_said_to_be_that() -> None:
    baking = later(at(KNOTS, "Final proof", kitchen=Kitchen(room_c=14.0)), 30)
    change = baking.read(22.0)
    assert change is not None
    assert change.to_s < change.from_s
    assert change.reason.startswith("Dough 22.0 °C, warmer than was likely by now: ")
    assert "slower" not in said_of(baking)


def test_a_dough_colder_than_expected_is_held_against_what_was_expected() -> None:
    baking = later(at(KNOTS, "Final proof", kitchen=Kitchen(room_c=14.0)), 30)
    baking.read(17.0)
    assert said_of(baking).startswith("Dough 17.0 °C, about 21 °C expected by now, about ")


@pytest.mark.parametrize("read_c", [9.0, 12.0])
def test_a_reading_just_out_of_the_cold_is_expected_to_be_cold(read_c: float) -> None:
    baking = done(out_of_the_cold(12))
    baking.say(intents.Read("dough temperature", f"{read_c:g}", raw=read_c))  # it is not asked again


def test_a_reading_far_from_the_model_out_of_the_cold_is_asked_again_with_what_the_model_says() -> None:
    baking = done(out_of_the_cold())
    refused = baking.refused(intents.Read("dough temperature", "34", raw=34.0))
    low, high = (float(each) for each in refused.message.split("; ")[1].split(" °C")[0].split(" to "))
    assert low < high < 23
    change = baking.read((low + high) / 2)
    assert change is None or abs(change.to_s - change.from_s) <= 300


@settings(max_examples=25, deadline=None)
@given(hours=st.floats(0.5, 14.0), read_c=st.none() | st.floats(3.0, 9.0), hands_min=st.sampled_from((2.0, 20.0, 45.0)))
def test_the_list_has_the_length_that_the_proof_after_the_cold_begins_with(
    hours: float, read_c: float | None, hands_min: float
) -> None:
    baking = later(chilled(at(KNOTS, "First proof")), 60 * hours)
    if read_c is not None:
        baking.read(read_c)
    later(done(baking), hands_min)
    proof = (baking.state.current or 0) + 1
    listed = next(each for each in outlook(baking.state, baking.now_s) if each.stage == proof)
    from_s = judged_from_s(baking.state, proof)
    done(baking)
    assert listed.seconds == pytest.approx(baking.state.stages[proof].length_s)
    assert from_s is not None
    assert from_s <= listed.seconds + 1e-6


def test_what_is_said_in_the_cold_of_the_proof_to_come_is_what_the_list_has() -> None:
    """As a baker had it: 57 min at the right, 92 on starting it."""
    baking = later(chilled(at(KNOTS, "First proof")), 135)
    baking.read(5.0)
    listed = next(each for each in outlook(baking.state, baking.now_s) if each.stage == 4)
    assert f"Then Final proof takes about {rough(listed.seconds)}, " in view(baking.state, baking.now_s).why


def test_a_first_proof_that_the_cold_took_too_far_says_what_to_do() -> None:
    baking = later(chilled(later(at(KNOTS, "First proof"), 100)), 60)
    why = view(baking.state, baking.now_s).why
    assert "That is too far: take it out, knock it back and shape it now." in why
    fresh = later(chilled(later(at(KNOTS, "First proof"), 20)), 60)
    assert "too far" not in view(fresh.state, fresh.now_s).why
