"""Who judged the rise last is believed: short is short however late it is, ready is ready however early."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.advice.advise import advise
from proofbell.bake.prompts import prompts
from proofbell.bake.view import view
from proofbell.kitchen.model import Kitchen
from tests.support.bakes import house
from tests.support.baking import Baking
from tests.support.walking import KNOTS, LAMPLIGHTER, PAN, at, chilled, done, hot, later, read

BUNS, TIDEMARK = "pilots-milk-buns", "tidemark-sourdough"
TOO_FAR = ("over-proofed", "past its limit", "forgotten dough", "came far", "oven not hot yet", "sinking")


def said(baking: Baking) -> dict[str, str]:
    """What is advised now, by its situation."""
    return {each.situation: each.short for each in advise(baking.state, baking.now_s)}


def panel(baking: Baking) -> str:
    """Everything that one dough's panel tells."""
    seen = view(baking.state, baking.now_s)
    advice = "" if seen.advice is None else seen.advice.short
    return f"{seen.do} | {seen.besides} | {advice} | {seen.why}"


def coming(baking: Baking) -> list[tuple[str, int]]:
    """What comes up, and in how many minutes."""
    seen = view(baking.state, baking.now_s).coming
    return [(each.words, round((each.due_s - baking.now_s) / 60)) for each in seen]


# -- short ------------------------------------------------------------------------------------------------------------


def short_past_its_limit() -> Baking:
    """Knots in a cold kitchen, 45 % of 50 % each time their end came, until the card gives no more."""
    baking = read(at(KNOTS, "Final proof", kitchen=Kitchen(room_c=14.0)), 20.0)
    later(baking, baking.length_min)
    for _ in range(4):
        baking.read(45.0, "rise")
        later(baking, max(1.0, baking.left_min))
    return later(baking, 2)


def test_a_short_rise_past_its_limit_is_waited_for_and_judged_again_and_nothing_says_too_far() -> None:
    baking = short_past_its_limit()
    assert baking.left_min < 0
    assert re.search(r"Rise 45 %, 50 % wanted: \d+ min more", panel(baking))
    assert not set(said(baking)) & set(TOO_FAR)
    assert "bake it" not in panel(baking)
    later(baking, 20)
    assert "Judge the rise again, then load the oven" in panel(baking)
    assert not set(said(baking)) & set(TOO_FAR)


def test_the_next_stages_do_not_say_that_a_dough_judged_short_stood_too_long() -> None:
    baking = at(KNOTS, "First proof", minutes=130)
    assert "came far" in said(done(at(KNOTS, "First proof", minutes=130)))
    baking.eye("not yet")
    assert "came far" not in said(done(baking))


def test_a_short_rise_that_nobody_judged_again_for_hours_is_looked_at_first() -> None:
    baking = at(LAMPLIGHTER, "Final proof", minutes=80)
    baking.eye("not yet")
    later(baking, 90)
    assert "forgotten dough" not in said(baking)
    later(baking, 120)
    assert "look at it and press it" in said(baking)["forgotten dough"]


def test_a_lower_number_is_a_dough_that_sinks_only_where_it_had_been_far_enough() -> None:
    never = read(at(LAMPLIGHTER, "Final proof", minutes=50), 50.0, 38.0, what="rise")
    assert "sinking" not in said(never)
    sunk = read(at(LAMPLIGHTER, "Final proof", minutes=50), 85.0, 45.0, what="rise")
    assert "sinking" in said(sunk)
    assert "wanted" not in panel(sunk)


def test_in_the_cold_a_dough_judged_short_is_not_said_to_be_over_proofed() -> None:
    stages = [replace(each, chill_instead=None) for each in house(LAMPLIGHTER).stages]
    baking = chilled(at(replace(house(LAMPLIGHTER), stages=tuple(stages)), "Final proof"))
    later(baking, baking.length_min + 480)
    assert "Over-proofed by now" in panel(baking)
    baking.eye("not yet")
    assert "Over-proofed" not in panel(later(baking, 60))


# -- ready, and the oven ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("minutes", [60, 75])
def test_a_dough_that_nobody_judged_is_not_said_to_be_ready(minutes: float) -> None:
    baking = at(LAMPLIGHTER, "Final proof", minutes=minutes)
    assert "oven not hot yet" not in said(baking)
    baking.eye("not yet")
    assert "oven not hot yet" not in said(baking)
    baking.eye("ready")
    assert "oven on now; into the fridge until then" in said(baking)["oven not hot yet"]


