"""The quiet hours of a kitchen as spans of time, each by the rules of its clock on that day."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from proofbell.clock import utc_us
from proofbell.kitchen.model import Kitchen

AHEAD_US = 12 * 24 * 3600 * 1_000_000
"""So far beyond all that is wanted a plan may go: on days that cannot hold all of it."""

LATE_HOURS = ("23:00", "05:00")
"""Hands in these hours are worth a word where a kitchen has not said when nobody works: common practice, no source."""


def is_quiet(kitchen: Kitchen, at_us: int, by_us: int = 0) -> bool:
    """Whether nobody works at a moment (UTC, µs). As for `nights`."""
    return any(begin_us <= at_us < end_us for begin_us, end_us in nights(kitchen, at_us, by_us=by_us, ahead_us=0))


def nights_unsaid(
    kitchen: Kitchen, from_us: int, wanted_us: int | None = None, by_us: int = 0
) -> tuple[tuple[int, int], ...]:
    """The late hours (UTC, µs) of a kitchen that has no quiet ones; none of one that has. As for `nights`."""
    return () if kitchen.quiet else nights(replace(kitchen, quiet=LATE_HOURS), from_us, wanted_us, by_us)


def nights(
    kitchen: Kitchen, from_us: int, wanted_us: int | None = None, by_us: int = 0, *, ahead_us: int = AHEAD_US
) -> tuple[tuple[int, int], ...]:
    """The spans (UTC, µs) in which nobody works, from a moment until well after all is wanted.

    Each is made from clock times of its own day, so that a change of the clocks makes a night longer or shorter.

    Args:
        kitchen: its quiet hours.
        from_us: the moment, UTC µs.
        wanted_us: when the last is wanted, UTC µs.
        by_us: how much later than this machine's clock the kitchen's own stands, µs.
        ahead_us: how far beyond all that, µs.
    """
    if len(kitchen.quiet) < 2:
        return ()
    until_us = max(from_us, wanted_us or 0) + ahead_us
    first, last = (datetime.strptime(hour, "%H:%M").time() for hour in kitchen.quiet)  # noqa: DTZ007 - a clock time
    day = datetime.fromtimestamp((from_us + by_us) / 1_000_000).date() - timedelta(days=1)  # noqa: DTZ006 - the kitchen's
    found: list[tuple[int, int]] = []
    while True:
        begin_us = utc_us(datetime.combine(day, first)) - by_us
        end_day = day if last > first else day + timedelta(days=1)
        end_us = utc_us(datetime.combine(end_day, last)) - by_us
        if begin_us > until_us:
            return tuple(found)
        if end_us > from_us and begin_us < end_us:
            found.append((begin_us, end_us))
        day += timedelta(days=1)
