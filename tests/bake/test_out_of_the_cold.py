"""A dough that was put into the cold before the oven: it is to warm first, but where its card sends it cold there."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.advice.advise import advise
from proofbell.bake.fermenting.terms import terms
from proofbell.bake.fermenting.warming import LONGEST_S, READY_C, Warming, warming
from proofbell.bake.prompts import prompts
from proofbell.bake.tasks import OvenTask
from proofbell.bake.view import view
from proofbell.formula.model import ChillInstead, Formula
from proofbell.kitchen.model import Kitchen
from tests.support.bakes import house
from tests.support.baking import Baking
from tests.support.walking import KNOTS, LAMPLIGHTER, at, chilled, hot, later


def ends(baking: Baking) -> str:
    """What the stage in hand wants at its end."""
    asked = prompts(baking.state, now_s=baking.now_s)
    return next(each.words for each in asked if each.over)


def not_retarded(name: str = LAMPLIGHTER) -> Formula:
    """A formula whose card knows of no night in the cold."""
    made = house(name)
    return replace(made, stages=tuple(replace(each, chill_instead=None) for each in made.stages))


def cold(minutes: float = 60, room_c: float = 21.0) -> Baking:
    """A final proof in the fridge from its start on for so long, the oven hot."""
    return later(hot(chilled(at(not_retarded(), "Final proof", kitchen=Kitchen(room_c=room_c)))), minutes - 30)


def test_a_dough_at_ten_degrees_is_taken_out_and_warmed_before_it_is_baked() -> None:
    baking = cold(30)
    baking.read(10.0)
    words = ends(baking)
    assert re.search(r"take it out of the cold, let it warm for .+, then load the oven", words)
    assert "let it warm for " in view(baking.state, baking.now_s).then
    # In a room of 21 °C by Newton, from 10 to 16 °C: 0.79 of the time constant, inside the range.
    found = warming(baking.state, baking.state.current or 0, baking.now_s)
    assert found is not None
    assert found.low_s <= found.high_s <= LONGEST_S
    assert found.to_take_out


def test_a_dough_that_is_read_warm_enough_is_loaded() -> None:
    baking = cold(minutes=75)
    baking.read(READY_C + 1.5)
    assert "warm to" not in ends(baking)
    assert ends(baking).endswith("load the oven")


def test_in_the_room_it_is_asked_for_once_it_is_likely_warm_and_a_reading_decides() -> None:
    baking = cold()
    baking.read(6.0)
    baking.say(intents.Move("room"))
    coming = next(each for each in prompts(baking.state, now_s=baking.now_s) if each.over)
    assert coming.due_s > baking.now_s + 30 * 60
    assert "take it out" not in coming.words
    assert "let it warm to 16 °C" in coming.words
    baking.wait(minutes=60)
    baking.read(17.0)
    assert "warm to" not in ends(baking)


def test_a_place_colder_than_that_is_told_to_be_changed() -> None:
    baking = later(chilled(at(not_retarded(), "Final proof", kitchen=Kitchen(room_c=12.0))), 60)
    baking.read(6.0)
    # 10 °C is the least that pizza shops let dough warm to: 50 °F (PMQ Pizza Magazine's think tank).
    assert "let it warm to 10 °C (in a warmer place, 3 h at most)" in ends(baking)


@pytest.mark.parametrize("really_k", [0.0, -2.0], ids=["as said", "colder than said"])
@pytest.mark.parametrize("room_c", [10.0, 12.0, 14.0, 16.0, 17.0, 18.0, 19.0, 21.0, 24.0])
def test_the_wait_for_warmth_is_bounded_and_its_question_ends(room_c: float, really_k: float) -> None:
    """A dough nears its place ever more slowly: in a room of 16 to 18 °C it is hours until it is at 16 °C."""
    baking = out_of_it(room_c)
    baking.say(intents.Move("room"))
    out_s, asked, loads = baking.now_s, 0, ("judge the rise, then load the oven", "load the oven")
    while not (ends(baking) in loads and due_s(baking) <= baking.now_s):
        by_rate_s = baking.state.stages[baking.state.current or 0].due_s or 0.0
        assert baking.now_s <= max(out_s + LONGEST_S, by_rate_s), ends(baking)
        if "read the dough" in ends(baking) and due_s(baking) <= baking.now_s:
            asked += 1
            # As its room really is, by Newton with a time constant of 2 h 36 min.
            really_c = room_c + really_k
            baking.read(round(really_c + (6.0 - really_c) * math.exp(-(baking.now_s - out_s) / 9360), 1))
        baking.wait(minutes=5)
    assert asked <= 3


def test_a_dough_never_warms_to_less_than_a_few_degrees_below_its_room() -> None:
    for room_c, from_c in ((12.0, 10.0), (16.0, 13.0), (18.0, 15.0), (19.0, 16.0), (26.0, 16.0)):
        found = warming_in(room_c)
        assert found.ready_c == from_c
        assert found.high_s <= LONGEST_S
    assert "let it warm to 14 °C (1 h 55 min to 3 h), then load the oven" in ends(out_of_it(17.0))
    said = out_of_it(17.0)
    said.say(intents.Move("room"))
    reason = said.state.stages[said.state.current or 0].adjustments[-1].body.reason
    assert reason == "Room 17 °C: 3 h to warm and no longer, though it may be colder than 14 °C then."


def test_what_waited_the_longest_is_baked_by_its_core_and_not_read_again() -> None:
    baking = out_of_it(17.0)
    baking.say(intents.Move("room"))
    later(baking, 170).read(12.0)
    later(baking, max(15, baking.left_min))
    assert ends(baking).endswith("load the oven")
    assert "read the dough" not in ends(baking)
    said = {each.situation: each.short for each in advise(baking.state, baking.now_s)}
    assert said["cold for the oven"].endswith("load it all the same, and go by its core.")


def out_of_it(room_c: float) -> Baking:
    """A final proof that the fridge had at 6 °C soon."""
    baking = cold(80, room_c)
    baking.read(6.0)
    return baking


def warming_in(room_c: float) -> Warming:
    baking = out_of_it(room_c)
    found = warming(baking.state, baking.state.current or 0, baking.now_s)
    assert found is not None
    return found


def due_s(baking: Baking) -> float:
    return next(each.due_s for each in prompts(baking.state, now_s=baking.now_s) if each.over)


def test_a_proof_that_may_be_retarded_goes_from_the_cold_into_the_oven_as_its_plan_has_it() -> None:
    made = house("tidemark-sourdough")
    index = [each.name for each in made.stages].index("Final proof")
    assert isinstance(made.stages[index].chill_instead, ChillInstead)
    baking = at(made, "Final proof")
    baking.say(intents.Accept(index, 12 * 3600.0, "The plan.", 4.0))
    baking.wait(minutes=11 * 60 + 50)
    baking.read(5.0)
    assert ends(baking) == "leave it in the cold, load when hot"
    lit(baking)
    assert ends(baking) == "take it out of the cold, load the oven"
    length_s = baking.state.stages[index].length_s
    baking.say(intents.Move("room"))
    assert ends(baking) == "load the oven"
    assert baking.state.stages[index].length_s <= length_s


def test_what_the_card_itself_sends_cold_to_the_oven_keeps_the_cards_way() -> None:
    made = house(LAMPLIGHTER)
    stages = [
        replace(each, place_c=4.0, time_s=10 * 3600.0, stretch=None, adjust=None, chill_instead=None)
        if each.name == "Final proof"
        else each
        for each in made.stages
    ]
    baking = later(at(replace(made, stages=tuple(stages)), "Final proof"), 590)
    assert "warm to" not in ends(baking)
    chill = [replace(each, kind="chill") if each.name == "Final proof" else each for each in stages]
    baking = later(at(replace(made, stages=tuple(chill)), "Final proof"), 590)
    assert "warm to" not in ends(baking)


def test_what_was_left_in_the_cold_past_its_time_is_told_as_of_now_and_goes_straight_into_the_oven() -> None:
    baking = chilled(at(not_retarded(), "Final proof"))
    later(baking, baking.length_min)
    at_due = view(baking.state, baking.now_s)
    assert "at take-out" in at_due.why
    later(baking, 480)
    seen = view(baking.state, baking.now_s)
    assert "now about 6 °C" in seen.why
    assert seen.why.endswith("Over-proofed by now: bake it as soon as the oven is hot.")
    assert ends(baking) == "judge the rise, then take it out of the cold, load the oven"
    # The oven is cold yet: until it is hot the dough is best where it is, once somebody has judged that it is ready.
    baking.eye("ready")
    said = {each.situation: each.short for each in advise(baking.state, baking.now_s)}
    assert said["oven not hot yet"].endswith("leave it in the cold until then.")
    assert "let it warm" not in " ".join(said.values())


def test_a_dough_judged_too_far_in_the_cold_is_not_warmed_first() -> None:
    baking = cold()
    baking.read(6.0)
    baking.eye("too far")
    assert "warm" not in ends(baking)
    said = {each.situation: each.short for each in advise(baking.state, baking.now_s)}
    assert "warm" not in said["over-proofed"]


def test_a_dough_is_taken_out_so_that_it_is_ready_as_it_is_warm() -> None:
    """Warming is proof as well: by the model it has done what its card asks for as it is baked, no more."""
    baking = later(at(KNOTS, "Final proof"), 2)
    chilled(baking)
    index = baking.state.current or 0
    at_once_min = baking.length_min
    later(baking, at_once_min)
    bake = next(each for each in view(baking.state, baking.now_s).spans if each.stage == index + 1)
    baking.say(intents.Move("room"))
    asked = terms(baking.state, index)
    assert asked is not None
    assert bake.begin_s == pytest.approx(asked.estimate().seconds, abs=600)


def test_shortly_before_its_end_a_cold_reading_says_what_comes() -> None:
    baking = chilled(at(not_retarded(), "Final proof"))
    length_s = baking.state.stages[baking.state.current or 0].length_s
    baking.wait(seconds=length_s - 300)
    baking.read(9.0)
    said = {each.situation: each.short for each in advise(baking.state, baking.now_s)}
    assert "take it out of the cold, let it warm for 1 h 50 min" in said["cold for the oven"]


def test_the_oven_is_turned_on_for_when_the_dough_is_warm_not_for_when_it_is_taken_out() -> None:
    baking = cold()
    baking.read(5.0)
    for moved in (False, True):
        if moved:
            baking.wait(minutes=60)
            baking.say(intents.Move("room"))
        asked = {each.kind: each.due_s for each in prompts(unlit(baking).state, now_s=baking.now_s)}
        found = warming(baking.state, baking.state.current or 0, baking.now_s)
        assert found is not None
        warm_s = found.ready_s + (baking.state.stages[baking.state.current or 0].begun_s or 0.0)
        # The kitchen's oven is at 240 °C after half an hour.
        assert asked["oven on"] == pytest.approx(warm_s - 1800, abs=180)


def test_a_night_in_the_cold_is_no_lateness_when_the_dough_comes_out() -> None:
    """As the fridge's own model has it, it may have been ready for hours: no one can know, and nobody is told so."""
    baking = at(not_retarded("tidemark-sourdough"), "Final proof")
    baking.read(24.0)
    chilled(later(baking, 10))
    baking.wait(minutes=14 * 60)
    baking.read(5.0)
    baking.say(intents.Move("room"))
    run = baking.state.stages[baking.state.current or 0]
    assert run.adjustments[-1].body.reason == "Out of the cold, and far enough by the rate."
    assert (run.due_s or 0.0) <= baking.now_s + 60
    baking.wait(seconds=(run.due_s or 0.0) - baking.now_s + 300)
    told = {each.situation for each in advise(baking.state, baking.now_s)}
    assert not told & {"forgotten dough", "past its limit", "over-proofed"}
    baking.read(17.0)
    lit(baking)
    asked = next(each for each in prompts(baking.state, now_s=baking.now_s) if each.over)
    assert asked.words == "load the oven"
    assert asked.due_s <= baking.now_s + 60
    told = {each.situation for each in advise(baking.state, baking.now_s)}
    assert not told & {"forgotten dough", "past its limit", "dough too cold"}


