"""An oven that was turned on long before its bread goes in is asked about, and can be turned off until then."""

from __future__ import annotations

from proofbell.bake import intents
from proofbell.bake.advice.advise import advise
from proofbell.bake.decisions.ask_first import too_soon
from proofbell.bake.fold import fold
from proofbell.bake.tasks import OvenTask
from proofbell.bench.agenda import ahead
from proofbell.bench.board import board
from proofbell.bench.done_means import done_means
from proofbell.bench.oven.now import oven_now
from proofbell.journal.reviews.wording import event_words
from tests.support.decided import TO_FINAL_PROOF, at, bake, said

# Harbour knots: the first proof runs from 960 s to 5160 s, the final one from 6360 s to 9360 s, then 16 min at 190 °C.
# From 21 to 190 °C at 25 min for 180 K takes 1408 s.
BAKE, DUE_S, HEAT_UP_S = 5, 9360.0, 169 / 180 * 1500
ON, HOT, OFF = (intents.Task(OvenTask(kind, BAKE)) for kind in ("oven on", "oven hot", "oven off"))
PROVING = TO_FINAL_PROOF[:3]
EARLY = (*PROVING, (1000.0, ON), (2500.0, HOT))
OFF_UNTIL = "oven off until 02:12"


def listed(now_s: float, *told: tuple[float, intents.Intent]) -> list[str]:
    state = bake("A", "harbour-knots", *told)
    return [one.words for one in ahead([state], board([state], at(now_s))) if "oven o" in one.words]


def said_of_it(now_s: float, *told: tuple[float, intents.Intent]) -> str:
    found = advise(bake("A", "harbour-knots", *told), now_s)
    return next((each.short for each in found if each.seen.startswith("The oven is hot")), "")


def test_an_oven_said_to_be_on_hours_before_it_is_wanted_is_asked_about_and_one_in_time_is_not() -> None:
    state = bake("A", "harbour-knots", *PROVING)

    assert too_soon(state, OvenTask("oven on", BAKE), 1000) == (
        "The bread goes in in 2 h 19 min, and the oven needs 23 min. Is it on already?"
    )
    late = bake("A", "harbour-knots", *TO_FINAL_PROOF)
    assert too_soon(late, OvenTask("oven on", BAKE), DUE_S - HEAT_UP_S - 1790) == ""


def test_what_advice_has_turned_off_is_asked_for_by_a_line_that_no_bell_calls_for() -> None:
    state = bake("A", "harbour-knots", *EARLY)
    there = board([state], at(2600))

    assert listed(2600, *EARLY) == [OFF_UNTIL]
    assert [ring.prompt.words for ring in there.rings if "oven" in ring.prompt.words] == []
    assert OFF.task in [one.task for one in there.views[0].wants]
    assert said_of_it(2600, *EARLY).endswith("turn it off, and on again 23 min before the bread goes in.")


def test_said_to_be_off_it_is_off_and_is_asked_for_again_in_time() -> None:
    told = (*EARLY, (2600.0, OFF))
    state = bake("A", "harbour-knots", *told)
    there = board([state], at(2700))
    now = oven_now([state], at(2700), there.before, there.oven, there.coming)
    again = next(one for one in there.coming if one.prompt.kind == "oven on")

    assert (now.doing, round(now.in_s or 0)) == ("off", round(DUE_S - HEAT_UP_S - 2700))
    assert listed(2700, *told) == ["oven on, 190 °C"]
    assert again.at_us == round((DUE_S - HEAT_UP_S) * 1_000_000)
    assert said_of_it(2700, *told) == ""
    assert fold(state.events) == state


def test_the_bell_for_it_rings_then_and_the_oven_is_to_be_turned_off_after_the_bake_as_ever() -> None:
    state = bake("A", "harbour-knots", *EARLY, (2600.0, OFF), *TO_FINAL_PROOF[3:])
    rung = [ring.prompt.words for ring in board([state], at(DUE_S - HEAT_UP_S + 1)).rings]
    told = ((DUE_S - HEAT_UP_S, ON), (DUE_S, HOT), (DUE_S, intents.Done()), (DUE_S + 960, intents.Done()))
    unsaid = ((DUE_S, intents.Done()), (DUE_S + 960, intents.Done()))

    assert "oven on, 190 °C" in rung
    for then in (told, unsaid):
        out = bake("A", "harbour-knots", *EARLY, (2600.0, OFF), *TO_FINAL_PROOF[3:], *then)
        assert "oven off" in [one.prompt.words for one in board([out], at(DUE_S + 1000)).coming]
        assert oven_now([out], at(DUE_S + 1000)).doing == "left on"


def test_undo_takes_it_back_and_the_log_says_what_was_done() -> None:
    state = bake("A", "harbour-knots", *EARLY, (2600.0, OFF))
    back = said(state, 2610, intents.Undo())

    assert back.done(ON.task)
    assert back.done(HOT.task)
    assert not back.done(OFF.task)
    assert event_words(state.last.body, state.formula) == "Oven off before Bake"


def test_space_does_it_where_it_is_all_that_is_wanted_and_never_in_place_of_hands_that_are_done() -> None:
    skipped = bake("A", "harbour-knots", *EARLY, (2550.0, intents.Read("dough temperature", "25", raw=25.0)))
    shaping = bake("A", "harbour-knots", *EARLY, (5160.0, intents.Done()))

    assert done_means(skipped, board([skipped], at(2600))).intent == OFF
    assert done_means(shaping, board([shaping], at(5200))).intent == intents.Done()


def test_a_wait_too_short_for_heating_afresh_leaves_it_on_and_is_never_told_otherwise() -> None:
    # 23 min to heat and 20 min: below 43 min it stays on.
    near = (*TO_FINAL_PROOF, (6400.0, ON), (DUE_S - 2520, HOT))

    assert said_of_it(DUE_S - 2500, *near) == (
        "The oven is hot, the bread goes in in 42 min: leave it on, and do not leave it alone."
    )
    assert listed(DUE_S - 2500, *near) == []
    assert said_of_it(DUE_S - 1100, *near) == ""


def test_an_oven_that_another_dough_needs_first_is_not_turned_off() -> None:
    first = bake("A", "harbour-knots", *EARLY)
    sooner = bake("B", "harbour-knots", (0, intents.Begin()), *((10.0 * n, intents.Done()) for n in range(1, 5)))
    seen = board([first, sooner], at(2600))

    assert [one.prompt.words for one in seen.coming if one.letter == "A" and one.prompt.kind == "oven off"] == []
