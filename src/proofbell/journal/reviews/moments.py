"""From a bake's own time to what the clock on the wall showed then, and how that is written.

Lengths come from the bake's own time, which no set clock moves. For showing, every moment is told by the stamp of the
event at or before it: so a log reads as the clock read, on the night it was set and across a daylight-saving change.
"""

from __future__ import annotations

from bisect import bisect_right
from datetime import UTC, datetime, timedelta, timezone
from itertools import pairwise

from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.clock import comes_twice
from proofbell.words import hour_minute, hour_minute_second, month, weekday


class Moments:
    """The wall clock of one bake."""

    def __init__(self, state: BakeState) -> None:
        self._at_us = state.times_us
        self._stamps = [event.stamp for event in state.events]

    def event_s(self, number: int) -> float:
        """The bake's own time (s) of an event."""
        return self._at_us[number - 1] / 1_000_000

    def wall_us(self, at_s: float) -> int:
        """UTC (µs) as the wall clock showed it ``at_s`` seconds into the bake."""
        at_us = round(at_s * 1_000_000)
        index = max(0, bisect_right(self._at_us, at_us) - 1)
        return self._stamps[index].wall_us + at_us - self._at_us[index]

    def offset_min(self, at_s: float) -> int:
        """The local offset from UTC (minutes) that held then."""
        index = max(0, bisect_right(self._at_us, round(at_s * 1_000_000)) - 1)
        return self._stamps[index].offset_min

    def local(self, at_s: float) -> datetime:
        return local(self.wall_us(at_s), self.offset_min(at_s))

    def clock(self, at_s: float) -> str:
        """``10:42``, with the day when it is not the first; ``02:21+02`` in a night on which the clocks change.

        The offset is written as in ISO 8601: without it an hour that comes twice could not be told apart.
        """
        return clock(self.local(at_s), self.local(0.0)) + self.offset_mark(at_s)

    def offset_mark(self, at_s: float) -> str:
        """``+02`` in a bake that saw two offsets from UTC; nothing in any other."""
        return "" if self.one_offset else offset_mark(self.offset_min(at_s))

    @property
    def one_offset(self) -> bool:
        return len({stamp.offset_min for stamp in self._stamps}) == 1

    def offset_words(self) -> str:
        """``UTC+01:00``; or, across a change of the clocks, from when on which offset held."""
        words = utc_words(self._stamps[0].offset_min)
        for before, stamp in pairwise(self._stamps):
            if stamp.offset_min != before.offset_min:
                at = local(stamp.wall_us, stamp.offset_min)
                words += f", from {clock(at, self.local(0.0))} on {utc_words(stamp.offset_min)}"
        return words

    def log_time(self, stamp: Stamp) -> str:
        """``2026-03-14 10:42:07``; with the offset behind it in a bake that saw two."""
        at = local(stamp.wall_us, stamp.offset_min)
        told = f"{at:%Y-%m-%d} {hour_minute_second(at)}"
        return told if self.one_offset else f"{told} {utc_words(stamp.offset_min)}"


def local(wall_us: int, offset_min: int) -> datetime:
    """A stored moment as a date and time with its offset, to the microsecond.

    A stamp that no calendar holds (a damaged file) gives the nearest that one does.
    """
    zone = timezone(timedelta(minutes=offset_min)) if abs(offset_min) < 24 * 60 else UTC
    try:
        return (datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=wall_us)).astimezone(zone)
    except OverflowError:
        return datetime(1, 1, 1, tzinfo=UTC) if wall_us < 0 else datetime(9999, 12, 31, tzinfo=UTC)


def utc_words(offset_min: int) -> str:
    """``UTC+01:00``."""
    hours, minutes = divmod(abs(offset_min), 60)
    return f"UTC{'-' if offset_min < 0 else '+'}{hours:02}:{minutes:02}"


def offset_mark(offset_min: int) -> str:
    """``+02``, as in ISO 8601: what tells an hour that comes twice apart."""
    return utc_words(offset_min)[3:].removesuffix(":00")


def twice_mark(wall_us: int, offset_min: int) -> str:
    """The mark behind a clock time that comes twice that night; nothing behind any other."""
    return offset_mark(offset_min) if comes_twice(wall_us) else ""


def iso(moment: datetime) -> str:
    """ISO 8601 to the second, with offset: ``2026-03-14T10:42:07+01:00``."""
    return moment.isoformat(timespec="seconds")


def clock(moment: datetime, first: datetime | None = None) -> str:
    """``10:42``, with the day in front when it is not that of ``first``: ``Sun 15 Mar 01:05``."""
    if first is not None and moment.date() != first.date():
        return f"{weekday(moment)} {moment.day} {month(moment)[:3]} {hour_minute(moment)}"
    return hour_minute(moment)


def day(moment: datetime) -> str:
    """``Sat 14 Mar 2026``, the same in every locale."""
    return f"{weekday(moment)} {moment.day} {month(moment)[:3]} {moment.year}"
