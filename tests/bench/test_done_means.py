"""What the one word "done" means, and when it has only come twice."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.asking.looking_again import judged_early_s
from proofbell.bake.intents import Intent
from proofbell.bake.stamp import Stamp
from proofbell.bake.tasks import OvenTask, Skipped
from proofbell.bench.board import board
from proofbell.bench.done_means import Meant, done_means, is_same_press, night_hands_us
from tests.support.baking import WHOLE, Baking
from tests.support.walking import FLAT, KNOTS, LAMPLIGHTER, PAN, at, chilled, hot, later, read

NOT_JUDGED = "The rise is not judged."


def meant(baking: Baking) -> Meant:
    return done_means(baking.state, board([baking.state], baking.now))


def test_what_waits_is_begun_and_long_before_its_start_asked_about() -> None:
    assert meant(Baking(WHOLE)) == Meant(intents.Begin())
    waits = Baking(WHOLE, start_in_s=3600)
    assert meant(waits) == Meant(intents.Begin(), start_us=waits.now.wall_us + 3_600_000_000)
    waits.wait(minutes=56)
    assert meant(waits) == Meant(intents.Begin())


def test_begun_before_its_hour_a_bake_may_want_hands_in_the_night() -> None:
    # WHOLE stands until its start in an hour; what its hands do then falls into the quiet hours if it begins now.
    waits = Baking(WHOLE, start_in_s=3600)
    now_us = waits.now.wall_us
    first_us = night_hands_us(waits.state, waits.now, [(now_us - 1, now_us + 60_000_000)])
    assert first_us == now_us
    assert night_hands_us(waits.state, waits.now, [(now_us - 9, now_us)]) is None
    later_us = night_hands_us(waits.state, waits.now, [(now_us + 1, now_us + 24 * 3_600_000_000)])
    assert later_us is not None
    assert later_us > now_us
    assert night_hands_us(waits.state, waits.now, []) is None


def test_a_stage_is_over_and_with_time_left_asked_about() -> None:
    assert meant(at(KNOTS, "Knead")) == Meant(intents.Done())
    assert meant(at(KNOTS, "First proof")) == Meant(intents.Done(), ("First proof has 1 h 10 min left.",))


def test_what_the_oven_asks_goes_before_the_end_of_the_stage() -> None:
    found = meant(later(read(at(KNOTS, "Final proof", minutes=1), 26.0), 44))
    assert isinstance(found.intent, intents.Task)
    assert isinstance(found.intent.task, OvenTask)
    assert found.intent.task.kind == "oven on"
    assert found.questions == ()


@pytest.mark.parametrize(("before_s", "kind"), [(59, "turn"), (61, None), (0, "turn"), (-5, "turn")])
def test_what_is_due_in_a_moment_is_done_and_not_the_end_of_the_bake(before_s: float, kind: str | None) -> None:
    baking = at(KNOTS, "Bake")
    baking.wait(seconds=9 * 60 - before_s)
    intent = meant(baking).intent
    found = intent.task.kind if isinstance(intent, intents.Task) and isinstance(intent.task, OvenTask) else None
    assert found == kind


def pressed(now: Stamp, seconds: float) -> Stamp:
    return replace(now, boot_us=now.boot_us + round(seconds * 1_000_000))


@pytest.mark.parametrize(
    ("said", "word", "after_s", "same"),
    [
        (intents.Done(), intents.Done(), 0.9, True),
        # The switch was pressed before the first word was stored.
        (intents.Done(), intents.Done(), -0.4, True),
        (intents.Done(), intents.Done(), 2.0, False),
        (intents.Task(OvenTask("oven on", 5)), intents.Done(), 0.5, True),
        (intents.Longer(300), intents.Longer(300), 0.5, True),
        (intents.Longer(300), intents.Longer(-300), 0.5, False),
        (intents.Longer(300), intents.Done(), 0.5, False),
        (intents.Done(), intents.Longer(300), 0.5, False),
        (intents.AddNote("soft"), intents.Done(), 0.5, False),
    ],
)
def test_the_same_word_within_two_seconds_is_the_same_press(
    said: Intent, word: Intent, after_s: float, same: object
) -> None:
    baking = at(KNOTS, "First proof", minutes=5)
    baking.say(said)
    # A reading from a probe that comes between hides nothing.
    baking.read(25.0)
    assert is_same_press(baking.state, word, pressed(baking.now, after_s)) is same


def test_a_word_that_was_taken_back_and_one_before_a_new_start_are_no_such_press() -> None:
    baking = at(KNOTS, "First proof", minutes=5)
    baking.say(intents.Done())
    assert not is_same_press(baking.state, intents.Done(), replace(baking.now, boot_id="another"))
    baking.say(intents.Undo())
    assert not is_same_press(baking.state, intents.Done(), baking.now)


def test_done_after_a_bake_was_opened_and_begun_at_once_is_another_word() -> None:
    baking = Baking(WHOLE)
    baking.say(intents.Begin())
    assert not is_same_press(baking.state, intents.Done(), pressed(baking.now, 0.5))
    assert is_same_press(baking.state, intents.Begin(), pressed(baking.now, 0.5))
    waited = Baking(WHOLE)
    waited.wait(minutes=1)
    waited.say(intents.Begin())
    assert is_same_press(waited.state, intents.Done(), pressed(waited.now, 0.5))


def test_a_dough_that_is_to_warm_is_first_out_of_the_cold_and_loaded_with_the_next_word() -> None:
    baking = chilled(read(at(KNOTS, "Final proof"), 25.0))
    baking.wait(minutes=baking.left_min - 20)
    assert meant(baking) == Meant(intents.Move("room"), ("Final proof has 20 min left.",))
    later(baking, 20)
    index = baking.state.current or 0
    first = board([baking.state], baking.now).views[0].wants[0]
    assert first.words.startswith("take it out of the cold, let it warm to 16 °C")
    assert first.kind == "due"  # no card's check opens the page for a reading then
    assert meant(baking) == Meant(intents.Move("room"))
    baking.say(meant(baking).intent)
    baking.say(intents.Task(OvenTask("oven on", index + 1)))
    baking.say(intents.Task(OvenTask("oven hot", index + 1)))
    baking.wait(minutes=max(0.0, baking.left_min - 40))
    assert baking.state.current == index
    assert baking.left_min > 15
    assert board([baking.state], baking.now).views[0].wants == ()
    baking.wait(minutes=baking.left_min)
    assert board([baking.state], baking.now).views[0].wants[0].words == "judge the rise, then load the oven"
    assert meant(baking) == Meant(intents.Done(), (NOT_JUDGED,))
    baking.eye("ready")
    assert meant(baking) == Meant(intents.Done())


def test_a_dough_that_is_over_in_the_cold_is_loaded_with_one_word() -> None:
    baking = hot(chilled(at(KNOTS, "Final proof")))
    baking.wait(minutes=600)
    baking.eye("ready")
    assert meant(baking) == Meant(intents.Done())


# The cards of the pan loaf and the knots have both of their rises judged; that of the flatbread only its last.
@pytest.mark.parametrize(("name", "stage"), [(PAN, "Final proof"), (PAN, "First proof"), (KNOTS, "Final proof")])
def test_a_rise_that_its_card_has_judged_is_asked_about_once_its_stage_is_over(name: str, stage: str) -> None:
    baking = at(name, stage, minutes=1)
    assert NOT_JUDGED not in meant(baking).questions
    baking.wait(minutes=baking.left_min + 35)
    if stage == "Final proof":
        hot(baking)
    assert meant(baking) == Meant(intents.Done(), (NOT_JUDGED,))
    baking.eye("ready")
    assert meant(baking) == Meant(intents.Done())


def test_a_card_that_has_no_rise_judged_and_a_judging_that_was_skipped_ask_nothing() -> None:
    baking = later(at(FLAT, "First proof"), 600)
    assert meant(baking).questions == ()
    skipped = at(KNOTS, "Final proof")
    skipped.wait(minutes=skipped.left_min)
    hot(skipped)
    rise = next(each for each in board([skipped.state], skipped.now).views[0].wants if each.ends)
    skipped.say(intents.Task(Skipped(rise.id)))
    assert meant(skipped).questions == ()


def test_an_early_judging_that_is_due_is_asked_about_beside_the_time_left() -> None:
    baking = read(at(LAMPLIGHTER, "First proof", minutes=5), 30.0)
    index = baking.state.current or 0
    early_s = judged_early_s(baking.state, baking.now_s)
    assert early_s is not None
    baking.wait(seconds=early_s - baking.now_s)
    left, judged = meant(baking).questions
    assert (left.startswith("First proof has "), judged) == (True, NOT_JUDGED)
    baking.wait(seconds=(baking.state.stages[index].due_s or 0.0) - baking.now_s - 600)
    assert NOT_JUDGED in meant(baking).questions
    baking.read(20.0, "rise")
    assert NOT_JUDGED not in meant(baking).questions


def test_a_rise_that_was_short_is_asked_about_again_at_the_new_end() -> None:
    baking = at(KNOTS, "Final proof")
    baking.wait(minutes=baking.left_min)
    baking.eye("not yet")
    hot(baking)
    baking.wait(minutes=max(0.0, baking.left_min))
    assert meant(baking) == Meant(intents.Done(), ("The rise was short, and is not judged again.",))


def test_the_switch_that_bounces_takes_a_dough_out_once() -> None:
    baking = later(hot(chilled(at(KNOTS, "Final proof"))), 40)
    baking.say(intents.Move("room"))
    assert is_same_press(baking.state, intents.Done(), pressed(baking.now, 1))