def lit(baking: Baking) -> None:
    """Somebody has said that the oven is hot."""
    bake = next(i for i, each in enumerate(baking.state.formula.stages) if each.kind == "bake")
    baking.say(intents.Task(OvenTask("oven hot", bake)))


def unlit(baking: Baking) -> Baking:
    """The same, and nobody has said anything of the oven."""
    bake = next(i for i, each in enumerate(baking.state.formula.stages) if each.kind == "bake")
    tasks = (OvenTask("oven on", bake), OvenTask("oven hot", bake))
    baking.state = replace(baking.state, marks=tuple(each for each in baking.state.marks if each.task not in tasks))
    return baking


def test_no_night_in_the_cold_is_longer_than_its_card_has_it() -> None:
    baking = at("tidemark-sourdough", "Final proof")
    chilled(later(baking, 10))
    run = baking.state.stages[baking.state.current or 0]
    assert run.length_s == pytest.approx((10 + 16 * 60) * 60, abs=60)
    assert run.adjustments[-1].body.reason == "Room 21 °C → fridge 4 °C: 16 h 10 min and no longer, by its card."
    # By its own rate alone it would be far longer: nobody knows it to hours.
    asked = run.adjustments[-1].body.rate_s
    assert asked is not None
    assert asked > run.length_s + 3600


