"""UTC moments as the clock on the kitchen wall shows them, across a change to or from summer time too."""

from __future__ import annotations

from datetime import datetime

from proofbell import words
from proofbell.bake.stamp import Stamp
from proofbell.clock import offset_min
from proofbell.journal.reviews.moments import clock, local, twice_mark


def wall(at_us: int, now: Stamp) -> datetime:
    """A moment on the wall clock. The offset is the stamp's own, moved by what the zone's rules change till then."""
    return local(at_us, _offset_min(at_us, now))


def ahead_us(now: Stamp) -> int:
    """How much later than this machine's clock the kitchen's own stands, by the stamp's offset (µs)."""
    return (now.offset_min - offset_min(now.wall_us)) * 60_000_000


def _offset_min(at_us: int, now: Stamp) -> int:
    return now.offset_min + offset_min(at_us) - offset_min(now.wall_us)


def told_apart(at_us: int, now: Stamp) -> str:
    """``+02`` behind a clock time that comes twice that night; nothing behind any other."""
    return twice_mark(at_us, _offset_min(at_us, now))


def hour_minute(at_us: int, now: Stamp) -> str:
    """``11:10``, or ``Sun 06:40`` when it is not today; ``02:21+02`` in an hour that comes twice."""
    at, here = wall(at_us, now), wall(now.wall_us, now)
    day = "" if at.date() == here.date() else f"{words.weekday(at)} "
    return f"{day}{words.hour_minute(at)}{told_apart(at_us, now)}"


def with_date(at_us: int, now: Stamp) -> str:
    """``11:10``, or ``Sun 15 Mar 06:40`` when it is not today."""
    return clock(wall(at_us, now), wall(now.wall_us, now)) + told_apart(at_us, now)


def clock_words(now: Stamp) -> str:
    """``10:42:07``."""
    return words.hour_minute_second(wall(now.wall_us, now)) + told_apart(now.wall_us, now)


def day(at_us: int, now: Stamp) -> str:
    """``Sat 14 March``, the day of a moment; ``today`` for this one."""
    at = wall(at_us, now)
    same = at.date() == wall(now.wall_us, now).date()
    return "today" if same else f"{words.weekday(at)} {at.day} {words.month(at)}"


def date_words(now: Stamp) -> str:
    """``Sat 14 March``, in no language but our own."""
    at = wall(now.wall_us, now)
    return f"{words.weekday(at)} {at.day} {words.month(at)}"
