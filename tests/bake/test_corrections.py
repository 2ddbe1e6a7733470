"""Putting a reading right, and taking back the last thing said: both stay in the log."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decided
from proofbell.bake.fold import apply, fold
from proofbell.bake.record import make_event
from proofbell.bake.steps import ImpossibleError
from proofbell.formula.model import Check
from proofbell.kitchen.model import Kitchen, Probe
from tests.support.baking import FINAL_PROOF, FIRST_PROOF, WHOLE, Baking, adjustment, at_stage, formula


def correction(baking: Baking, raw: float) -> kinds.TimeAdjusted | None:
    """Put the newest reading right; returns what that changed."""
    number = baking.state.readings[-1].number
    return adjustment(baking.say(intents.Correct(number, f"{raw:g}", raw, sure=True)))


def test_a_corrected_reading_works_out_the_length_anew_from_its_own_moment() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.read(27.0)
    baking.wait(minutes=10)
    change = correction(baking, 25.0)
    assert change is not None
    assert (change.from_s, change.to_s) == (55 * 60, 70 * 60)
    assert change.reason.startswith("Dough 25.0 °C, below 26 °C: 55 → 70 min by the formula")


def test_every_value_that_a_reading_had_is_kept_the_first_one_first() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.read(72.0 / 2)
    correction(baking, 26.0)
    correction(baking, 23.0)
    (reading,) = baking.state.readings
    assert reading.value == 23.0
    assert [before.value for before in reading.earlier] == [36.0, 26.0]


def test_a_corrected_value_passes_the_probes_correction_too() -> None:
    baking = at_stage(FIRST_PROOF, Kitchen(probe=Probe(offset_k=1.0)))
    baking.read(20.0)
    correction(baking, 24.5)
    assert baking.state.readings[-1].value == pytest.approx(25.5)
    assert baking.state.readings[-1].raw == 24.5


def test_the_newest_reading_decides_although_an_older_one_is_put_right() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.read(22.0)
    first = baking.state.readings[-1].number
    baking.wait(minutes=5)
    baking.read(27.0)
    assert adjustment(baking.say(intents.Correct(first, "25", 25.0))) is None
    assert baking.length_min == 55


def test_a_rise_put_right_takes_its_extension_back() -> None:
    baking = at_stage(FINAL_PROOF)
    baking.wait(minutes=50)
    baking.read(30.0, "rise")
    assert baking.length_min > 50
    change = correction(baking, 60.0)
    assert change is not None
    assert baking.length_min == 50
    assert change.reason.endswith("back to 50 min.")


def test_a_rise_put_right_by_eye_counts_its_extensions_afresh() -> None:
    baking = at_stage(replace(FINAL_PROOF, stretch=None))
    baking.wait(minutes=50)
    baking.read(60.0, "rise")
    number = baking.state.readings[-1].number
    baking.say(intents.Correct(number, "not yet", eye="not yet"))
    assert baking.length_min == 58
    assert baking.state.stages[1].extensions() == 1


def test_a_carried_over_reading_can_still_be_put_right() -> None:
    baking = Baking(formula(replace(FINAL_PROOF, name="Rest", adjust=None, rise=None), FIRST_PROOF))
    baking.say(intents.Begin())
    baking.read(27.0)
    baking.say(intents.Done())
    assert baking.length_min == 55
    correction(baking, 23.0)
    assert baking.length_min == 85


def test_a_reading_of_a_stage_that_is_over_is_put_right_and_changes_no_time() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(2)
    baking.read(25.0)
    baking.wait(minutes=70)
    baking.to_stage(4)
    assert correction(baking, 23.0) is None
    assert baking.state.readings[-1].value == 23.0


def test_a_correction_can_be_taken_back_as_one_thing_said() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.read(27.0)
    correction(baking, 23.0)
    baking.say(intents.Undo())
    (reading,) = baking.state.readings
    assert (reading.value, reading.earlier) == (27.0, ())
    assert baking.length_min == 55
    baking.say(intents.Undo())
    assert baking.state.readings == ()
    assert baking.length_min == 70


def test_what_is_no_reading_cannot_be_put_right() -> None:
    baking = at_stage(FIRST_PROOF)
    assert "no such reading" in baking.refused(intents.Correct(1, "25", 25.0)).message
    baking.read(27.0)
    number = baking.state.readings[-1].number
    assert "already" in baking.refused(intents.Correct(number, "27", 27.0)).message
    assert (
        baking.refused(intents.Correct(number, "270", 270.0)).message
        == "A dough temperature of 270.0 °C cannot be right."
    )
    baking.say(intents.Undo())
    baking.refused(intents.Correct(number, "25", 25.0))


def test_a_stage_that_was_ended_by_mistake_goes_on_as_if_nothing_had_been_said() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(2)
    baking.wait(minutes=30)
    baking.say(intents.Done())
    baking.wait(minutes=2)
    corrected, reopened = baking.say(intents.Undo())
    assert isinstance(corrected.body, kinds.Corrected)
    assert isinstance(reopened.body, kinds.StageReopened)
    assert baking.state.current == 2
    assert baking.left_min == pytest.approx(70 - 32)


def test_undo_reaches_back_through_everything_said() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(2)
    for _ in range(3):
        baking.say(intents.Undo())
    assert not baking.state.begun
    assert "nothing to undo" in baking.refused(intents.Undo()).message


def test_a_silenced_bell_is_not_what_undo_takes_back() -> None:
    from proofbell.bake.tasks import PromptId, Silenced

    baking = Baking(WHOLE)
    baking.to_stage(3)
    baking.say(intents.Task(Silenced(PromptId("check", 2, 0))))
    baking.say(intents.Undo())
    assert baking.state.current == 2


def test_checks_that_were_missed_are_named_when_the_stage_ends() -> None:
    checks = (Check("dough temperature", "start"), Check("room temperature", "into", 3600.0), Check("rise", "end"))
    baking = at_stage(replace(FIRST_PROOF, checks=checks))
    baking.wait(minutes=30)
    ended = baking.say(intents.Done())[0].body
    assert isinstance(ended, kinds.StageEnded)
    # The room was to be read after an hour, which never came.
    assert ended.missed == baking.state.stages[1].missed == ("dough temperature", "rise")


def test_a_reading_just_before_an_early_end_is_the_one_at_the_end() -> None:
    baking = at_stage(replace(FINAL_PROOF, checks=(Check("rise", "end"),)))
    baking.wait(minutes=38)
    baking.read(55.0, "rise")
    baking.wait(minutes=2)
    ended = baking.say(intents.Done())[0].body
    assert isinstance(ended, kinds.StageEnded)
    assert ended.missed == ()


def test_a_reading_long_before_an_early_end_is_not() -> None:
    baking = at_stage(replace(FINAL_PROOF, checks=(Check("rise", "end"),)))
    baking.wait(minutes=20)
    baking.read(25.0, "rise")
    baking.wait(minutes=10)
    baking.say(intents.Done())
    assert baking.state.stages[1].missed == ("rise",)


def test_what_was_taken_back_is_not_taken_back_or_put_right_again() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.read(27.0)
    number = baking.state.readings[-1].number
    baking.say(intents.Undo())
    last = baking.state.last
    for body in (kinds.Corrected((number,), undone=True), kinds.Corrected((number,), undone=False, value=25.0)):
        event = make_event("b1", last.number + 1, last.number + 1, baking.now, body, last.digest)
        with pytest.raises(ImpossibleError, match="undone already"):
            apply(baking.state, event)


@pytest.mark.parametrize(
    "body",
    [
        kinds.StageBegun(5),
        kinds.StageBegun(-3),
        kinds.StageBegun(99),
        kinds.StageEnded(3),
        kinds.StageReopened(1),
        kinds.StartPlanned(0.0),
        kinds.TimeAdjusted(0, 60.0, 50.0, "hand", "Over."),
        kinds.TimeAdjusted(2, 4200.0, -1.0, "hand", "Less than nothing."),
        kinds.ReadingTaken("rise", 5.0, "5", stage=77),
        kinds.Corrected((1,), undone=True),
        kinds.Corrected((2,), undone=False),
        kinds.Corrected((999,), undone=True),
        kinds.BakeOpened("B", WHOLE, Baking(WHOLE).state.batch, Kitchen(), "0"),
    ],
)
def test_the_fold_refuses_what_cannot_have_happened(body: kinds.Body) -> None:
    baking = Baking(WHOLE)
    baking.to_stage(2)
    last = baking.state.last
    event = make_event("b1", last.number + 1, last.number + 1, baking.now, body, last.digest)
    with pytest.raises(ImpossibleError):
        apply(baking.state, event)


def test_the_fold_refuses_gaps_other_bakes_and_nothing() -> None:
    baking = Baking(WHOLE)
    baking.to_stage(2)
    events = baking.state.events
    with pytest.raises(ImpossibleError):
        fold([*events[:2], *events[3:]])
    with pytest.raises(ImpossibleError):
        fold(events[1:])
    with pytest.raises(ImpossibleError):
        fold([])
    with pytest.raises(ImpossibleError):
        fold([*events, replace(events[-1], bake="b2", number=events[-1].number + 1)])
    with pytest.raises(ValueError, match="no bake"):
        decided(None, ())
