"""The rise, as a number or by eye: wanted 50 to 70 %, 8 min more when short, at most three times."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.formula.model import Check
from tests.support.baking import FINAL_PROOF, at_stage


def test_not_ready_by_eye_at_the_end_extends_from_now() -> None:
    baking = at_stage(FINAL_PROOF)
    baking.wait(minutes=52)
    change = baking.eye("not yet")
    assert change is not None
    assert (change.to_s, change.by) == (60 * 60, "rise")
    assert change.reason == "Not ready by eye after 52 min: 8 min more."
    assert baking.left_min == pytest.approx(8)


def test_not_ready_by_eye_before_the_end_changes_nothing() -> None:
    baking = at_stage(FINAL_PROOF)
    baking.wait(minutes=45)
    assert baking.eye("not yet") is None


def test_it_is_extended_no_more_often_than_the_formula_allows_and_within_the_stretch() -> None:
    baking = at_stage(FINAL_PROOF)
    lengths = []
    for _ in range(4):
        baking.wait(minutes=max(0.0, baking.left_min))
        baking.eye("not yet")
        lengths.append(baking.length_min)
    # 50 + 8 + 8, then the stretch caps the third: 70 min at 22 °C, 71 in a room of 21; a fourth is not granted.
    assert lengths == [58, 66, 71, 71]
    wide = at_stage(replace(FINAL_PROOF, stretch=None))
    for _ in range(5):
        wide.wait(minutes=max(0.0, wide.left_min))
        wide.eye("not yet")
    assert wide.length_min == 50 + 3 * 8


def test_a_short_number_extends_at_the_same_pace() -> None:
    baking = at_stage(FINAL_PROOF)
    baking.wait(minutes=50)
    change = baking.read(40.0, "rise")
    assert change is not None
    # With the 25 % that went into the dough first, 65 % in 50 min: the 10 % that lack take 7.7 min, told upwards.
    assert change.to_s == 58 * 60
    assert change.reason == "Rise 40 %, short of 50 %, after 50 min: 8 min more (4 to 11 min)."


def test_a_number_that_will_be_reached_in_time_changes_nothing() -> None:
    baking = at_stage(FINAL_PROOF)
    baking.wait(minutes=25)
    assert baking.read(30.0, "rise") is None


@pytest.mark.parametrize("seen", ["ready", "too far"])
def test_ready_or_too_far_by_eye_is_due_now(seen: str) -> None:
    baking = at_stage(FINAL_PROOF)
    baking.wait(minutes=40)
    change = baking.eye(seen)
    assert change is not None
    assert baking.left_min == pytest.approx(0)
    assert change.reason.endswith("after 40 min: due now.")


def test_enough_rise_is_due_now_and_never_before_it_was_read() -> None:
    baking = at_stage(FINAL_PROOF)
    baking.wait(minutes=40)
    baking.read(50.0, "rise")
    assert baking.left_min == pytest.approx(0)
    late = at_stage(FINAL_PROOF)
    late.wait(minutes=60)
    assert late.read(65.0, "rise") is None
    assert late.left_min == pytest.approx(-10)


def test_a_rise_in_percent_that_nobody_asked_for_is_taken_down_and_changes_nothing() -> None:
    baking = at_stage(replace(FINAL_PROOF, rise=None))
    baking.wait(minutes=50)
    assert baking.read(30.0, "rise") is None
    assert baking.state.readings[-1].value == 30.0


def test_who_says_not_yet_is_told_when_to_judge_again_though_the_card_asks_for_no_rise() -> None:
    baking = at_stage(replace(FINAL_PROOF, rise=None))
    baking.wait(minutes=50)
    change = baking.eye("not yet")
    # The format's own `extend`, where a card does not give one.
    assert change is not None
    assert change.reason == "Not ready by eye after 50 min: 10 min more."
    assert baking.left_min == pytest.approx(10)


def test_the_check_at_the_end_is_asked_again_at_the_new_end() -> None:
    from proofbell.bake.prompts import prompts

    baking = at_stage(replace(FINAL_PROOF, checks=(Check("rise", "end"),)))
    baking.wait(minutes=50)
    first = next(prompt for prompt in prompts(baking.state) if prompt.kind == "check")
    baking.eye("not yet")
    again = next(prompt for prompt in prompts(baking.state) if prompt.kind == "check")
    assert again.id != first.id
    assert again.due_s - first.due_s == pytest.approx(8 * 60)
    baking.wait(minutes=8)
    baking.eye("ready")
    assert not [prompt for prompt in prompts(baking.state) if prompt.kind == "check"]


def test_a_by_eye_word_is_no_temperature() -> None:
    refused = at_stage(FINAL_PROOF).refused(intents.Read("dough temperature", "ready", eye="ready"))
    assert "number in °C" in refused.remedy
