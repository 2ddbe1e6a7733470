"""Two lengths beside each other always say which is in what."""

from __future__ import annotations

import re

from proofbell.bake import intents
from proofbell.bake.advice.advise import advise
from proofbell.bake.decisions.ask_first import ask_first
from proofbell.bake.decisions.length_words import change_words, span
from proofbell.bake.events import TimeAdjusted
from proofbell.bake.fermenting.place_words import about_words
from proofbell.bake.view import view
from tests.support.baking import Baking
from tests.support.walking import KNOTS, at, later

SECONDS = re.compile(r"\d min \d+ s\b")


def test_minutes_share_their_unit_and_hours_have_their_own_on_both_sides() -> None:
    assert span(55 * 60, 83 * 60) == "55 to 83 min"
    assert span(165 * 60, 207 * 60) == "2 h 45 min to 3 h 27 min"
    assert change_words(70 * 60, 55 * 60) == "70 → 55 min"
    assert change_words(70 * 60, 200 * 60) == "1 h 10 min → 3 h 20 min"


def test_a_range_that_begins_at_nothing_says_up_to_what() -> None:
    assert span(0, 112 * 60) == "up to 112 min"
    assert span(0, 192 * 60) == "up to 3 h 12 min"


def test_a_length_with_seconds_behind_its_minutes_shares_its_unit_like_any_other() -> None:
    assert change_words(40 * 60, 46.2 * 60) == "40 → 46 min"
    assert change_words(46.2 * 60, 51 * 60) == "46 → 51 min"
    assert change_words(90, 5 * 60) == "1 min 30 s → 5 min"


def test_a_change_that_is_told_in_the_same_minutes_is_none() -> None:
    assert change_words(77 * 60, 77.3 * 60) == "stays 77 min"
    assert change_words(70 * 60, 70 * 60) == "stays 70 min"
    assert change_words(77 * 60, 77.6 * 60) == "77 → 78 min"
    assert change_words(4 * 3600, 4 * 3600 + 20) == "stays 4 h"


def told(baking: Baking) -> list[str]:
    """Every sentence that stands beside a countdown at this moment, and what was said of each change of time."""
    one = view(baking.state, baking.now_s)
    said = [each.short for each in advise(baking.state, baking.now_s)]
    reasons = [event.body.reason for event in baking.state.events if isinstance(event.body, TimeAdjusted)]
    return [one.do, one.then, one.why, *said, *reasons, *ask_first(baking.state, baking.now_s)]


def test_sentences_tell_minutes_and_leave_the_seconds_to_the_countdown() -> None:
    # A rise that is ready after 7 min 59 s, a proof with 7 min 59 s left, one that is 3 min 20 s over its limit.
    early = later(at(KNOTS, "Final proof"), 7 + 59 / 60)
    early.eye("ready")
    left = later(at(KNOTS, "First proof"), 70 - 7 - 59 / 60)
    over = later(at(KNOTS, "First proof"), 103 + 20 / 60)
    shorter = later(at(KNOTS, "First proof"), 62 + 1 / 60)
    shorter.say(intents.Longer(-10 * 60.0))
    words = [each for baking in (early, left, over, shorter) for each in told(baking)]
    assert any("after 8 min" in each for each in words)
    assert any("has 8 min left" in each for each in words)
    assert any("3 min past the 1 h 40 min" in each for each in words)
    assert any("8 min shorter by hand" in each for each in words)
    assert [each for each in words if SECONDS.search(each)] == []


def test_what_was_set_to_the_half_minute_is_told_so() -> None:
    baking = at(KNOTS, "First proof")
    baking.say(intents.Longer(150.0))
    assert "2 min 30 s longer by hand." in told(baking)


def test_a_range_with_the_same_ends_is_none() -> None:
    assert about_words(2100.0, 2040.0, 2160.0, 3000.0) == "about 35 min, not 50 min"
    assert about_words(2100.0, 1800.0, 2400.0, 3000.0) == "about 35 min (30 min to 40 min), not 50 min"
    assert span(2100.0, 2100.0) == "35 min"