def test_a_dough_that_the_plan_has_in_the_cold_is_told_to_be_put_there() -> None:
    made = house("tidemark-sourdough")
    index = [each.name for each in made.stages].index("Final proof")
    baking = at(made, "Shape")
    baking.say(intents.Accept(index, 12 * 3600.0, "The plan.", 4.0))
    assert view(baking.state, baking.now_s).then == "final proof in the cold, 4 °C, 12 h"
    baking.say(intents.Done())
    seen = view(baking.state, baking.now_s)
    assert (seen.do, seen.outside) == ("Read the dough's temperature", "Put it into the cold, 4 °C.")
    baking.read(23.0)
    seen = view(baking.state, baking.now_s)
    assert (seen.do, seen.stage + seen.cold) == ("Put it into the cold, 4 °C", "Final proof, in the cold")
    baking.wait(minutes=40)
    assert view(baking.state, baking.now_s).do == ""


def test_once_it_is_ready_it_is_loaded_and_not_warmed_again() -> None:
    baking = cold()
    baking.read(5.0)
    baking.say(intents.Move("room"))
    assert "let it warm to 16 °C" in ends(baking)
    run = baking.state.stages[baking.state.current or 0]
    baking.wait(seconds=(run.due_s or 0.0) - baking.now_s)
    assert ends(baking) == "judge the rise, then load the oven"


