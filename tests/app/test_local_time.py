"""Clock times on the two nights on which the clocks change, wherever one is printed."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.app.drawing.time_axis import axis_for, labels
from proofbell.app.session.local_time import clock_words, hour_minute, with_date
from proofbell.bake.stamp import Stamp
from proofbell.clock import comes_twice, offset_min, utc_us
from proofbell.journal.reviews.moments import twice_mark
from proofbell.moment_text import is_span

BERLIN = ZoneInfo("Europe/Berlin")
AUTUMN = datetime(2026, 10, 25, 1, 0, tzinfo=UTC)
"""02:00 UTC+1, for the second time (Directive 2000/84/EC: the last Sunday of October, 01:00 UTC)."""

SPRING = datetime(2026, 3, 29, 1, 0, tzinfo=UTC)
"""03:00 UTC+2; there is no 02:00 (the last Sunday of March, 01:00 UTC)."""


def us(moment: datetime) -> int:
    return round(moment.timestamp() * 1e6)


def stamp(moment: datetime) -> Stamp:
    return Stamp(us(moment), 0, "boot", offset_min(us(moment)))


@pytest.fixture(autouse=True, scope="module")
def _berlin() -> Iterator[None]:
    if not hasattr(time, "tzset"):
        pytest.skip("this system keeps its zone elsewhere")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TZ", "Europe/Berlin")
        time.tzset()
        yield
    time.tzset()


@given(minutes=st.integers(-600, 600), night=st.sampled_from([AUTUMN, SPRING]))
def test_no_two_moments_of_a_night_are_written_alike(minutes: int, night: datetime) -> None:
    at = night + timedelta(minutes=minutes)
    now = stamp(night - timedelta(hours=2))
    words = hour_minute(us(at), now)
    assert words.split()[-1][:5] == f"{at.astimezone(BERLIN):%H:%M}"
    for other in (at - timedelta(hours=1), at + timedelta(hours=1)):
        assert hour_minute(us(other), now) != words


@given(minutes=st.integers(-600, 600), night=st.sampled_from([AUTUMN, SPRING]))
def test_only_an_hour_that_comes_twice_bears_its_offset(minutes: int, night: datetime) -> None:
    """The zone's rules are the tz database's, by another library."""
    at = (night + timedelta(minutes=minutes)).astimezone(BERLIN)
    twice = at.replace(fold=0).utcoffset() != at.replace(fold=1).utcoffset() and night == AUTUMN
    assert comes_twice(us(at)) is twice
    assert ("+" in hour_minute(us(at), stamp(night))) is twice


def test_every_clock_time_has_the_mark() -> None:
    first, second = AUTUMN - timedelta(minutes=30), AUTUMN + timedelta(minutes=30)
    assert clock_words(stamp(first)) == "02:30:00+02"
    assert clock_words(stamp(second)) == "02:30:00+01"
    assert with_date(us(second), stamp(first)) == "02:30+01"
    assert with_date(us(second), stamp(first - timedelta(hours=12))) == "Sun 25 Oct 02:30+01"


def test_the_hours_above_the_strips_are_told_apart_and_stand_apart() -> None:
    begins = us(AUTUMN - timedelta(hours=2))
    for hours, width in ((2, 60), (4, 66), (5, 40), (6, 32), (8, 90)):
        found = labels(axis_for(begins, begins + hours * 3_600_000_000, begins, width), stamp(AUTUMN))
        assert len({words for _, words in found}) == len(found)
        assert all(right - left > len(words) for (left, words), (right, _) in pairwise(found))
        if hours == 4:
            assert {"02:00+02", "02:00+01"} <= {words for _, words in found}


def test_the_hours_above_the_strips_leave_the_skipped_hour_out() -> None:
    begins = us(SPRING - timedelta(hours=2))
    found = labels(axis_for(begins, begins + 5 * 3_600_000_000, begins, 90), stamp(SPRING))
    assert not [words for _, words in found if words.startswith("02:")]


def test_an_hour_that_is_typed_is_the_next_one_to_come() -> None:
    typed = datetime(2026, 10, 25, 2, 50)  # noqa: DTZ001 - as it is typed
    assert utc_us(typed, us(AUTUMN - timedelta(minutes=30))) == us(AUTUMN - timedelta(minutes=10))
    assert utc_us(typed, us(AUTUMN + timedelta(minutes=30))) == us(AUTUMN + timedelta(minutes=50))
    assert utc_us(typed) == us(AUTUMN - timedelta(minutes=10))


@pytest.mark.parametrize(("words", "span"), [("in 4 h", True), (" In 20 min", True), ("02:50", False), ("", False)])
def test_so_long_from_now_is_no_clock_time(words: str, span: bool) -> None:  # noqa: FBT001 - a table
    assert is_span(words) is span


def test_a_moment_that_no_calendar_holds_has_no_mark() -> None:
    assert twice_mark(10**20, 60) == twice_mark(-(10**20), 60) == ""
