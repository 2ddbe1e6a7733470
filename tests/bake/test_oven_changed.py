"""The kitchen's oven becomes another: live bakes tell their heats for it, and their logs say since when."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.fold import fold
from proofbell.bake.intents import Refused
from proofbell.bake.prompts import prompts
from proofbell.bake.record import from_row, to_row
from proofbell.bake.state import BakeState
from proofbell.journal.reviews.wording import event_words
from proofbell.kitchen.model import Oven, OvenDial
from tests.support.decided import TO_FINAL_PROOF, at, bake


def told(state: BakeState) -> list[str]:
    return [prompt.words for prompt in prompts(state) if prompt.kind == "oven on"]


def changed(state: BakeState, oven: Oven) -> BakeState:
    decision = decide(state, intents.TakeOven(oven), at(7000))
    assert not isinstance(decision, Refused), decision
    return decided(state, decision)


def test_heats_are_told_for_the_new_oven_and_its_times_stay_the_bakes_own() -> None:
    before = bake("A", "harbour-knots", *TO_FINAL_PROOF)
    after = changed(before, Oven("gas", heat_up_s=60.0, trays=2))

    assert told(before) == ["oven on, 190 °C"]
    assert told(after) == ["oven on, gas mark 5"]
    assert after.kitchen.oven == replace(before.kitchen.oven, kind="gas", trays=2)
    assert event_words(after.last.body, after.formula) == (
        "The kitchen's oven changed: gas; 200 °C on a card is gas mark 6 on it"
    )


def test_it_is_read_back_as_it_was_written_and_not_undone_by_the_next_undo() -> None:
    dial = (OvenDial(190.0, "375 °F"),)
    after = changed(bake("A", "harbour-knots", *TO_FINAL_PROOF), Oven(dial=dial))
    undone = decide(after, intents.Undo(), at(7001))

    assert from_row(to_row(after.last)).body == after.last.body
    assert fold(after.events) == after
    assert not isinstance(undone, Refused)
    assert decided(after, undone).current == 3
    assert decided(after, undone).kitchen.oven.dial == dial


def test_the_same_oven_again_is_no_news_and_a_bake_that_is_over_keeps_its_own() -> None:
    live = bake("A", "harbour-knots", *TO_FINAL_PROOF)
    over = bake("A", "harbour-knots", *TO_FINAL_PROOF, (6500, intents.GiveUp()))

    assert isinstance(decide(live, intents.TakeOven(live.kitchen.oven), at(7000)), Refused)
    assert isinstance(decide(over, intents.TakeOven(Oven("fan")), at(7000)), Refused)
