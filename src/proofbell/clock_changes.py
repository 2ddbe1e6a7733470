"""The nights on which the clocks change: told in words, and what a typed clock time means on them."""

from __future__ import annotations

import re
from datetime import datetime

from proofbell.clock import comes_twice, offset_min, utc_us
from proofbell.errors import Failure
from proofbell.frozen import dataclass
from proofbell.journal.reviews.moments import day, local, offset_mark
from proofbell.moment_text import is_span, read_when
from proofbell.visible import visible
from proofbell.words import hour_minute

_HOUR_US = 3600 * 1_000_000
_MARKED = re.compile(r"(?<=[:.]\d\d)([+-]\d\d(?::\d\d)?)$")


@dataclass(frozen=True, slots=True)
class ClockChange:
    """At ``at_us`` (UTC, µs) the clocks go from one offset from UTC to another (minutes)."""

    at_us: int
    from_min: int
    to_min: int

    @property
    def words(self) -> str:
        """``The clocks go forward on Sun 29 Mar 2026, from 02:00 to 03:00``."""
        before, after = local(self.at_us, self.from_min), local(self.at_us, self.to_min)
        way = "forward" if self.to_min > self.from_min else "back"
        return f"The clocks go {way} on {day(before)}, from {hour_minute(before)} to {hour_minute(after)}"


def changes(from_us: int, until_us: int) -> tuple[ClockChange, ...]:
    """Every change of the clocks between two moments (UTC, µs), by the rules of this machine's zone."""
    found: list[ClockChange] = []
    at_us, before = from_us, offset_min(from_us)
    while at_us < until_us:
        next_us = min(at_us + 24 * _HOUR_US, until_us)
        if (after := offset_min(next_us)) != before:
            found.append(ClockChange(_between(at_us, next_us, before), before, after))
        at_us, before = next_us, after
    return tuple(found)


def _between(early_us: int, late_us: int, before: int) -> int:
    """The first whole second (UTC, µs) at which an offset that holds at the earlier moment does so no more."""
    early_s, late_s = early_us // 1_000_000, -(-late_us // 1_000_000)
    while late_s - early_s > 1:
        middle = (early_s + late_s) // 2
        early_s, late_s = (middle, late_s) if offset_min(middle * 1_000_000) == before else (early_s, middle)
    return late_s * 1_000_000


def moment_us(text: str, here: datetime, now_us: int) -> int:
    """A typed moment as UTC (µs); in an hour that comes twice the first that is ahead, or the one that is marked.

    Args:
        text: what was typed; behind a clock time may stand its offset from UTC, ``02:30+01``.
        here: now on the kitchen's clock.
        now_us: now, UTC µs.

    Raises:
        Failure: it is no moment to come, is skipped as the clocks go forward, or has a mark that does not hold then.
    """
    mark = _MARKED.search(text.strip())
    bare = text.strip().removesuffix(mark[1]) if mark else text
    moment = read_when(bare, here)
    if is_span(bare):
        return now_us + round((moment - here).total_seconds() * 1_000_000)
    first, second = (moment.replace(fold=fold).astimezone() for fold in (0, 1))
    if moment.replace(fold=0) not in (first.replace(tzinfo=None, fold=0), second.replace(tzinfo=None, fold=0)):
        at_us = utc_us(moment)
        told = changes(at_us - 24 * _HOUR_US, at_us + 24 * _HOUR_US)[0]
        after = local(told.at_us, told.to_min)
        raise Failure(
            f"{hour_minute(moment)} does not come on {day(moment)}. {told.words}.",
            f"Write {hour_minute(after)} or another time.",
        )
    if mark is None:
        return utc_us(moment, now_us)
    for at in (first, second):
        at_us = round(at.timestamp() * 1_000_000)
        if offset_mark(offset_min(at_us)) == mark[1]:
            return at_us
    raise Failure(
        f"{visible(text, most=40)} is not on this clock: it stands at {offset_mark(offset_min(utc_us(moment)))} then.",
        "Leave that out.",
    )


def twice_words(text: str, at_us: int) -> str:
    """Which one of two is meant by a typed clock time that comes twice; empty for any other, or a marked one."""
    if is_span(text) or _MARKED.search(text.strip()) or not comes_twice(at_us):
        return ""
    at = local(at_us, offset_min(at_us))
    mark, other = (offset_mark(offset_min(us)) for us in (at_us, _other_us(at_us)))
    which = "first" if _other_us(at_us) > at_us else "second"
    return (
        f"{at:%H:%M} comes twice on {day(at)}. The {which} is meant, {at:%H:%M}{mark}; for the other write "
        f"{at:%H:%M}{other}."
    )


def _other_us(at_us: int) -> int:
    """The other moment (UTC, µs) at which the clock shows the same in an hour that comes twice."""
    naive = datetime.fromtimestamp(at_us / 1_000_000)  # noqa: DTZ006 - the zone is what is asked about
    both = [round(naive.replace(fold=fold).astimezone().timestamp() * 1_000_000) for fold in (0, 1)]
    return both[1] if both[0] == at_us else both[0]