def test_where_no_rise_is_asked_its_time_says_that_it_is_ready_but_not_half_done_in_the_cold() -> None:
    assert "oven not hot yet" in said(at(TIDEMARK, "Final proof", minutes=170))
    baking = chilled(at(TIDEMARK, "Final proof"))
    baking.say(intents.Longer(60 - baking.left_min * 60))
    later(baking, 5)
    assert baking.left_min < 0
    assert "oven not hot yet" not in said(baking)


# -- a first proof whose card only has its rise checked ---------------------------------------------------------------


@pytest.mark.parametrize("name", [PAN, BUNS])
def test_a_first_proof_whose_end_expects_a_rise_waits_for_it(name: str) -> None:
    baking = at(name, "First proof")
    later(baking, baking.length_min)
    change = baking.read(45.0, "rise")
    assert change is not None
    assert "Rise 45 %, short of 80 %" in change.reason
    assert any(words.startswith("judge the rise, then divide") for words, _ in coming(baking))


@pytest.mark.parametrize("name", [KNOTS, PAN, BUNS])
def test_not_yet_at_the_end_of_a_first_proof_is_ten_minutes_more(name: str) -> None:
    baking = at(name, "First proof")
    later(baking, baking.length_min)
    baking.eye("not yet")
    assert baking.left_min == pytest.approx(10)
    (again,) = [minutes for words, minutes in coming(baking) if words.startswith("judge the rise, then divide")]
    assert again == 10


def test_a_first_proof_judged_ready_or_too_far_before_its_time_is_over_now() -> None:
    for percent in (None, 95.0):
        baking = at(PAN, "First proof", minutes=55)
        if percent is None:
            baking.eye("ready")
        else:
            baking.read(percent, "rise")
        assert baking.left_min == pytest.approx(0)
        assert "Divide and round: 2 × 800 g" in panel(baking)
        assert "knock it back" not in panel(baking)
    far = read(at(PAN, "First proof", minutes=50), 180.0, what="rise")
    by_eye = at(KNOTS, "First proof", minutes=50)
    by_eye.eye("too far")
    for baking in (far, by_eye):
        assert baking.left_min == pytest.approx(0)
        assert "knock it back and shape it at once" in panel(baking)


# -- a final proof that was forgotten ---------------------------------------------------------------------------------


def test_a_forgotten_final_proof_is_looked_at_before_anything_else_and_its_oven_turned_on() -> None:
    baking = at(LAMPLIGHTER, "Final proof", minutes=148)
    found = said(baking)["past its limit"]
    assert found.endswith("look at it and press it, is it too far? Oven on now if it is to be baked.")
    assert "Oven on now" in panel(baking)


def test_advice_with_a_moment_that_is_past_is_given_for_now_and_after_what_is_more_urgent() -> None:
    baking = at(LAMPLIGHTER, "First proof", minutes=170)
    baking.to_stage([each.name for each in baking.state.formula.stages].index("Final proof"))
    assert re.search(r"judge it early, from \d+ min on", said(baking)["came far"])
    later(baking, 55)
    assert said(baking)["came far"].endswith("judge it now.")
    later(baking, 93)
    assert list(said(baking)).index("past its limit") < list(said(baking)).index("came far")
    edge = read(at(KNOTS, "First proof"), 23.8)
    assert "on the edge" in said(edge)
    assert "on the edge" not in said(later(edge, 71))


def test_a_dough_too_far_for_a_cold_oven_is_held_in_the_cold_or_shaped_again() -> None:
    baking = at(LAMPLIGHTER, "Final proof", minutes=148)
    baking.eye("too far")
    assert "into the fridge, or the coldest place, until the oven is hot" in panel(baking)
    assert "or knock it back and shape it again" in panel(baking)
    assert "flat loaf" not in panel(baking)
    assert "into the fridge" in panel(read(at(LAMPLIGHTER, "Final proof", minutes=148), 130.0, what="rise"))


