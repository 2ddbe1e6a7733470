"""What advice wants looked at later rings then, once, and not beside another bell."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.advice.advise import advise
from proofbell.bake.asking.looking_again import looks_again
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.heats import first_heat_c, takes_s
from proofbell.bake.prompts import prompts
from proofbell.bake.tasks import OvenTask, Skipped
from proofbell.bench.board import board
from proofbell.kitchen.model import Kitchen, Oven
from tests.support.bakes import house
from tests.support.baking import Baking
from tests.support.prompted import ringing
from tests.support.walking import KNOTS, LAMPLIGHTER, PAN, at, done, later, read


def again(baking: Baking) -> list[Prompt]:
    """The looks that no card asks for."""
    asked = prompts(baking.state, now_s=baking.now_s)
    return [each for each in asked if each.kind == "check" and each.id.number is None]


def test_a_dough_that_was_read_too_warm_is_read_again_in_half_an_hour() -> None:
    baking = read(at(LAMPLIGHTER, "First proof", minutes=5), 30.0)
    look, early = again(baking)
    assert look.words == "read the dough's temperature again"
    assert look.due_s == baking.now_s + 30 * 60
    # It was told to be judged early as well, and is asked for that whatever is read.
    assert early.words == "judge the rise early"
    baking.wait(minutes=30)
    assert look in ringing(baking.state, baking.now_s)
    baking.read(29.5)
    assert [each.words for each in again(baking)] == ["judge the rise early"]


def test_it_may_be_skipped() -> None:
    baking = read(at(LAMPLIGHTER, "First proof", minutes=5), 30.0)
    baking.wait(minutes=30)
    for look in again(baking):
        baking.say(intents.Task(Skipped(look.id)))
    assert again(baking) == []


def test_no_second_bell_within_three_minutes_of_another() -> None:
    baking = at(LAMPLIGHTER, "First proof", minutes=5)
    end_s = baking.state.stages[baking.state.current or 0].due_s or 0.0
    baking.wait(seconds=end_s - baking.now_s - 22 * 60)
    read(baking, 21.0)
    baking.say(intents.Longer(22 * 60 - ((baking.state.stages[baking.state.current or 0].due_s or 0.0) - baking.now_s)))
    assert again(baking) == []
    baking.say(intents.Longer(5 * 60))
    assert len(again(baking)) == 1


def test_on_the_edge_of_two_times_the_dough_is_looked_at_after_the_shorter() -> None:
    # Its card has 70 min below 26 °C and 55 min from there on.
    baking = read(at(KNOTS, "First proof"), 25.8)
    begun_s = baking.state.stages[baking.state.current or 0].begun_s or 0.0
    (look,) = again(baking)
    assert (look.words, look.reads, look.due_s - begun_s) == ("judge the rise early", "rise", 55 * 60)
    # It is on the shorter already: that rings by itself.
    assert again(read(at(KNOTS, "First proof"), 26.0)) == []


def test_a_dough_that_came_far_is_judged_at_the_least_time_of_its_final_proof() -> None:
    baking = later(done(done(done(done(read(at(PAN, "First proof", minutes=75), 180.0, what="rise"))))), 1)
    begun_s = baking.state.stages[baking.state.current or 0].begun_s or 0.0
    (look,) = again(baking)
    assert look.words == "judge the rise early"
    # The oven is hot by then: on so much before it as it takes to heat.
    asked = {each.kind: each for each in prompts(baking.state, now_s=baking.now_s)}
    index = baking.state.current or 0
    heats_s = takes_s(baking.state, first_heat_c(baking.state, index + 1) or 0.0, None)
    assert asked["oven on"].due_s == max(look.due_s - heats_s, baking.now_s)
    # The card's least is 40 min for its own dough; a cooler one is given longer.
    assert 35 * 60 <= look.due_s - begun_s <= 50 * 60
    baking.read(40.0, "rise")
    assert again(baking) == []


def test_a_look_that_nobody_took_gives_way_to_what_has_become_due_since() -> None:
    baking = read(at(LAMPLIGHTER, "First proof", minutes=5), 30.0)
    baking.wait(minutes=31)
    assert len(again(baking)) == 2
    index = baking.state.current or 0
    baking.wait(seconds=(baking.state.stages[index].due_s or 0.0) - baking.now_s)
    first = prompts(baking.state, now_s=baking.now_s)[0]
    assert (first.stage, first.over) == (index, True), "the end of the proof stands first"
    assert again(baking) == []


def test_a_dough_that_was_forgotten_is_judged_at_the_least_time_of_its_final_proof_too() -> None:
    baking = later(done(done(at(KNOTS, "First proof", minutes=195))), 1)
    index = baking.state.current or 0
    least = forgives(baking.state, index).stretch
    assert least is not None
    (look,) = again(baking)
    assert (look.words, look.due_s) == ("judge the rise early", (baking.state.stages[index].begun_s or 0.0) + least[0])


def overrun(minutes: float, kitchen: Kitchen | None = None) -> Baking:
    """Knots whose first proof stood so long, at the bench for shaping."""
    baking = at(KNOTS, "First proof", minutes=minutes, kitchen=kitchen)
    assert any("judge Final proof early" in each.do for each in advise(baking.state, baking.now_s))
    return done(baking)


# The card of the knots allows 100 min.
@pytest.mark.parametrize("minutes", [101.5, 105.0, 114.0, 160.0])
def test_what_was_advised_to_be_judged_early_is_asked_for_then_with_a_hot_oven(minutes: float) -> None:
    shaping = overrun(minutes)
    listed = board([shaping.state], shaping.now).coming
    assert [each.prompt.words for each in listed] == ["oven on, 190 °C", "judge the rise early"]
    baking = done(later(shaping, 20))
    index = baking.state.current or 0
    least = forgives(baking.state, index).stretch
    assert least is not None
    (look,) = again(baking)
    assert (look.words, look.reads) == ("judge the rise early", "rise")
    assert look.due_s == baking.now_s + least[0]
    on = next(each for each in prompts(baking.state, now_s=baking.now_s) if each.kind == "oven on")
    baking.wait(seconds=on.due_s - baking.now_s)
    baking.say(intents.Task(OvenTask("oven on", index + 1)))
    hot_s = next(each.due_s for each in prompts(baking.state, now_s=baking.now_s) if each.kind == "oven hot")
    assert abs(hot_s - look.due_s) < 1
    assert again(baking) == [look], "the oven asks at the same moment, and is not asked instead"
    baking.wait(seconds=look.due_s - baking.now_s)
    assert look in ringing(baking.state, baking.now_s)
    # A minute later the oven's question is newer; the judging still stands.
    baking.wait(minutes=1)
    assert look in ringing(baking.state, baking.now_s)
    baking.read(60.0, "rise")
    assert again(baking) == []
    (over,) = [each for each in prompts(baking.state, now_s=baking.now_s) if each.over]
    assert (over.words, over.due_s <= baking.now_s) == ("load the oven", True), "judged once, it is not asked again"


def test_a_slow_oven_is_turned_on_while_the_dough_is_shaped() -> None:
    slow = Kitchen(oven=Oven(heat_up_s=50 * 60.0))
    shaping = overrun(110.0, slow)
    asked = {each.kind: each for each in prompts(shaping.state, now_s=shaping.now_s)}
    heats_s = takes_s(shaping.state, 190.0, None)
    assert asked["oven on"].due_s == asked["check"].due_s - heats_s
    assert asked["oven on"].due_s < shaping.now_s + 20 * 60
    # Who shapes for longer moves both.
    late = later(shaping, 25)
    moved = next(each for each in again(late))
    assert moved.due_s == asked["check"].due_s + 5 * 60


def test_a_dough_that_was_told_by_nothing_to_be_early_is_not_asked_early() -> None:
    baking = done(later(done(at(KNOTS, "First proof", minutes=100.5)), 20))
    assert again(baking) == []


def test_what_went_too_far_before_a_night_in_the_cold_is_judged_early_after_it() -> None:
    baking = at("regatta-brioche", "First proof", minutes=90)
    assert any("judge Final proof early" in each.do for each in advise(baking.state, baking.now_s))
    shaped = done(later(done(later(done(later(done(baking), 4)), 12 * 60)), 18))
    assert [each.words for each in again(shaped)] == ["judge the rise early"]


def test_a_forgotten_dough_whose_card_does_not_say_what_it_allows_is_judged_early_too() -> None:
    made = house(KNOTS)
    stages = tuple(replace(each, stretch=None) if each.name == "First proof" else each for each in made.stages)
    baking = at(replace(made, stages=stages), "First proof", minutes=195)
    assert any("Final proof from 3" in each.do for each in advise(baking.state, baking.now_s))
    proofing = done(later(done(baking), 20))
    assert [each.words for each in again(proofing)] == ["judge the rise early"]
    (told,) = [e for e in advise(proofing.state, proofing.now_s) if e.situation == "came far"]
    assert told.seen == "First proof stood 2 h 05 min longer than was meant"


WITH_A_BOX = Kitchen(room_c=18.0, places=(("proving box", 28.0), ("larder", 14.0)))


def too_cold(baking: Baking) -> str:
    """What is said of a dough colder than meant; empty where nothing is."""
    said = {each.situation: each.short for each in advise(baking.state, baking.now_s)}
    return said.get("dough too cold", "")


def test_after_a_move_to_the_warm_nobody_says_again_to_stand_it_warmer_and_it_is_read_once_more() -> None:
    baking = read(at(KNOTS, "First proof", kitchen=WITH_A_BOX), 19.0)
    assert "stand it warmer" in too_cold(baking)
    later(baking, 10).say(intents.Move("proving box"))
    moved_s = baking.now_s
    assert too_cold(baking) == (
        "Dough 19.0 °C, 24 to 26 meant, about 19 °C now where it stands: read it again in 35 min, and go by the rise."
    )
    (look,) = again(baking)
    assert look.words == "read the dough's temperature again"
    # Not while it is as cold as it was, nor when nothing can be done any more: half of the card's 70 min later.
    assert look.due_s == moved_s + 35 * 60
    baking.wait(minutes=35)
    assert look in ringing(baking.state, baking.now_s)
    baking.read(23.0)
    assert again(baking) == []


def test_a_dough_that_was_read_twice_and_then_moved_is_read_once_more() -> None:
    baking = read(at(LAMPLIGHTER, "First proof", kitchen=WITH_A_BOX), 19.0, 19.0)
    assert again(baking) == []
    later(baking, 1).say(intents.Move("proving box"))
    assert len(again(baking)) == 1
    baking.wait(minutes=45)
    baking.read(20.0)
    assert again(baking) == []


def test_a_dough_that_has_warmed_by_the_model_is_no_longer_told_to_be_too_cold() -> None:
    baking = read(at(KNOTS, "First proof", kitchen=WITH_A_BOX), 20.0)
    later(baking, 5).say(intents.Move(place_c=28.0))
    later(baking, 80)
    assert too_cold(baking) == ""
    # Nobody has read it since: its rise is to be judged all the same.
    ends = next(each for each in prompts(baking.state, now_s=baking.now_s) if each.over)
    assert ends.words.startswith("judge the rise, then ")


def test_a_move_that_warms_nothing_leaves_the_advice_as_it_was() -> None:
    for place in ("larder", "room"):
        baking = read(at(KNOTS, "First proof", kitchen=WITH_A_BOX), 19.0)
        later(baking, 10).say(intents.Move(place))
        assert "stand it warmer" in too_cold(baking)


def test_a_dough_too_warm_that_was_moved_to_the_cool_is_judged_anew_too() -> None:
    baking = read(at(LAMPLIGHTER, "First proof", kitchen=WITH_A_BOX), 31.0)
    later(baking, 5).say(intents.Move("larder"))
    said = {each.situation: each.short for each in advise(baking.state, baking.now_s)}
    assert "now where it stands: read it again in" in said["dough too warm"]
    assert "stand it cooler" not in said["dough too warm"]
    assert [each.words for each in again(baking)] == ["read the dough's temperature again", "judge the rise early"]


@pytest.mark.parametrize("values", [(21.0,), (21.0, 20.0), (21.0, 20.0, 19.5)])
@pytest.mark.parametrize("later_min", [0, 12, 17, 30, 60, 80])
@pytest.mark.parametrize("moved", [False, True])
def test_who_is_told_to_read_it_again_is_asked_for_it_at_that_moment(
    values: tuple[float, ...], later_min: int, *, moved: bool
) -> None:
    baking = read(at(KNOTS, "First proof", kitchen=Kitchen(room_c=14.0)), *values)
    if moved:
        baking.say(intents.Move(place_c=26.0))
    later(baking, later_min)
    told = next((each.do for each in advise(baking.state, baking.now_s) if each.situation == "dough too cold"), "")
    asked = [each for each in prompts(baking.state, now_s=baking.now_s) if each.reads == "dough temperature"]
    assert ("read it again" in told) == (asked != [] and told != ""), (told, asked)
    if found := re.search(r"read it again in (\d+) min", told):
        assert int(found[1]) == pytest.approx((asked[0].due_s - baking.now_s) / 60, abs=0.51)


def test_a_dough_that_came_far_and_was_given_up_is_not_looked_at() -> None:
    baking = done(read(at(PAN, "First proof", minutes=75), 180.0, what="rise"))
    baking.say(intents.GiveUp())
    assert not looks_again(baking.state, ())
