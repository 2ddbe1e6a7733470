"""One oven for several doughs: who has it first decides whether it is turned on, up, down or left alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.advice.advise import advised, said_of_reading
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.bench.board import Board, board
from proofbell.bench.oven.acts import oven_acts
from proofbell.bench.oven.now import oven_now
from proofbell.bench.plan.planning_problem import problem_of
from proofbell.bench.plan.timetable import OvenLine, timetable
from proofbell.formula.model import OvenWish
from proofbell.kitchen.model import Kitchen
from proofbell.planner.search import plan
from tests.support.decided import TO_FINAL_PROOF, at, bake

MINUTE_US = 60_000_000


@pytest.mark.parametrize(
    ("heat_c", "words"), [(230.0, "oven up to 230 °C"), (170.0, "oven down to 170 °C"), (190.0, None)]
)
def test_the_oven_is_changed_after_another_bake_not_turned_on(heat_c: float, words: str | None) -> None:
    first = bake("A", "harbour-knots", *TO_FINAL_PROOF)
    later = bake("B", "harbour-knots", *((seconds + 600, said) for seconds, said in TO_FINAL_PROOF))
    second = replace(later, formula=replace(later.formula, oven=OvenWish(heat_c)))

    seen = board([first, second], at(7000))

    asked = [one for one in seen.coming if one.letter == "B" and one.prompt.kind == "oven on"]
    assert [one.prompt.words for one in asked] == ([] if words is None else [words])
    # A's knots are in from 9360 s to 10 320 s; nobody changes the heat under them.
    assert all(one.at_us >= 10_320 * 1_000_000 for one in asked)


def test_the_first_dough_turns_the_oven_on() -> None:
    first = bake("A", "harbour-knots", *TO_FINAL_PROOF)

    (asked,) = [one for one in board([first], at(7000)).coming if one.prompt.kind == "oven on"]

    # 21 to 190 °C at 25 min for 180 K: 23 min 28 s before the final proof ends at 9360 s.
    assert asked.prompt.words == "oven on, 190 °C"
    assert asked.at_us == pytest.approx((9360 - 169 / 180 * 1500) * 1_000_000, abs=1)


def test_an_oven_that_is_turned_up_is_hot_after_what_the_difference_takes() -> None:
    """From 190 to 230 °C at 25 min for 180 K: 5 min 33 s, of which a minute has gone by."""
    first = bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()), (10_320, intents.Done()))
    turned_up = (10_400, intents.Task(OvenTask("oven on", 5, from_c=190.0)))
    later = bake("B", "harbour-knots", *((at_s + 1300, said) for at_s, said in TO_FINAL_PROOF), turned_up)
    second = replace(later, formula=replace(later.formula, oven=OvenWish(230.0)))
    states = [first, second]
    seen = board(states, at(10_460))

    told = oven_now(states, seen.now, seen.before, seen.oven)

    assert (told.doing, told.heat_c, told.letter) == ("heating", 230.0, "B")
    assert told.in_s == pytest.approx(40 / 180 * 1500 - 60)
    asked = [one.at_us for one in seen.coming if one.letter == "B" and one.prompt.kind == "oven hot"]
    assert asked == [pytest.approx((10_400 + 40 / 180 * 1500) * 1_000_000, abs=1)]


def judged_while_another_bakes(left_s: float) -> tuple[BakeState, Board]:
    """B was judged ready with A's bread in the oven at 190 °C for so much longer; it wants 200 °C."""
    first = bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()))
    second = bake("B", "harbour-knots", *TO_FINAL_PROOF, (9000, intents.Read("rise", "65", raw=65.0)))
    second = replace(second, formula=replace(second.formula, oven=OvenWish(200.0)))
    return second, board([first, second], at(10_320 - left_s))


def test_a_dough_that_is_ready_beside_a_full_oven_is_not_sent_to_the_fridge_for_a_few_minutes() -> None:
    state, seen = judged_while_another_bakes(left_s=180)
    (view,) = [one for one in seen.views if one.letter == "B"]
    unread = bake("B", "harbour-knots", *TO_FINAL_PROOF)
    unread = replace(unread, formula=state.formula)
    said = said_of_reading(unread, state, 10_140, seen.before[state.id])

    assert view.advice is None
    assert said is None
    # The log of one bake knows nothing of the others; nobody turned the oven on for this one.
    assert [each.advice.situation for each in advised(state)] == []


def test_where_the_wait_for_a_full_oven_is_long_it_says_for_how_long_and_never_to_turn_it_on() -> None:
    _, seen = judged_while_another_bakes(left_s=960)
    (view,) = [one for one in seen.views if one.letter == "B"]

    # 16 min until A is out, and 10 K up at 25 min for 180 K.
    assert view.advice is not None
    assert view.advice.short == "The dough is ready, the oven in 17 min: into the fridge until then."


@pytest.mark.parametrize(("gap_min", "words"), [
    # From cold to 190 °C takes 23 min. Door shut, an oven is down from 250 to 190 °C after 24 min.
    (38, "oven down to 190 °C"),
    (48, "oven on, 190 °C"),
])  # fmt: skip
def test_an_oven_that_is_wanted_again_before_it_has_cooled_is_turned_down_not_off(gap_min: float, words: str) -> None:
    out = bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()), (10_320, intents.Done()))
    hot = replace(out, formula=replace(out.formula, oven=OvenWish(250.0)))
    later_s = 10_320 + gap_min * 60 - 9360
    nxt = bake("B", "harbour-knots", *((at_s + later_s, said) for at_s, said in TO_FINAL_PROOF))
    seen = board([hot, nxt], at(10_330))

    assert [one.prompt.words for one in seen.coming if one.letter == "B" and one.prompt.kind == "oven on"] == [words]
    assert ("oven off" in [one.prompt.words for one in seen.rings]) == words.startswith("oven on")


def test_the_plan_turns_an_oven_down_by_the_same_rule() -> None:
    minute_us = 60 * 1_000_000

    def turned(off_min: int) -> list[str]:
        hot = OvenLine(0, 30 * minute_us, 250.0, "baking", "A")
        heated = OvenLine((30 + off_min) * minute_us, (54 + off_min) * minute_us, 190.0, "heating", "B")
        day = timetable(plan(problem_of([], Kitchen(), 0), 0), 0)
        return [act.turn for act in oven_acts(replace(day, oven=(hot, heated)), Kitchen().oven)]

    assert turned(14) == ["on", "down", "off"]
    assert turned(25) == ["on", "off", "on", "off"]