def test_the_words_for_loading_do_not_slash_a_dough_that_is_baked_flat() -> None:
    baking = hot(at(LAMPLIGHTER, "Final proof", minutes=30))
    read(baking, 75.0, what="rise")
    assert "slash" in view(baking.state, baking.now_s).text
    far = read(hot(at(LAMPLIGHTER, "Final proof", minutes=30)), 170.0, what="rise")
    told = view(far.state, far.now_s)
    assert told.advice is not None
    assert told.advice.do == "bake it now as a flat loaf"
    assert "slash" not in told.text
    assert not told.loading


def test_a_dough_in_a_tin_is_never_a_flat_loaf() -> None:
    for minutes in (55.0, 300.0):
        for seen in ("not yet", "ready", "too far"):
            baking = hot(at(PAN, "Final proof", minutes=minutes))
            baking.eye(seen)
            assert "flat" not in " ".join(said(baking).values())


def test_longer_does_not_make_a_forgotten_dough_younger() -> None:
    baking = at(LAMPLIGHTER, "Final proof", minutes=60 + 206)
    assert "give it up" in panel(baking)
    baking.say(intents.Longer(600.0))
    assert "give it up" in panel(baking)
    baking.eye("too far")
    assert "give it up" in panel(baking)
    # Who has looked and found it ready is believed.
    ready = at(LAMPLIGHTER, "Final proof", minutes=60 + 206)
    ready.eye("ready")
    assert "forgotten dough" not in said(ready)


# -- a hot day --------------------------------------------------------------------------------------------------------

HOT = Kitchen(room_c=29.0)


def test_what_is_told_to_be_judged_early_comes_up_early_on_a_hot_day() -> None:
    baking = read(at(BUNS, "First proof", kitchen=HOT), 29.0)
    assert "judge it early" in said(baking)["dough too warm"]
    (early,) = [minutes for words, minutes in coming(baking) if words == "judge the rise early"]
    assert early < baking.left_min - 3


def test_a_dough_that_was_too_warm_and_is_warmer_by_now_is_still_too_warm() -> None:
    baking = read(later(read(at(BUNS, "First proof", kitchen=HOT), 29.0), 20), 30.0)
    # 29 °C towards a room of 30 °C: about 29 °C is what its time was worked out for.
    assert "Dough 30.0 °C, as expected by now, warmer than meant: stand it cooler" in said(baking)["dough too warm"]
    cooler = read(later(read(at(BUNS, "First proof", kitchen=HOT), 29.0), 20), 28.0)
    assert "dough too warm" not in said(cooler)


def test_a_reading_of_the_temperature_does_not_take_back_an_early_judging() -> None:
    warm = read(later(read(at(BUNS, "First proof", kitchen=HOT), 29.0), 20), 28.0)
    assert "judge the rise early" in [words for words, _ in coming(warm)]
    edge = read(later(read(at(KNOTS, "First proof"), 25.8), 20), 25.0)
    assert "judge the rise early" in [words for words, _ in coming(edge)]


def test_where_the_rise_runs_ahead_the_oven_and_the_judging_are_wanted_sooner() -> None:
    baking = at(BUNS, "Final proof", kitchen=HOT, minutes=12)
    assert "oven on, 190 °C" in [words for words, _ in coming(baking)]
    baking.read(60.0, "rise")
    assert "Oven on, 190 °C" in panel(baking)
    assert "It rises fast, 60 % after 12 min" in panel(baking)
    assert ("judge the rise early", 2) in coming(baking)
    later(baking, 4)
    assert "judge the rise early" in panel(baking).lower()
    assert "oven on" in panel(baking).lower()


def test_a_rise_at_its_usual_pace_is_not_called_fast() -> None:
    assert "rises fast" not in said(read(at(BUNS, "Final proof", minutes=25), 32.0, what="rise"))


def test_nothing_is_loaded_into_an_oven_that_is_off_and_the_bench_says_what_the_reading_said() -> None:
    baking = read(at(BUNS, "Final proof", minutes=15, kitchen=HOT), 120.0, what="rise")
    assert "oven on now; into the fridge until the oven is hot" in panel(baking)
    over = [each.words for each in prompts(baking.state, now_s=baking.now_s) if each.over]
    assert over == ["load when hot"]
    # How to load it takes no room from what is to be done first.
    assert not view(baking.state, baking.now_s).loading
    lit = read(hot(at(BUNS, "Final proof", kitchen=HOT)), 120.0, what="rise")
    assert [each.words for each in prompts(lit.state, now_s=lit.now_s) if each.over] == ["load the oven"]
    assert view(lit.state, lit.now_s).loading
