"""What was judged low is not over by the clock: no loading on a "not yet", no taking out on a raw core."""

from __future__ import annotations

import pytest

from proofbell.bake import intents
from proofbell.bake.advice.advise import advise
from proofbell.bake.core import longer_s
from proofbell.bake.decisions.decide import decide
from proofbell.bake.fermenting.short_rise import rise_longer_s
from proofbell.bake.intents import Refused
from proofbell.bake.prompts import prompts
from proofbell.bake.tasks import OvenTask, Silenced
from proofbell.bake.view import view
from proofbell.formula.model import ReadingKind
from tests.support.baking import Baking
from tests.support.prompted import due, ringing
from tests.support.walking import KNOTS, at, done, hot, later, read

CORE: ReadingKind = "core temperature"


def first(baking: Baking) -> str:
    return due(baking.state, baking.now_s)[0].words


def warm_final_proof() -> Baking:
    """Knots in a hot kitchen, first proof far over its limit: the final proof is over at the least that it may be."""
    baking = done(later(at(KNOTS, "First proof"), 150))
    return read(done(later(baking, 20)), 30.0)


def test_a_rise_not_ready_just_before_the_end_is_judged_again_before_it_is_loaded() -> None:
    baking = warm_final_proof()
    later(baking, baking.left_min - 4)
    baking.eye("not yet")
    asked = [each for each in prompts(baking.state, now_s=baking.now_s) if each.check is not None or each.over]
    assert [each.words for each in asked] == ["judge the rise, then load the oven"]
    later(baking, 4.5)
    assert "judge the rise, then load the oven" in [each.words for each in due(baking.state, baking.now_s)]
    baking.eye("ready")
    assert not any("judge" in each.words for each in due(baking.state, baking.now_s))


def low_core(read_c: float = 81.0) -> Baking:
    """Knots at the end of their bake, read below the 88 °C that are wanted."""
    return read(at(KNOTS, "Bake", minutes=16), read_c, what=CORE)


def test_a_bake_whose_core_was_low_is_read_again_and_not_taken_out() -> None:
    baking = low_core()
    baking.say(intents.Longer(longer_s(baking.state, baking.now_s) or 0.0))
    later(baking, baking.left_min + 4)
    assert first(baking) == "core 81 °C, 88 wanted: read it again now"
    said = [each.short for each in advise(baking.state, baking.now_s)]
    assert [each for each in said if "take it out" in each.lower()] == []
    assert any("read the core again now" in each for each in said)
    read(baking, 86.0, what=CORE)
    assert "min longer (" in first(baking)
    assert not any("over its time" in each.short for each in advise(baking.state, baking.now_s))


def test_once_the_minutes_are_over_the_core_is_read_again_and_that_rings_once() -> None:
    baking = low_core(70.0)
    likely_s = longer_s(baking.state, baking.now_s)
    assert likely_s is not None
    later(baking, 3.5)
    assert ringing(baking.state, baking.now_s) == (), "it has the minutes that were told"
    later(baking, likely_s / 60 - 3)
    assert first(baking) == "read the core now: look at the crust"
    (again,) = ringing(baking.state, baking.now_s)
    # The figure that the reading gives is used up; a door is not opened for less than two minutes.
    assert longer_s(baking.state, baking.now_s) == 120.0
    baking.say(intents.Task(Silenced(again.id)))
    later(baking, 5)
    assert ringing(baking.state, baking.now_s) == ()


def test_a_low_core_that_nobody_read_again_for_long_is_not_made_longer_by_its_old_reading() -> None:
    baking = later(low_core(), 90)
    assert first(baking) == "read the core now: it may burn. Smoke? Oven off, door shut"
    assert longer_s(baking.state, baking.now_s) is None
    refused = baking.refused(intents.Longer(300.0))
    assert refused.message == "The core was read low 1 h 30 min ago."
    assert "Read it now" in refused.remedy
    read(baking, 85.0, what=CORE)
    baking.say(intents.Longer(longer_s(baking.state, baking.now_s) or 300.0))


def test_a_bake_given_up_in_the_oven_is_taken_out_before_the_oven_is_turned_off() -> None:
    baking = at(KNOTS, "Bake", minutes=8)
    baking.say(intents.GiveUp())
    seen = view(baking.state, baking.now_s)
    assert seen.do == "Take it out with dry cloths, then oven off"
    assert "Take it out: bread, tray and oven are hot, use dry cloths." in seen.text
    kept = view(baking.state, baking.now_s, oven_kept=True)
    assert (kept.do, "Take it out" in kept.text) == ("", True)
    baking.say(intents.Task(OvenTask("oven off", 5)))
    assert "Take it out" not in view(baking.state, baking.now_s).text


def test_a_bake_given_up_before_it_is_loaded_only_has_its_oven_turned_off() -> None:
    baking = hot(at(KNOTS, "Final proof"))
    baking.say(intents.GiveUp())
    assert view(baking.state, baking.now_s).do == "Oven off"


def test_a_final_proof_gone_far_has_one_order() -> None:
    baking = read(at(KNOTS, "Final proof"), 25.0)
    read(hot(baking), 180.0, what="rise")
    seen = view(baking.state, baking.now_s)
    assert seen.do == "Load the oven"
    assert seen.advice is not None
    assert seen.advice.short == "Rise 180 %, 75 % is the most: bake it now as a flat loaf."
    for percent in (150.0, 180.0, 150.0):
        read(later(baking, 1), percent, what="rise")
    sunk = [each for each in advise(baking.state, baking.now_s) if each.situation == "sinking"]
    assert [each.do for each in sunk] == ["bake it now as a flat loaf"]


def test_a_rise_that_jumps_back_against_what_was_judged_is_asked_about() -> None:
    baking = read(at(KNOTS, "Final proof"), 25.0)
    later(baking, 40)
    baking.eye("ready")
    later(baking, 5)
    jumped = intents.Read("rise", "12", raw=12.0)
    assert baking.refused(jumped).odd
    # A dough that sinks is believed.
    assert not isinstance(decide(baking.state, intents.Read("rise", "40", raw=40.0), baking.now), Refused)


def test_no_rise_asks_for_more_than_twice_what_its_dough_allows() -> None:
    baking = read(at(KNOTS, "Final proof"), 25.0)
    later(baking, 80)
    baking.read(12.0, "rise")
    more_s = rise_longer_s(baking.state, baking.now_s)
    assert more_s is not None
    # The card allows 70 min, a dough of 25 °C in this room 72.
    assert more_s == pytest.approx((2 * 72 - 80) * 60, abs=120)
    assert f": {more_s / 60:.0f} min more" in " ".join(each.words for each in due(baking.state, baking.now_s))
