"""The sentence under the countdown: what gives the stage the length that it has now."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.app.reading.reading_words import outcome
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.events import AsPlanned
from proofbell.bake.intents import Refused
from proofbell.bake.view import view
from proofbell.formula.model import RiseWish
from proofbell.journal.reviews.wording import said_words
from proofbell.kitchen.model import Kitchen
from tests.support.baking import FINAL_PROOF, FIRST_PROOF, Baking, at_stage
from tests.support.walking import KNOTS, at

ROOM_22 = Kitchen(room_c=22.0)


def said(baking: Baking) -> str:
    return view(baking.state, baking.now_s).why


def corrected(baking: Baking, raw: float) -> None:
    baking.say(intents.Correct(baking.state.readings[-1].number, f"{raw:g}", raw, sure=True))


def test_it_follows_a_corrected_reading_although_the_length_stays() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.read(27.0)
    corrected(baking, 29.0)
    assert baking.length_min == 55
    assert said(baking).startswith("Dough 29.0 °C, 26 °C or warmer: 70 → 55 min by the formula")


def test_it_follows_a_later_reading_of_the_same_band() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.read(27.0)
    baking.wait(minutes=10)
    assert baking.read(28.0) is None
    assert said(baking).startswith("Dough 28.0 °C")


def test_it_follows_a_change_by_hand_and_keeps_what_the_reading_said() -> None:
    baking = at_stage(FINAL_PROOF, ROOM_22)
    change = baking.read(27.0)
    assert change is not None
    for _ in range(2):
        baking.say(intents.Longer(300))
    minutes = round(change.to_s / 60)
    assert said(baking).startswith(
        f"Dough 27.0 °C: 50 → {minutes + 10} min for the same fermentation and 10 min more by"
    )
    corrected(baking, 25.0)
    assert said(baking).startswith("Dough 25.0 °C: 55 → 60 min for the same fermentation and 10 min more by hand")


def test_by_hand_alone_all_that_was_changed_is_told_as_one() -> None:
    baking = at_stage(FINAL_PROOF, ROOM_22)
    for by_s in (300, 300, -120):
        baking.say(intents.Longer(by_s))
    assert said(baking) == "8 min longer by hand."
    baking.say(intents.Longer(-480))
    assert said(baking) == ""


def test_by_hand_after_a_short_rise_both_are_told() -> None:
    baking = at_stage(replace(FINAL_PROOF, adjust=None), ROOM_22)
    baking.wait(minutes=50)
    baking.eye("not yet")
    baking.say(intents.Longer(300))
    assert said(baking) == "Not ready by eye after 50 min: 8 min more. 5 min longer by hand."
    corrected_rise = at_stage(replace(FINAL_PROOF, stretch=None, adjust=None), ROOM_22)
    corrected_rise.wait(minutes=50)
    corrected_rise.read(40.0, "rise")
    corrected(corrected_rise, 40.2)
    assert said(corrected_rise) == "Rise 40.2 %, short of 50 %, after 50 min: 8 min more (4 to 11 min)."


def test_a_short_rise_that_got_no_time_by_the_card_is_told_with_the_time_that_the_baker_gave_it() -> None:
    baking = at_stage(replace(FINAL_PROOF, rise=RiseWish((50.0, 70.0), 8 * 60.0, 1)), ROOM_22)
    baking.wait(minutes=50)
    baking.read(40.0, "rise")
    assert said(baking) == "Rise 40 %, short of 50 %, after 50 min: 8 min more (4 to 11 min)."
    baking.wait(minutes=8)
    baking.read(44.0, "rise")
    # Eight minutes apart the two say no pace; with the 25 % of a first rise, 69 % in 58 min: 6 % more in 5.04.
    assert view(baking.state, baking.now_s).do == "Rise 44 %, 50 % wanted: 6 min more (2 to 8)"
    assert said(baking) == "", "it is told once"
    baking.say(intents.Longer(360))
    assert said(baking) == "Rise 44 %, 50 % wanted: 6 min more (2 to 8). 6 min longer by hand."


def test_what_the_plan_was_told_to_do_stands_until_a_reading_or_a_hand_changes_it() -> None:
    baking = at_stage(FINAL_PROOF, ROOM_22)
    baking.read(25.0)
    baking.say(intents.Accept(1, 55 * 60.0, "5 min longer, so that oven and hands are free."))
    assert said(baking) == "5 min longer, so that oven and hands are free."
    baking.say(intents.Longer(60))
    assert said(baking) == "5 min longer, so that oven and hands are free. 1 min longer by hand."


def test_a_reading_under_a_length_of_the_plan_s_says_what_the_dough_alone_would_have() -> None:
    baking = at(KNOTS, "First proof", kitchen=ROOM_22)
    baking.say(intents.Accept(baking.state.current or 0, 63 * 60.0, "so that oven and hands are free"))
    before, decision = baking.state, decide(baking.state, intents.Read("dough temperature", "27", 27.0), baking.now)
    assert "That is the plan's length; by the dough alone it is 55 min." in outcome(before, decision, baking.now).lines
    baking.read(27.0)
    assert baking.length_min == 63


@pytest.mark.parametrize(("read_c", "length_min"), [(25.0, 63), (27.0, 63), (22.5, 85)])
def test_a_dough_that_is_far_from_a_length_of_the_plan_s_goes_by_its_own(read_c: float, length_min: float) -> None:
    """Up to 15 % either way: common practice, no source."""
    baking = at(KNOTS, "First proof", kitchen=ROOM_22)
    baking.say(intents.Accept(baking.state.current or 0, 63 * 60.0, "so that oven and hands are free"))
    baking.read(read_c)
    assert baking.length_min == length_min


@pytest.mark.parametrize(
    ("read_c", "alone", "by_plan"), [(24.0, 53, 53), (24.5, 51, 50), (25.5, 49, 50), (26.5, 46, 46)]
)
def test_a_reading_that_makes_hardly_a_difference_moves_no_hour_of_a_plan(
    read_c: float, alone: int, by_plan: int
) -> None:
    """Within a twentieth: common practice, no source."""
    baking = at_stage(FINAL_PROOF, ROOM_22)
    state, index = baking.state, baking.state.current or 0
    hours = tuple(0.0 for _ in state.stages), tuple(state.stages[index].length_s for _ in state.stages)
    planned = replace(state, as_planned=AsPlanned(*hours, tuple(None for _ in state.stages)))
    for one, length_min in ((state, alone), (planned, by_plan)):
        decision = decide(one, intents.Read("dough temperature", str(read_c), read_c), baking.now)
        assert not isinstance(decision, Refused)
        after = decided(one, decision)
        assert after is not None
        assert after.stages[index].length_s == length_min * 60


def test_dialog_bench_and_log_tell_a_change_by_the_same_two_figures() -> None:
    baking = at_stage(FINAL_PROOF, Kitchen(room_c=16.0))
    placed = baking.length_min
    assert placed != 50, "the room has moved it before anybody read the dough"
    before, decision = baking.state, decide(baking.state, intents.Read("dough temperature", "22", 22.0), baking.now)
    assert not isinstance(decision, Refused)
    change = baking.read(22.0)
    assert change is not None
    figures = f"{placed:.0f} → {change.to_s / 60:.0f} min"
    assert any(figures in line for line in outcome(before, decision, baking.now).lines)
    assert figures in said(baking)
    assert said_words(baking.state.last, baking.state).count(figures) == 2
