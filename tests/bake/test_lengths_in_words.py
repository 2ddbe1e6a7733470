"""Two lengths beside each other always say which is in what."""

from __future__ import annotations

from proofbell.bake.decisions.adjust import change_words, span


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
