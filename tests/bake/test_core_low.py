"""A bake by its core: how many minutes more, asked again then, ended only on purpose; and what stands first."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.advice.advise import advise
from proofbell.bake.advice.core_words import core_says
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.core import core_readings, core_wanted, longer_s
from proofbell.bake.decisions.ask_first import ask_first
from proofbell.bake.prompts import prompts
from proofbell.bake.rehearse import Scripted, rehearse
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.bake.view import view
from proofbell.bench.done_means import longer_by_s
from proofbell.bench.oven.now import oven_now
from proofbell.formula.model import Check, Phase, ReadingKind, Stage
from proofbell.kitchen.model import Kitchen
from tests.support.baking import BATCH, Baking, formula
from tests.support.prompted import due, ringing
from tests.support.walking import at

MINUTE = 60.0
CORE: ReadingKind = "core temperature"
LOAF = Stage("Bake", "bake", 40 * MINUTE, core=(94.0, 98.0), checks=(Check("core temperature", "end"),))
COOL = Stage("Cool", "cool", 60 * MINUTE)


def in_the_oven(stage: Stage = LOAF, kitchen: Kitchen | None = None, *, minutes: float = 0.0) -> Baking:
    baking = Baking(formula(stage, COOL), kitchen)
    baking.to_stage(0)
    baking.wait(minutes=minutes)
    return baking


def first(baking: Baking) -> str:
    """What stands first on the bench now."""
    return due(baking.state, baking.now_s)[0].words


def test_a_low_core_says_how_many_minutes_more_and_the_key_for_longer_takes_them() -> None:
    baking = in_the_oven(minutes=40)
    baking.read(85.0, CORE)
    # From 85 to 94 °C: 0.22 ± 0.06 of the 40 min so far; the loaf's own time narrows nothing with one reading.
    assert first(baking) == "core 85 °C, 94 wanted: 9 min longer (5 to 12)"
    assert longer_s(baking.state, baking.now_s) == 9 * MINUTE
    baking.wait(minutes=3)
    assert first(baking) == "core 85 °C, 94 wanted: 6 min longer (2 to 9)"
    assert longer_s(baking.state, baking.now_s) == 6 * MINUTE
    baking.say(intents.Longer(6 * MINUTE))
    assert due(baking.state, baking.now_s) == ()
    baking.wait(minutes=6)
    again = due(baking.state, baking.now_s)
    assert [each.words for each in again] == ["read the core again (94 to 98 °C; it was 85), then take it out"]
    assert longer_s(baking.state, baking.now_s) is None


def test_a_low_core_has_the_minutes_that_were_told_before_it_rings() -> None:
    baking = in_the_oven(replace(LOAF, checks=()), minutes=40)
    baking.read(85.0, CORE)
    for minutes in (0, 3, 5):
        baking.wait(minutes=minutes)
        assert ringing(baking.state, baking.now_s) == ()
        again = [each for each in prompts(baking.state, now_s=baking.now_s) if each.reads == "core temperature"]
        assert [each.words for each in again] == ["read the core again"]
        assert again[0].due_s > baking.now_s
    baking.wait(minutes=1)
    assert [each.kind for each in ringing(baking.state, baking.now_s)] == ["due"]
    baking.read(95.0, CORE)
    (out,) = [each for each in prompts(baking.state, now_s=baking.now_s) if each.kind == "due"]
    assert out.words == "take it out, then cool"
    assert baking.now_s - out.due_s < 60, "who gave it the minutes that were asked for is not late"


def test_a_bake_made_longer_for_its_core_asks_once() -> None:
    baking = in_the_oven(replace(LOAF, checks=()), minutes=40)
    baking.read(85.0, CORE)
    baking.say(intents.Longer(longer_s(baking.state, baking.now_s) or 0.0))
    assert [each.words for each in prompts(baking.state, now_s=baking.now_s) if each.reads == "core temperature"] == []


def test_a_core_that_gets_there_in_time_is_not_told_to_be_baked_longer() -> None:
    baking = at("regatta-brioche", "Bake", minutes=18)
    told = core_says(baking.state, baking.state.current, 66.0, baking.now_s)
    assert "By the clock it gets there in time" in told[1]
    assert not any("Bake it longer" in each for each in told)
    late = at("regatta-brioche", "Bake", minutes=30)
    assert any("Bake it longer" in each for each in core_says(late.state, late.state.current, 66.0, late.now_s))


def test_reading_the_core_and_taking_it_out_are_one_act_and_ring_once() -> None:
    baking = in_the_oven(minutes=40)
    (asked,) = ringing(baking.state, baking.now_s)
    assert (asked.words, asked.check, asked.over) == ("read the core (94 to 98 °C), then take it out", 0, True)
    assert ask_first(baking.state, baking.now_s) == ("The core was not read; it should be 94 °C or more.",)
    baking.read(95.0, CORE)
    assert (first(baking), ringing(baking.state, baking.now_s)) == ("take it out, then cool", ())
    baking.wait(minutes=3)
    assert [each.words for each in ringing(baking.state, baking.now_s)] == ["take it out, then cool"]


@pytest.mark.parametrize(
    ("minutes", "value", "words"),
    [(44, None, "take it out now"), (35, 99.5, "take it out now: core 100 °C, 98 is the most")],
)
def test_a_bake_that_is_late_or_too_hot_is_only_to_be_taken_out(
    minutes: float, value: float | None, words: str
) -> None:
    baking = in_the_oven(minutes=minutes)
    if value is not None:
        baking.read(value, CORE)
        baking.wait(minutes=6)
    assert [each.words for each in due(baking.state, baking.now_s)] == [words]


def test_a_core_read_long_before_the_end_is_not_what_the_end_goes_by() -> None:
    baking = in_the_oven(minutes=20)
    baking.read(60.0, CORE)
    baking.wait(minutes=20)
    assert first(baking) == "read the core again (94 to 98 °C; it was 60), then take it out"


def test_a_core_too_cool_to_say_anything_is_read_again() -> None:
    baking = in_the_oven(minutes=40)
    baking.read(28.0, CORE)
    assert first(baking) == "core 28 °C, 94 wanted: bake longer, then read it again"
    assert longer_s(baking.state, baking.now_s) is None
    assert core_says(baking.state, 0, 28.0, baking.now_s)[1].startswith("Too cool yet")


def test_ending_a_bake_with_a_low_core_is_asked_about() -> None:
    baking = in_the_oven(minutes=40)
    baking.read(85.0, CORE)
    assert ask_first(baking.state, baking.now_s) == (
        "The core was 85.0 °C; it should be 94 °C or more: about 9 min longer (5 to 12).",
    )
    baking.wait(minutes=20)
    assert ask_first(baking.state, baking.now_s) == ("The core was 85.0 °C; it should be 94 °C or more.",)
    baking.read(94.0, CORE)
    assert ask_first(baking.state, baking.now_s) == ()


def test_the_words_before_a_reading_is_taken_say_the_minutes_too() -> None:
    baking = in_the_oven(minutes=40)
    said = core_says(baking.state, 0, 85.0, baking.now_s)
    assert said == ("Core 85.0 °C: not done yet; 94 to 98 °C.", "About 9 min longer (5 to 12); read it again then.")
    baking.read(85.0, CORE)
    baking.wait(minutes=4)
    both = core_says(baking.state, 0, 89.0, baking.now_s)
    baking.read(89.0, CORE)
    assert first(baking).endswith(both[1].removeprefix("About ").partition(";")[0]), "both readings count in both"


PHASED = replace(
    LOAF,
    turn_s=25 * MINUTE,
    phases=(Phase(15 * MINUTE, 240.0), Phase(25 * MINUTE, 210.0)),
)


def test_when_a_bake_is_over_nothing_stands_before_taking_it_out() -> None:
    baking = in_the_oven(PHASED, minutes=36)
    assert [each.kind for each in due(baking.state, baking.now_s)] == ["heat", "turn"]
    baking.wait(minutes=4)
    now_due = due(baking.state, baking.now_s)
    assert [each.words for each in now_due] == ["read the core (94 to 98 °C), then take it out"]
    assert view(baking.state, baking.now_s).do == "Read the core (94 to 98 °C), then take it out"
    # Made longer it bakes on, and may be turned.
    baking.say(intents.Longer(8 * MINUTE))
    assert "turn" in {each.kind for each in due(baking.state, baking.now_s)}
    baking.say(intents.Task(OvenTask("turn", 0)))


def test_a_bake_that_is_the_last_stage_is_taken_out_too() -> None:
    baking = Baking(formula(replace(LOAF, core=None, checks=())))
    baking.to_stage(0)
    baking.wait(minutes=97)
    assert first(baking).startswith("take it out at once: it may burn")


@pytest.mark.parametrize(
    ("over_min", "words"),
    [
        (1, "take it out, then cool"),
        (4, "take it out now"),
        (10, "take it out at once: look at the crust"),
        (25, "take it out at once: it may burn. Smoke? Oven off, door shut"),
    ],
)
def test_a_bake_far_over_its_time_says_so_in_words_that_grow(over_min: float, words: str) -> None:
    baking = in_the_oven(replace(LOAF, checks=()), minutes=40)
    baking.read(95.0, CORE)
    baking.wait(minutes=over_min)
    assert first(baking) == words


def test_a_core_over_the_band_is_taken_out_now_and_is_not_asked_about() -> None:
    baking = in_the_oven(Stage("Bake", "bake", 40 * MINUTE, core=(85.0, 91.0)), minutes=30)
    assert due(baking.state, baking.now_s) == ()
    baking.read(94.0, CORE)
    assert first(baking) == "take it out now: core 94 °C, 91 is the most"
    assert ask_first(baking.state, baking.now_s) == ()
    assert "hotter than wanted, take it out now" in core_says(baking.state, 0, 94.0)[0]
    baking.wait(minutes=30)
    assert first(baking).startswith("take it out at once")


def test_a_core_hotter_than_boiling_water_is_not_one_of_crumb() -> None:
    baking = in_the_oven(Stage("Bake", "bake", 40 * MINUTE, core=(85.0, 91.0)), minutes=30)
    baking.read(104.0, CORE)
    assert "hotter than water boils here (100 °C)" in core_says(baking.state, 0, 104.0)[0]
    assert due(baking.state, baking.now_s) == ()


# ISO 2533 and IAPWS-IF97: water boils at 93.3 °C at 2000 m, at 90.0 °C at 3000 m (within the weather).
@pytest.mark.parametrize(("altitude_m", "boils_c"), [(2000.0, 93.3), (3000.0, 90.0)])
def test_a_formulas_own_band_never_asks_for_more_than_water_boils_at_here(altitude_m: float, boils_c: float) -> None:
    wanted = core_wanted(formula(LOAF, COOL), Kitchen(altitude_m=altitude_m), 0)
    assert wanted is not None
    assert wanted.high_c == pytest.approx(boils_c - 1, abs=0.1)
    assert wanted.low_c == pytest.approx(wanted.high_c - 2)
    assert "as water boils at" in wanted.words
    assert core_wanted(formula(LOAF, COOL), Kitchen(), 0).words == "94 to 98 °C"  # type: ignore[union-attr]


def test_a_narrow_band_near_boiling_stays_narrow() -> None:
    wanted = core_wanted(formula(replace(LOAF, core=(98.0, 99.0)), COOL), Kitchen(), 0)
    assert wanted is not None
    assert (round(wanted.low_c), round(wanted.high_c), wanted.boils_c) == (98, 99, None)


def test_high_up_a_loaf_at_its_boiling_point_is_done() -> None:
    baking = in_the_oven(kitchen=Kitchen(altitude_m=3000.0), minutes=40)
    baking.read(88.0, CORE)
    assert first(baking) == "take it out, then cool"


@pytest.mark.parametrize(
    ("before", "read_c", "dough_c"),
    [
        (Stage("Final proof", "proof", 600.0), 27.0, 27.0),
        (Stage("Final proof", "proof", 600.0), None, 25.0),
        (Stage("Retard", "chill", 600.0), None, 4.0),
        (Stage("Retard", "chill", 600.0, place_c=6.0), None, 4.0),
    ],
)
def test_the_outlook_starts_from_the_dough_that_was_put_in(before: Stage, read_c: float | None, dough_c: float) -> None:
    baking = Baking(formula(before, LOAF, COOL))
    baking.to_stage(0)
    if read_c is not None:
        baking.read(read_c)
    baking.to_stage(1)
    baking.wait(minutes=30)
    baking.read(80.0, CORE)
    (read,) = core_readings(baking.state, 1)
    other = Baking(replace(formula(LOAF, COOL), dough=replace(formula(LOAF).dough, temperature_c=dough_c)))
    other.to_stage(0)
    other.wait(minutes=30)
    other.read(80.0, CORE)
    assert read.outlook == core_readings(other.state, 0)[0].outlook


def rehearsed(*readings: Scripted, stage: Stage = LOAF) -> BakeState:
    return rehearse(
        formula(stage, COOL), BATCH, Kitchen(), start=Stamp(0, 0, "rehearsal"), version="0", readings=readings
    )


def test_rehearsed_readings_are_taken_at_their_moments_and_none_is_made_up_beside_them() -> None:
    state = rehearsed(
        Scripted("Bake", CORE, "90", 43 * MINUTE),
        Scripted("Bake", CORE, "62", 25 * MINUTE),
        Scripted("Bake", CORE, "80", 32 * MINUTE),
    )
    assert [(r.at_s / MINUTE, r.value) for r in state.readings] == [(25, 62.0), (32, 80.0), (43, 90.0)]
    # The last is low, and the minutes that it asks for are given.
    last = core_readings(state, 0)[-1].outlook
    assert last is not None
    assert state.stages[0].ended_s == pytest.approx(last.done_s, abs=31)
    assert [read.outlook is not None for read in core_readings(state, 0)] == [True] * 3


def test_a_rehearsed_reading_near_the_end_answers_the_check_there() -> None:
    state = rehearsed(Scripted("Bake", CORE, "95", 39 * MINUTE))
    assert [(r.at_s / MINUTE, r.value) for r in state.readings] == [(39, 95.0)]
    assert state.stages[0].ended_s == 40 * MINUTE
    assert state.stages[0].missed == ()


def test_each_prompt_without_a_moment_stands_in_order_of_time() -> None:
    baking = in_the_oven(PHASED)
    asked: tuple[Prompt, ...] = prompts(baking.state)
    assert [each.kind for each in asked] == ["heat", "turn", "check"]


def test_prompt_dialog_advice_and_the_key_tell_the_same_minutes() -> None:
    baking = in_the_oven(minutes=34)
    (before_the_end,) = core_says(baking.state, 0, 72.0, baking.now_s)[1:]
    baking.read(72.0, CORE)
    longer = longer_s(baking.state, baking.now_s)
    assert longer is not None
    words = f"about {longer / MINUTE:.0f} min longer ("
    assert words in before_the_end.lower(), "counted from the end that the countdown shows"
    assert [words in each.short for each in advise(baking.state, baking.now_s) if each.situation == "core low"] == [
        True
    ]


def test_longer_after_the_end_is_told_as_it_was_asked_for() -> None:
    baking = in_the_oven(minutes=41.65)
    baking.read(88.0, CORE)
    longer = longer_s(baking.state, baking.now_s)
    assert longer is not None
    assert f"{longer / MINUTE:.0f} min longer (" in first(baking)
    baking.say(intents.Longer(longer))
    assert baking.state.stages[0].length_s == pytest.approx(41.65 * MINUTE + longer)
    # 40 min, 2 over and what its core wants: the minutes add up as they are told.
    assert round(40 + 2 + longer / MINUTE) == 48
    told = f"{longer / MINUTE:.0f} min longer for its core after 2 min over, 48 min in all."
    assert view(baking.state, baking.now_s).why == told
    assert baking.state.stages[0].adjustments[-1].body.reason == told


def test_what_a_low_core_asked_for_twice_is_told_as_one_that_adds_up() -> None:
    baking = in_the_oven(minutes=41)
    for core_c in (91.0, 92.0):
        baking.read(core_c, CORE)
        longer = longer_s(baking.state, baking.now_s)
        assert longer is not None
        baking.say(intents.Longer(longer))
        why = view(baking.state, baking.now_s).why
        baking.wait(minutes=baking.left_min + 1)
    found = re.fullmatch(r"(\d+) min longer for its core after (\d+) min over, (\d+) min in all\.", why)
    assert found is not None
    asked, over, whole = (int(each) for each in found.groups())
    assert 40 + asked + over == whole


def test_a_turn_that_was_missed_does_not_come_back_for_the_last_minutes() -> None:
    baking = in_the_oven(PHASED, minutes=40)
    baking.read(92.0, CORE)
    longer = longer_s(baking.state, baking.now_s)
    assert longer is not None
    assert longer < 3 * MINUTE
    baking.say(intents.Longer(longer))
    assert due(baking.state, baking.now_s) == ()


def test_the_header_tells_the_heat_that_was_set_and_not_the_one_that_is_asked_for() -> None:
    baking = in_the_oven(PHASED, minutes=16)
    assert oven_now([baking.state], baking.now).heat_c == 240.0
    baking.say(intents.Task(OvenTask("heat", 0, 1)))
    assert oven_now([baking.state], baking.now).heat_c == 210.0


def test_minutes_that_a_low_core_wants_are_not_called_too_many_by_the_card() -> None:
    card = replace(LOAF, stretch=(36 * MINUTE, 44 * MINUTE))
    low, unread = in_the_oven(card, minutes=40), in_the_oven(card, minutes=40)
    low.read(80.0, CORE)
    for each in (low, unread):
        each.say(intents.Longer(10 * MINUTE))
    told = "10 min longer for its core. The core is low, so it may take longer than the 44 min that the formula allows."
    assert view(low.state, low.now_s).why == told
    assert view(unread.state, unread.now_s).why.endswith("That is past the 44 min that the formula allows.")


def test_a_core_that_fell_was_read_elsewhere_and_counts_alone() -> None:
    """A core only gets hotter (Zanoni, Peri and Pierucci 1993, J. Food Eng. 19:389)."""
    baking = in_the_oven(minutes=40)
    baking.read(86.0, CORE)
    baking.say(intents.Longer(6 * MINUTE))
    baking.wait(minutes=6)
    said = core_says(baking.state, 0, 80.0, baking.now_s)
    assert "It read 86.0 °C before: put the tip into the middle of the same loaf." in said[1]
    baking.read(80.0, CORE)
    alone = in_the_oven(minutes=46)
    alone.read(80.0, CORE)
    assert first(baking) == first(alone)
    assert first(baking).startswith("core 80 °C, 94 wanted: ")
    assert "longer" in first(baking)


def test_a_core_that_stands_still_below_its_band_is_not_taken_out() -> None:
    baking = in_the_oven(minutes=40)
    for _ in range(3):
        baking.read(88.0, CORE)
        baking.wait(minutes=4)
        assert not first(baking).startswith("take it out")
        baking.read(88.0, CORE)
        assert "longer" in first(baking)
        baking.say(intents.Longer(5 * MINUTE))
        baking.wait(minutes=5)


@pytest.mark.parametrize("read_c", [88.0, 90.0, 91.7, 92.0, 93.0])
def test_minutes_that_were_given_are_not_asked_for_again_before_it_is_read(read_c: float) -> None:
    baking = in_the_oven(minutes=40)
    baking.read(read_c, CORE)
    longer = longer_s(baking.state, baking.now_s)
    assert longer is not None
    baking.say(intents.Longer(longer))
    assert longer_s(baking.state, baking.now_s) is None
    assert "core low" not in {each.situation for each in advise(baking.state, baking.now_s)}
    baking.wait(seconds=longer)
    assert first(baking).startswith("read the core again")


ROLLS = Stage("Bake", "bake", 16 * MINUTE, core=(88.0, 92.0), checks=(Check("core temperature", "end"),))


# Two readings of 5 K in 3 to 5 min: by the straight line through them 3 K more take 2 to 3 min.
@pytest.mark.parametrize("apart_min", [3.0, 4.0, 5.0])
def test_a_second_low_core_tells_its_minutes_and_the_key_gives_those(apart_min: float) -> None:
    baking = in_the_oven(ROLLS, minutes=16)
    baking.read(80.0, CORE)
    given_s = longer_s(baking.state, baking.now_s)
    assert given_s is not None
    baking.wait(minutes=apart_min)
    baking.read(85.0, CORE)
    told = re.fullmatch(r"core 85 °C, 88 wanted: (\d) min longer \(up to (\d)\)", first(baking))
    assert told is not None, first(baking)
    assert 2 <= int(told[1]) <= 3 <= int(told[2])
    assert longer_by_s(baking.state, baking.now_s) == int(told[1]) * MINUTE, "and not five minutes by habit"
    dialog = core_says(baking.state, 0, 85.0, baking.now_s)
    assert f"About {told[1]} min longer" in dialog[1]
    baking.say(intents.Longer(int(told[1]) * MINUTE))
    assert due(baking.state, baking.now_s) == ()
    baking.wait(minutes=int(told[1]))
    assert first(baking).startswith("read the core again")


def test_a_rehearsed_bake_lasts_as_long_as_its_low_core_asks_for() -> None:
    state = rehearsed(Scripted("Bake", CORE, "80"), Scripted("Bake", CORE, "85"), stage=ROLLS)
    live = in_the_oven(ROLLS, minutes=16)
    for read_c in (80.0, 85.0):
        live.read(read_c, CORE)
        more_s = longer_s(live.state, live.now_s)
        assert more_s is not None
        live.say(intents.Longer(more_s))
        live.wait(seconds=more_s)
    # Read again as each of the minutes given is over, and on target then.
    assert [r.value for r in state.readings] == [80.0, 85.0, 90.0]
    assert state.stages[0].ended_s == pytest.approx(live.now_s)
    assert live.now_s > 19 * MINUTE
    assert [r.at_s for r in state.readings][-1] == state.stages[0].ended_s


def test_a_rehearsed_core_too_cool_to_say_how_long_is_given_minutes_and_read_again() -> None:
    state = rehearsed(Scripted("Bake", CORE, "26"), stage=ROLLS)
    assert [(r.at_s / MINUTE, r.value) for r in state.readings] == [(16, 26.0), (21, 90.0)]


def test_what_comes_after_a_bake_is_as_late_as_its_low_core_is_read_again() -> None:
    baking = in_the_oven(minutes=40)
    before_s = view(baking.state, baking.now_s).spans[-1].begin_s
    baking.read(85.0, CORE)
    again_s = next(p.due_s for p in view(baking.state, baking.now_s).coming if p.words == "read the core again")
    assert again_s > baking.now_s + MINUTE
    assert view(baking.state, baking.now_s).spans[-1].begin_s == pytest.approx(before_s + again_s - baking.now_s, abs=1)
