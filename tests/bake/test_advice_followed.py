"""What is said once an advice was followed, or while it is: nothing asks back, and nothing is told a second time."""

from __future__ import annotations

import pytest

from proofbell.bake import intents
from proofbell.bake.advice.advise import advise
from proofbell.bake.coming import coming_s
from proofbell.bake.decisions.ask_first import ask_first
from proofbell.bake.fermenting.terms import terms
from proofbell.bake.tasks import OvenTask
from proofbell.bake.view import view
from proofbell.bake.what_if import how_warm
from proofbell.kitchen.model import Kitchen
from tests.support.baking import Baking
from tests.support.walking import KNOTS, at, chilled, done, hot, later, read

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
    assert said(baking)["butter melting"] == "leave it where it is; it is at 28 °C or less in about 14 min"
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


def coming(baking: Baking) -> list[tuple[str, float]]:
    """What comes up, and in how many minutes."""
    found = view(baking.state, baking.now_s)
    return [(p.words, round((p.due_s - baking.now_s) / 60)) for p in (*found.wants, *found.coming)]


def test_a_fast_first_proof_makes_the_next_be_judged_early_and_its_oven_hot_by_then() -> None:
    first = read(at(BUNS, "First proof", kitchen=HOT), 30.0)
    read(later(first, 14), 85.0, what="rise")
    shaped = done(done(first))
    assert dict(coming(shaped))["judge the rise early"] <= 15
    assert dict(coming(shaped))["oven on, 190 °C"] <= 0
    warm = read(later(shaped, 1), 31.0)
    assert view(warm.state, warm.now_s).advice is not None
    assert "stand it cooler" in view(warm.state, warm.now_s).advice.do  # type: ignore[union-attr]
    usual = done(done(read(at(BUNS, "First proof", minutes=60), 85.0, what="rise")))
    assert "judge the rise early" not in dict(coming(usual))
    far = done(done(read(at(BUNS, "First proof", minutes=15), 180.0, what="rise")))
    assert "came far" in said(far)
    assert "came fast" not in said(far)


def test_what_is_told_to_be_read_again_has_its_time_in_the_list() -> None:
    for minutes in range(0, 30, 5):
        baking = read(at(BUNS, "Final proof", kitchen=HOT, minutes=float(minutes)), 31.0)
        told = said(baking).get("dough too warm", "")
        again = [each for each in coming(baking) if each[0] == "read the dough's temperature again"]
        assert ("read it again" in told) == bool(again), (minutes, told, coming(baking))


def test_a_fast_rise_does_not_hide_that_its_place_is_too_warm() -> None:
    baking = read(at(BUNS, "First proof", kitchen=HOT), 30.0)
    read(later(baking, 11), 60.0, what="rise")
    assert "stand it cooler, and judge it again" in said(baking)["rises fast"]


def test_a_cold_butter_dough_in_a_hot_room_is_still_told_to_stand_cooler() -> None:
    baking = read(at(BRIOCHE, "Final proof", kitchen=HOT), 9.0)
    assert said(baking)["butter melting"].startswith("stand it cooler, at 28 °C or less")
    assert "butter melting" not in said(read(at(BRIOCHE, "Final proof"), 9.0))


def test_a_second_cold_reading_is_held_against_what_was_likely_by_then() -> None:
    baking = read(at(KNOTS, "Final proof", kitchen=Kitchen(room_c=14.0)), 21.0)
    read(later(baking, 30), 18.0)
    seen = next(each.seen for each in advise(baking.state, baking.now_s) if each.situation == "dough too cold")
    # Newton's law from 21 °C towards 14 °C has it near 18 °C by then: that is hardly slower than its time allows for.
    assert "21 to 29 meant" not in seen
    assert "45 to 50 %" not in seen


def test_a_judged_dough_is_not_asked_to_be_judged_by_its_warmth() -> None:
    baking = read(at(BUNS, "First proof", kitchen=HOT), 30.0)
    read(later(baking, 40), 85.0, what="rise")
    later(baking, 10)
    assert "dough too warm" not in said(baking)


