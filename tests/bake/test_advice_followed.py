"""What is said once an advice was followed, or while it is: nothing asks back, and nothing is told a second time."""

from __future__ import annotations

import pytest

from proofbell.bake import intents
from proofbell.bake.advice.advise import advise
from proofbell.bake.decisions.ask_first import ask_first
from proofbell.bake.fermenting.terms import terms
from proofbell.bake.tasks import OvenTask
from proofbell.bake.what_if import how_warm
from proofbell.kitchen.model import Kitchen
from tests.support.baking import Baking
from tests.support.walking import KNOTS, at, chilled, hot, later, read

BRIOCHE, BUNS, TIDEMARK = "regatta-brioche", "pilots-milk-buns", "tidemark-sourdough"
HOT = Kitchen(room_c=30.0)


def said(baking: Baking) -> dict[str, str]:
    return {each.situation: each.do for each in advise(baking.state, baking.now_s)}


def test_a_dough_that_was_told_to_go_into_the_cold_now_goes_there_without_a_question() -> None:
    soft = later(read(at(BRIOCHE, "First proof"), 31.0), 3)
    assert said(soft)["butter melting"] == "flatten it and put it into the cold now"
    assert ask_first(soft.state, soft.now_s) == ()
    firm = later(read(at(BRIOCHE, "First proof"), 25.0), 3)
    assert "left" in ask_first(firm.state, firm.now_s)[0]


def test_a_butter_dough_that_was_stood_cooler_is_not_told_to_be() -> None:
    # 28 °C: IREKS Compendium, final proof.
    baking = read(at(BRIOCHE, "Final proof", minutes=40, kitchen=HOT), 29.5)
    assert said(baking)["butter melting"].startswith("stand it cooler, at 28 °C or less")
    baking.say(intents.Move(place_c=22.0))
    assert said(baking)["butter melting"].startswith("leave it where it is, and read it again")
    later(baking, 60)
    assert "butter melting" not in said(baking)


def test_in_a_hot_room_a_dough_that_waits_for_its_oven_waits_in_the_fridge_to_the_end() -> None:
    def told(room_c: float) -> list[str]:
        baking = at(BUNS, "Final proof", minutes=20, kitchen=Kitchen(room_c=room_c))
        baking.eye("ready")
        baking.say(intents.Task(OvenTask("oven on", (baking.state.current or 0) + 1)))
        found = []
        for _ in range(12):
            found += [do for name, do in said(baking).items() if name == "oven not hot yet"]
            later(baking, 2)
        return found

    assert {each.split(" until")[0] for each in told(30.0)} == {"into the fridge"}
    assert "somewhere cool, covered, until then" in told(21.0)


def test_a_dough_that_is_read_warm_a_second_time_is_still_too_warm() -> None:
    baking = read(at(BUNS, "First proof", kitchen=HOT), 30.0)
    assert "stand it cooler" in said(baking)["dough too warm"]
    read(later(baking, 15), 30.2)
    assert "stand it cooler" in said(baking)["dough too warm"]


def test_a_night_in_the_fridge_is_past_its_limit_only_where_it_is_too_far() -> None:
    baking = chilled(later(read(at(BUNS, "First proof"), 21.0), 2))
    later(baking, 3 * 60)
    assert "past its limit" not in said(baking)
    early = chilled(later(read(at(KNOTS, "First proof"), 26.0), 60))
    later(early, 9 * 60)
    assert "past its limit" in said(early)


@pytest.mark.parametrize(("name", "warmest_c"), [(KNOTS, 38.0), (TIDEMARK, 30.0)])
def test_no_dough_is_asked_to_stand_hotter_than_it_is_proofed(name: str, warmest_c: float) -> None:
    # 32 to 38 °C: AB Mauri, Factors affecting yeast fermentation, 2017; 30 °C: M. Gänzle, FAQ of rec.food.sourdough.
    baking = hot(at(name, "Final proof"))
    asked = terms(baking.state, baking.state.current or 0)
    assert asked is not None
    found = [how_warm(asked, minutes * 60.0, dough_c=14.0) for minutes in range(5, 400, 5)]
    told = [each.place_c for each in found if each.place_c is not None]
    assert max(told) <= warmest_c
    assert found[0].why == "too short a time"
