"""What was decided while nothing could be saved is joined onto what others have stored: in order, and nothing lost."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.decisions.joining import joined, shared
from proofbell.bake.decisions.still_meant import still_meant
from proofbell.bake.events import Event
from proofbell.bake.fold import fold
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.record import chained_digest, to_row
from proofbell.bake.state import BakeState
from tests.support.baking import FINAL_PROOF, FIRST_PROOF, INTENTS, Baking, formula

SAID = st.lists(INTENTS, max_size=8)


def in_vain(event: Event) -> str:
    """Words for what is no longer possible."""
    return f"in vain: {event.number}"


def begun() -> Baking:
    """A bake whose first proof runs."""
    baking = Baking(formula(FIRST_PROOF, FINAL_PROOF))
    baking.say(intents.Begin())
    return baking


def after(state: BakeState, baking: Baking, said: list[Intent]) -> BakeState:
    """The state when all that can be said has been, ten seconds apart."""
    for intent in said:
        baking.wait(seconds=10)
        decision = decide(state, intent, baking.now)
        if not isinstance(decision, Refused):
            state = decided(state, decision)
    return state


@settings(max_examples=120)
@given(SAID, SAID)
def test_a_joined_log_is_whole_and_holds_what_both_have_said(mine: list[Intent], theirs: list[Intent]) -> None:
    baking = begun()
    common = baking.state
    here = after(common, baking, mine)
    there = after(common, baking, theirs)
    unsaved = here.events[shared(here.events, there.events) :]
    both = joined(there, unsaved, in_vain)

    assert both.events[: len(there.events)] == there.events, "what is stored is never changed"
    assert len(both.events) == len(there.events) + len(unsaved)
    digest = ""
    for number, event in enumerate(both.events, start=1):
        assert (event.number, event.digest) == (number, chained_digest(digest, to_row(event)))
        digest = event.digest
    assert fold(both.events) == both
    for event, said in zip(both.events[len(there.events) :], unsaved, strict=True):
        kept = type(event.body) is type(said.body)
        assert kept or event.body == kinds.NoteAdded(in_vain(said))


@settings(max_examples=60)
@given(SAID)
def test_with_nothing_said_elsewhere_nothing_but_what_was_said_comes_of_it(mine: list[Intent]) -> None:
    baking = begun()
    here = after(baking.state, baking, mine)
    unsaved = here.events[len(baking.state.events) :]
    assert joined(baking.state, unsaved, in_vain).events == here.events


def test_a_reading_keeps_its_change_and_a_correction_its_reading_under_new_numbers() -> None:
    baking = begun()
    common = baking.state
    read = intents.Read("dough temperature", "27.5", raw=27.5, sure=True)
    here = after(common, baking, [read])
    reading = next(event for event in here.events if isinstance(event.body, kinds.ReadingTaken))
    here = after(here, baking, [intents.Correct(reading.number, "26.5", raw=26.5, sure=True)])
    there = after(common, baking, [intents.AddNote("smells sweet"), intents.AddNote("quite soft")])
    both = joined(there, here.events[len(common.events) :], in_vain)

    assert [note.text for note in both.notes] == ["smells sweet", "quite soft"]
    assert [value.value for value in both.readings] == [26.5]
    assert both.stages[0].length_s == here.stages[0].length_s
    caused = [event.body.cause for event in both.events if isinstance(event.body, kinds.TimeAdjusted)]
    assert caused
    causes = [both.events[number - 1].body for number in caused if number]
    assert all(isinstance(body, kinds.ReadingTaken | kinds.Corrected) for body in causes)


def test_the_bakes_time_does_not_go_back_where_what_is_stored_is_newer() -> None:
    baking = begun()
    common = baking.state
    here = after(common, baking, [intents.AddNote("at ten seconds")])
    there = after(common, baking, [intents.AddNote("at twenty seconds")])
    both = joined(there, here.events[len(common.events) :], in_vain)
    baking.wait(seconds=30)
    assert both.now_s(baking.now) == there.now_s(baking.now)


def test_done_is_not_meant_any_more_when_the_stage_it_was_said_of_is_over() -> None:
    baking = begun()
    before = baking.state
    noted = after(before, baking, [intents.AddNote("soft")])
    over = after(before, baking, [intents.Done()])
    assert still_meant(before, noted, intents.Done())
    assert not still_meant(before, over, intents.Done())
    assert still_meant(before, over, intents.AddNote("soft"))
    assert not still_meant(before, noted, intents.Undo())
    assert not still_meant(None, before, intents.Begin())