def test_who_waited_for_the_oven_as_told_is_not_late() -> None:
    baking = at(BUNS, "Final proof", minutes=50)
    baking.eye("ready")
    hot(baking)
    assert ("load the oven", 0) in coming(baking)


def test_a_butter_dough_that_goes_on_now_is_due_now() -> None:
    soft = later(read(at(BRIOCHE, "First proof"), 31.0), 3)
    assert coming(soft)[0] == ("fold and flatten", -3)
    assert view(soft.state, soft.now_s).do == "Fold and flatten"


def test_the_length_of_a_proof_to_come_is_the_one_that_it_begins_with() -> None:
    for room_c in (14.0, 21.0, 30.0):
        for dough_c in (20.0, 25.0, 29.0):
            baking = read(at(KNOTS, "First proof", kitchen=Kitchen(room_c=room_c)), dough_c)
            baking.say(intents.Move(place_c=26.0))
            read(later(baking, 40), 85.0, what="rise")
            later(done(baking), 20)
            final = (baking.state.current or 0) + 1
            told_s = coming_s(baking.state, final, baking.now_s)
            done(baking)
            assert baking.state.stages[final].length_s == told_s, (room_c, dough_c)


def test_a_dough_put_into_the_cold_for_a_night_is_told_whether_that_is_one() -> None:
    # 12 to 16 h are the card's own.
    night = chilled(later(read(at(TIDEMARK, "Final proof"), 24.5), 6))
    assert view(night.state, night.now_s).why.endswith("Its card allows 12 h to 16 h.")
    half = chilled(later(read(at(KNOTS, "First proof"), 24.5), 36))
    assert "do not leave it there for the night" in view(half.state, half.now_s).why


def test_what_is_said_of_egg_and_milk_fits_what_is_done_with_the_dough() -> None:
    slow = read(at(KNOTS, "First proof", kitchen=Kitchen(room_c=14.0)), 20.0)
    read(later(slow, 30), 22.0)
    read(later(slow, 81), 70.0, what="rise")
    assert "fridge" not in said(slow).get("stood too long", "")
    done(done(later(slow, 40)))
    told = set()
    for _ in range(40):
        if -20 < -slow.left_min < 0:
            told.add(said(slow).get("stood too long", ""))
        later(slow, 3)
    assert "load it as soon as it is ready" in told
    assert not any("warmer" in each or "fridge" in each for each in told)


def test_a_dough_as_cold_as_was_likely_by_now_keeps_its_time() -> None:
    baking = read(at(KNOTS, "Final proof", kitchen=Kitchen(room_c=14.0)), 20.0)
    before = baking.length_min
    read(later(baking, 30), 18.0)
    assert baking.length_min >= before
    assert "stand it warmer" in said(baking)["dough too cold"]


def test_a_butter_dough_that_nobody_has_read_is_not_sent_into_the_cold_at_once() -> None:
    warm_room = at(BRIOCHE, "First proof", kitchen=HOT)
    assert said(warm_room)["butter melting"].startswith("keep it at 28 °C or less and read it")
    assert ask_first(warm_room.state, warm_room.now_s) != ()
    soft = read(warm_room, 30.0)
    assert coming(soft)[0][0] == "fold and flatten"
    assert not any("again" in words or "early" in words for words, _ in coming(soft))


def test_a_bell_of_the_oven_takes_no_reading_away() -> None:
    baking = read(at(KNOTS, "Final proof", kitchen=Kitchen(room_c=14.0)), 18.0)
    baking.say(intents.Move(place_c=26.0))
    (look,) = [minutes for words, minutes in coming(baking) if words == "read the dough's temperature again"]
    later(baking, look + 1)
    found = [words for words, minutes in coming(baking) if minutes <= 0]
    assert "read the dough's temperature again" in found


def test_egg_and_milk_in_a_cold_kitchen_are_told_the_same_at_the_bench_as_in_the_proof() -> None:
    slow = read(at(KNOTS, "First proof", kitchen=Kitchen(room_c=14.0)), 20.0)
    read(later(slow, 111), 85.0, what="rise")
    done(slow)
    for _ in range(8):
        assert "fridge" not in said(later(slow, 5)).get("stood too long", "")
