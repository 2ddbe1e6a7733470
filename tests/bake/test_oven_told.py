"""An oven is only as hot as somebody has said: loads wait for it, ends are asked about, and it is turned off again."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.asking.prompt import OvenBefore
from proofbell.bake.decisions.ask_first import ask_first, too_soon
from proofbell.bake.outlook import outlook
from proofbell.bake.prompts import prompts
from proofbell.bake.tasks import OvenTask
from proofbell.bench.board import board
from proofbell.bench.oven.now import oven_now
from proofbell.kitchen.model import Kitchen, Oven
from tests.support.decided import TO_FINAL_PROOF, at, bake

# Harbour knots: the final proof runs from 6360 s to 9360 s, then 16 min at 190 °C.
# From 21 to 190 °C at 25 min for 180 K takes 1408 s.
DUE_S = 9360.0
HEAT_UP_S = 169 / 180 * 1500
BAKE, COOL = 5, 6
READY = (DUE_S, intents.Read("rise", "ready", eye="ready"))


def load_s(now_s: float, *said: tuple[float, intents.Intent]) -> float:
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, *said)
    return next(span.begin_s for span in outlook(state, now_s) if span.stage == BAKE)


def test_the_load_waits_for_an_oven_that_nobody_has_turned_on() -> None:
    assert load_s(7000) == DUE_S
    assert load_s(9000) == 9000 + HEAT_UP_S


def test_the_load_waits_for_an_oven_that_was_turned_on_late_and_not_for_one_that_is_hot() -> None:
    late = (9000.0, intents.Task(OvenTask("oven on", BAKE)))

    assert load_s(9300, late) == 9000 + HEAT_UP_S
    assert load_s(9300, late, (9200.0, intents.Task(OvenTask("oven hot", BAKE)))) == DUE_S


def test_an_oven_that_another_bake_has_hot_is_not_waited_for() -> None:
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF)

    assert next(s.begin_s for s in outlook(state, 9000, lit=True) if s.stage == BAKE) == DUE_S


def test_loading_an_oven_that_was_never_said_to_be_on_is_asked_about() -> None:
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, READY)

    assert ask_first(state, DUE_S) == ("The bake begins with this, and the oven has not been marked as on.",)
    assert ask_first(state, DUE_S, OvenBefore(190.0, 9000.0)) == ()


def test_loading_an_oven_that_is_still_heating_is_asked_about_with_what_is_left() -> None:
    on = (DUE_S - 600, intents.Task(OvenTask("oven on", BAKE)))
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, on, READY)

    (question,) = ask_first(state, DUE_S)

    assert question.startswith("The oven needs 13 min")


IN_OVEN: tuple[tuple[float, intents.Intent], ...] = (
    (7900.0, intents.Task(OvenTask("oven on", BAKE))),
    (9300.0, intents.Task(OvenTask("oven hot", BAKE))),
    (DUE_S, intents.Done()),
)


def test_taking_it_out_without_a_core_reading_is_asked_about_until_it_may_burn() -> None:
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, *IN_OVEN)
    read = bake(
        "A", "harbour-knots", *TO_FINAL_PROOF, *IN_OVEN,
        (10300.0, intents.Read("core temperature", "91", raw=91.0)),
    )  # fmt: skip

    unread = "The core was not read; it should be 88 °C or more."
    assert unread in ask_first(state, 10200)
    assert ask_first(state, 10320) == (unread,)
    assert ask_first(state, 10320, unread=True) == ()
    assert ask_first(state, 10320 + 600) == (), "it may burn"
    assert unread not in ask_first(read, 10310)


OUT: tuple[tuple[float, intents.Intent], ...] = (*IN_OVEN, (10320.0, intents.Done()))


def test_after_the_last_bake_somebody_is_asked_to_turn_the_oven_off() -> None:
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, *OUT)

    assert ("oven off", 10320.0) in [(prompt.kind, prompt.due_s) for prompt in prompts(state)]
    assert oven_now([state], at(10400)).doing == "left on"
    assert "The oven is not marked as off." in ask_first(state, 12_000)


def test_an_oven_said_to_be_off_is_asked_about_no_more() -> None:
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, *OUT, (10330.0, intents.Task(OvenTask("oven off", BAKE))))

    assert "oven off" not in [prompt.kind for prompt in prompts(state)]
    assert oven_now([state], at(10400)).doing == "unused"
    assert ask_first(state, 12_000) == ()


def test_an_oven_that_no_dough_needs_before_it_could_be_heated_afresh_is_turned_off() -> None:
    # A is out at 10 320 s; B is due at 12 360 s, 34 min later, and heating afresh takes 23 min.
    first = bake("A", "harbour-knots", *TO_FINAL_PROOF, *OUT)
    second = bake("B", "harbour-knots", *((seconds + 3000, said) for seconds, said in TO_FINAL_PROOF))

    seen = board([first, second], at(10_400))

    assert [one.prompt.words for one in seen.coming if one.prompt.kind in ("oven off", "oven on")] == [
        "oven off",
        "oven on, 190 °C",
    ]


@pytest.mark.parametrize("later_s", [1800, 2700])  # 14 min after A is out; 29 min, of which it would be off for 6
def test_an_oven_that_the_next_dough_needs_stays_on(later_s: int) -> None:
    first = bake("A", "harbour-knots", *TO_FINAL_PROOF, *OUT)
    second = bake("B", "harbour-knots", *((seconds + later_s, said) for seconds, said in TO_FINAL_PROOF))

    seen = board([first, second], at(10_400))

    assert not {"oven off", "oven on"} & {one.prompt.kind for one in seen.coming}
    kept = oven_now([first, second], at(10_400), seen.before)
    assert (kept.doing, kept.heat_c, kept.letter) == ("kept", 190.0, "B")
    assert seen.asks_first(first) != ()  # cooling has 24 min left
    assert not any("oven is off" in question for question in seen.asks_first(first))


def test_an_oven_that_the_next_dough_needs_stays_on_though_the_first_is_finished() -> None:
    first = bake("A", "harbour-knots", *TO_FINAL_PROOF, *OUT, (10_500, intents.Done()))
    second = bake("B", "harbour-knots", *((seconds + 1800, said) for seconds, said in TO_FINAL_PROOF))
    assert first.closed is not None

    seen = board([first, second], at(10_600))

    assert not {"oven off", "oven on"} & {one.prompt.kind for one in seen.coming}
    kept = oven_now([first, second], at(10_600), seen.before)
    assert (kept.doing, kept.heat_c, kept.letter) == ("kept", 190.0, "B")


def test_of_several_doughs_that_are_out_only_the_last_asks_for_the_oven_to_be_turned_off() -> None:
    doughs = [
        bake(letter, "harbour-knots", *((seconds + late, said) for seconds, said in (*TO_FINAL_PROOF, *OUT)))
        for letter, late in (("A", 0), ("B", 600))
    ]

    asked = [one.letter for one in board(doughs, at(11_000)).coming if one.prompt.kind == "oven off"]

    assert asked == ["B"]


def test_a_dough_that_waits_for_its_start_may_want_the_oven_first() -> None:
    # B rests overnight first; A begins in 10 min and is due at 600 + 9360 s.
    waiting = bake("A", "harbour-knots", start_in_s=600)
    begun = bake("B", "lamplighter-loaf", (0, intents.Begin()))
    seen = board([waiting, begun], at(60))

    told = oven_now([waiting, begun], at(60), seen.before, seen.oven)

    assert (told.doing, told.letter, told.heat_c) == ("off", "A", 190.0)
    assert told.in_s == pytest.approx(600 + DUE_S - HEAT_UP_S - 60, abs=1)


# The oven of the knots is said to need HEAT_UP_S from cold.
@pytest.mark.parametrize(
    ("after_s", "asked"),
    [
        (3, "It needs about 23 min from cold. Is it hot already?"),
        (600, "It needs about 13 min more. Is it hot already?"),
        (HEAT_UP_S * 0.7, ""),
        (HEAT_UP_S + 60, ""),
    ],
)
def test_an_oven_that_is_said_to_be_hot_long_before_it_can_be_is_asked_about(after_s: float, asked: str) -> None:
    on, hot = OvenTask("oven on", BAKE), OvenTask("oven hot", BAKE)
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, (9000.0, intents.Task(on)))

    assert too_soon(state, hot, 9000.0 + after_s) == asked
    assert too_soon(state, on, 9000.0 + after_s) == ""


@pytest.mark.parametrize(("moved", "since_s"), [
    # It was wanted at 7952 s, and is wanted so much sooner as the proof is made shorter.
    ([(8200.0, intents.Longer(-1500.0))], DUE_S - HEAT_UP_S),
    ([(7700.0, intents.Longer(-600.0))], 7700.0),
    ([(7000.0, intents.Longer(-600.0))], DUE_S - HEAT_UP_S - 600),
    ([(7700.0, intents.Longer(-600.0)), (7800.0, intents.Longer(-300.0))], 7700.0),
])  # fmt: skip
def test_nobody_is_late_for_an_oven_whose_moment_was_moved_into_the_past(
    moved: list[tuple[float, intents.Intent]], since_s: float
) -> None:
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, *moved)
    on = next(prompt for prompt in prompts(state, now_s=moved[-1][0] + 60) if prompt.kind == "oven on")

    assert on.due_s == pytest.approx(since_s)


def test_a_stage_that_was_over_early_has_the_oven_wanted_since_then_and_no_sooner() -> None:
    early = (*TO_FINAL_PROOF[:4], (5200.0, intents.Done()))
    soon = Kitchen(oven=Oven(heat_up_s=4000.0))  # from 21 to 190 °C: 3756 s
    state = replace(bake("A", "harbour-knots", *early), kitchen=soon)
    on = next(prompt for prompt in prompts(state, now_s=5210) if prompt.kind == "oven on")

    # The final proof is due at 8200 s; until its hands were done early the oven was to be on at 5604 s.
    assert on.due_s == 5200.0
