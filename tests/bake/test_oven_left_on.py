"""An oven that is told late is waited for; one that nobody has turned off is asked about, and never said to be off."""

from __future__ import annotations

import pytest

from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide
from proofbell.bake.fold import fold
from proofbell.bake.intents import Refused
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask, PromptId, Skipped
from proofbell.bench.board import board
from proofbell.bench.done_means import Meant, done_means
from proofbell.bench.oven.now import oven_now
from tests.support.decided import TO_FINAL_PROOF, at, bake, said

# Harbour knots: the final proof is due at 9360 s; from 21 to 190 °C at 25 min for 180 K takes 1408 s.
DUE_S, HEAT_UP_S, BAKE = 9360.0, 169 / 180 * 1500, 5
LATE = (9000.0, intents.Task(OvenTask("oven on", BAKE)))
IN = (9360.0, intents.Done())


def rings(state: BakeState, now_s: float) -> list[str]:
    sounds = [one for one in board([state], at(now_s)).rings if not one.still]
    return [one.prompt.words for one in sounds if one.prompt.kind != "check"]


def test_a_dough_that_is_ready_before_its_oven_is_told_when_it_will_be_and_no_bell_asks_to_load_it_cold() -> None:
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, LATE)
    told = [(one.at_us, one.prompt.words) for one in board([state], at(DUE_S - 60)).coming if one.prompt.over]
    checks = (PromptId("check", 4, 0), PromptId("check", 4, 1, 3000))
    skipped = [(6400.0, intents.Task(Skipped(check))) for check in checks]
    unread = bake("A", "harbour-knots", *TO_FINAL_PROOF, *skipped, LATE)
    waiting = board([unread], at(DUE_S + 60)).of(unread.id)

    assert told == [(round((9000 + HEAT_UP_S) * 1_000_000), "load when hot, 190 °C")]
    assert rings(state, DUE_S + 60) == []
    assert waiting is not None
    # 9000 s and 1408 s after midnight: 02:53.
    assert waiting.do == "Load when hot, 190 °C, 02:53"
    assert rings(state, 9000 + HEAT_UP_S + 1) == ["load when hot, 190 °C"]


def test_looking_whether_it_is_hot_and_loading_are_one_act_and_ring_once() -> None:
    hot_s = 9000 + HEAT_UP_S
    judged = (9350.0, intents.Read("rise", "60 %", 60.0))
    looked = (hot_s + 20, intents.Task(OvenTask("oven hot", BAKE)))
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, LATE, judged)
    seen = bake("A", "harbour-knots", *TO_FINAL_PROOF, LATE, judged, looked)

    def wanted(now_s: float) -> list[str]:
        view = board([seen], at(now_s)).of(seen.id)
        assert view is not None
        return [one.words for one in view.wants if one.kind != "check"]

    assert rings(state, hot_s + 10) == ["load when hot, 190 °C"]
    assert wanted(hot_s + 30) == ["load the oven"]
    assert rings(seen, hot_s + 30) == []
    assert rings(seen, hot_s + 300) == ["load the oven"]


def test_space_on_a_load_when_hot_loads_and_the_ovens_key_only_says_that_it_is_hot() -> None:
    judged = (9350.0, intents.Read("rise", "60 %", 60.0))
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, LATE, judged)
    seen = board([state], at(9000 + HEAT_UP_S + 10))
    (asked,) = [one for one in seen.views[0].wants if one.over]

    assert asked.task == OvenTask("oven hot", BAKE)
    skipped = said(state, 9400, intents.Task(Skipped(PromptId("check", 4, 0))))
    assert done_means(skipped, board([skipped], seen.now)) == Meant(intents.Done())


def test_once_it_is_said_to_be_hot_the_dough_is_to_be_loaded_at_once() -> None:
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, LATE, (9400.0, intents.Task(OvenTask("oven hot", BAKE))))

    assert [ring.prompt.words for ring in board([state], at(9401)).rings if ring.prompt.over] == [
        "judge the rise, then load the oven"
    ]


@pytest.mark.parametrize(
    ("said", "heat_c", "asked"),
    [
        ((*TO_FINAL_PROOF, IN), 190.0, "take it out with dry cloths, then oven off"),
        ((*TO_FINAL_PROOF, LATE), 190.0, "oven off"),
    ],
)
def test_a_bake_that_is_given_up_with_the_oven_on_asks_for_it_to_be_turned_off(
    said: tuple[tuple[float, intents.Intent], ...], heat_c: float, asked: str
) -> None:
    state = bake("A", "harbour-knots", *said, (9500.0, intents.GiveUp("dropped")))
    told = oven_now([state], at(9600))
    off = bake("A", "harbour-knots", *said, (9500.0, intents.GiveUp("dropped")), (9700.0, OFF))

    assert rings(state, 9600) == [asked]
    assert (told.doing, told.heat_c) == ("left on", heat_c)
    assert rings(off, 9800) == []
    assert oven_now([off], at(9800)).doing == "unused"
    assert fold(off.events) == off


OFF = intents.Task(OvenTask("oven off", BAKE))


def test_a_bake_that_is_given_up_has_left_the_heat_that_was_said_to_be_set() -> None:
    loaf = bake("A", "lamplighter-loaf", (0, intents.Begin()))
    index = next(i for i in range(len(loaf.stages)) if loaf.stage(i).kind == "bake")
    said = tuple((10.0 * n, intents.Done()) for n in range(1, index + 1))
    into = 10.0 * index
    down = (into + 950, intents.Task(OvenTask("heat", index, 1)))
    for turned, heat_c in (((), 240.0), ((down,), 215.0)):
        state = bake("A", "lamplighter-loaf", (0, intents.Begin()), *said, *turned, (into + 1000, intents.GiveUp()))
        assert oven_now([state], at(5000)).heat_c == heat_c


def test_one_that_is_given_up_before_its_oven_was_on_asks_nothing() -> None:
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, (7000.0, intents.GiveUp()))

    assert rings(state, 7100) == []
    assert oven_now([state], at(7100)).doing == "unused"


def test_a_finished_bake_whose_oven_nobody_turned_off_still_says_so() -> None:
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, IN, (10_320.0, intents.Done()), (12_000.0, intents.Done()))

    assert state.closed is not None
    assert oven_now([state], at(12_100)).doing == "left on"
    assert isinstance(decide(state, intents.Task(OvenTask("turn", BAKE)), at(12_100)), Refused)