def test_a_quarter_of_an_hour_late_out_of_the_cold_is_nothing_to_a_dough() -> None:
    baking = at("tidemark-sourdough", "Final proof")
    index = baking.state.current or 0
    baking.say(intents.Accept(index, 16 * 3600.0, "The plan.", 4.0))
    hot(baking)
    baking.wait(seconds=(baking.state.stages[index].due_s or 0.0) - baking.now_s + 15 * 60)
    assert "past its limit" not in {each.situation for each in advise(baking.state, baking.now_s)}
    baking.wait(minutes=30)
    assert "past its limit" in {each.situation for each in advise(baking.state, baking.now_s)}


def test_what_the_card_says_of_loading_stands_there_as_the_oven_is_to_be_loaded() -> None:
    baking = hot(at("tidemark-sourdough", "Final proof"))
    nxt = (baking.state.current or 0) + 1
    assert view(baking.state, baking.now_s).text == baking.state.stage(nxt - 1).text
    baking.wait(seconds=(baking.state.stages[nxt - 1].due_s or 0.0) - baking.now_s)
    assert baking.state.stage(nxt).loading
    assert view(baking.state, baking.now_s).text == baking.state.stage(nxt).loading


@pytest.mark.parametrize("hours", [15.0, 17.5])
def test_a_night_that_was_over_is_over_since_then_when_the_dough_comes_out(hours: float) -> None:
    """The clock does not start anew with the move, nor with a reading after it."""
    baking = later(at("tidemark-sourdough", "Final proof"), 10)
    hot(chilled(baking))
    agreed_min = 12 * 60 + 10
    baking.say(intents.Longer((agreed_min - baking.length_min) * 60))
    later(baking, hours * 60 - 30)
    since_s = baking.state.stages[baking.state.current or 0].due_s
    baking.say(intents.Move("room"))
    assert baking.state.stages[baking.state.current or 0].due_s == since_s
    later(baking, 20).read(8.0)
    assert baking.state.stages[baking.state.current or 0].due_s == since_s
    assert ends(baking) == "load the oven"
