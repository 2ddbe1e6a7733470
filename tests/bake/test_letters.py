"""Live bakes are told apart by letters; one whose letter another has goes by a new one, and that is in the log."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decided
from proofbell.bake.events import NO_LETTER
from proofbell.bake.fold import fold
from proofbell.bake.record import from_row, make_event, to_row
from proofbell.bake.steps import ImpossibleError
from tests.support.baking import FIRST_PROOF, WHOLE, Baking, at_stage


def test_a_bake_goes_by_the_letter_it_was_given_last() -> None:
    baking = at_stage(FIRST_PROOF)
    (event,) = baking.say(intents.TakeLetter("C", "A was taken"))
    assert event.body == kinds.LetterGiven("C", "A was taken")
    assert baking.state.letter == "C"
    assert from_row(to_row(event)) == event


def test_taking_back_does_not_take_back_the_letter_and_it_stands_in_every_replay() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.read(27.0)
    baking.say(intents.TakeLetter("C"))
    (taken_back, *_) = baking.say(intents.Undo())
    assert isinstance(taken_back.body, kinds.Corrected)
    assert baking.state.readings == ()
    assert baking.state.letter == "C"
    assert fold(baking.state.events).letter == "C"


def test_a_closing_that_is_taken_back_gives_the_letter_in_the_same_breath() -> None:
    baking = Baking(WHOLE)
    baking.say(intents.Begin())
    baking.say(intents.GiveUp())
    corrected, given = baking.say(intents.Undo(letter="D"))
    assert isinstance(corrected.body, kinds.Corrected)
    assert isinstance(given.body, kinds.LetterGiven)
    assert given.decision == corrected.decision
    assert (baking.state.letter, baking.state.closed) == ("D", None)


def test_its_own_letter_is_not_given_again() -> None:
    baking = Baking(WHOLE)
    baking.say(intents.GiveUp())
    assert [type(event.body) for event in baking.say(intents.Undo(letter="A"))] == [kinds.Corrected]


def test_taking_back_anything_else_gives_no_letter() -> None:
    baking = at_stage(FIRST_PROOF)
    baking.read(27.0)
    assert not any(isinstance(event.body, kinds.LetterGiven) for event in baking.say(intents.Undo(letter="D")))
    assert baking.state.letter == "A"


def test_a_letter_that_is_given_after_the_end_is_read_all_the_same() -> None:
    baking = Baking(WHOLE)
    baking.say(intents.GiveUp())
    last = baking.state.last
    given = make_event(last.bake, last.number + 1, last.number + 1, baking.now, kinds.LetterGiven("E"), last.digest)
    assert decided(baking.state, (given,)).letter == "E"


@pytest.mark.parametrize("letter", ["A", "M", "", "AB", "a"])
def test_only_another_letter_of_the_bench_is_taken(letter: str) -> None:
    Baking(WHOLE).refused(intents.TakeLetter(letter))


def test_what_is_over_takes_no_letter() -> None:
    baking = Baking(WHOLE)
    baking.say(intents.GiveUp())
    baking.refused(intents.TakeLetter("C"))


def test_a_letter_that_was_given_up_cannot_be_taken_back() -> None:
    baking = Baking(WHOLE)
    (given,) = baking.say(intents.TakeLetter("C"))
    last = baking.state.last
    back = kinds.Corrected((given.number,), undone=True)
    event = make_event(last.bake, last.number + 1, last.number + 1, baking.now, back, last.digest)
    with pytest.raises(ImpossibleError, match="cannot be corrected"):
        decided(baking.state, (event,))


@pytest.mark.parametrize("named", ["\x1b[2J", "[b]A[/b]", "\u202eA", "A" * 4000, "", "a", "M", "面"])
def test_what_a_log_names_as_a_letter_and_is_none_never_becomes_one(named: str) -> None:
    baking = at_stage(FIRST_PROOF)
    first = baking.state.events[0]
    assert isinstance(first.body, kinds.BakeOpened)
    opened = make_event(first.bake, 1, 1, first.stamp, replace(first.body, letter=named), "")
    assert fold([opened]).letter == NO_LETTER
    given = make_event(first.bake, 2, 2, first.stamp, kinds.LetterGiven(named, ""), opened.digest)
    assert fold([opened, given]).letter == NO_LETTER
    mended = make_event(first.bake, 3, 3, first.stamp, kinds.LetterGiven("B", ""), given.digest)
    assert fold([opened, given, mended]).letter == "B"
