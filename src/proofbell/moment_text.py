"""A moment as a person says it: "18:30", "tomorrow 07:30", "Sat 09:00", "2026-03-14 07:30", "in 4 h".

Clock time is local and stays so; turning it into UTC is the caller's, who knows the zone.
"""

from __future__ import annotations

import re
from datetime import date, datetime, time, timedelta

from proofbell.errors import Failure
from proofbell.quantities import Dimension, QuantityError, read_quantity

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
SAY_IT = "Write 18:30 or 6:30 pm, tomorrow 07:30, Sat 09:00, 2026-03-14 07:30, or in 4 h."
MINUTE_US = 60_000_000
FURTHEST = timedelta(days=60)

_CLOCK = re.compile(r"^(\d{1,2})(?:[:.](\d{2}))?(am|pm)?$")
_HALF = re.compile(r"(?<=\d)\s*([ap])\.?m\.?$")


def read_when(text: str, now: datetime) -> datetime:
    """Read a moment to come as local clock time without a zone. ``now`` is local clock time too.

    A bare time that has passed today means tomorrow's. Raises Failure: it is not a time, it has passed, or it is more
    than 60 days away.
    """
    words = _HALF.sub(r"\1m", text.strip().lower()).split()
    if not words:
        raise Failure("No time was given.", SAY_IT)
    if words[0] == "in":
        return _checked(now + _span(" ".join(words[1:]), text), now, text)
    if words == ["now"]:
        return now
    if "t" in words[0] and len(words) == 1 and words[0][0].isdigit():
        words = words[0].split("t", 1)
    clock = _clock(words[-1], text)
    if len(words) == 1:
        today = datetime.combine(now.date(), clock)
        return today if today > now else today + timedelta(days=1)
    if len(words) != 2:
        raise Failure(f"{text!r} is not a time.", SAY_IT)
    return _checked(datetime.combine(_day(words[0], now, clock, text), clock), now, text)


def is_span(text: str) -> bool:
    """Whether a moment is said as so long from now: that long it is, whatever the clocks do meanwhile."""
    return text.strip().lower().split()[:1] == ["in"]


def whole_minute_us(at_us: int) -> int:
    """A UTC moment (µs) moved up to the next whole minute, so that a plan's times are whole ones."""
    return -(-at_us // MINUTE_US) * MINUTE_US


def _span(words: str, text: str) -> timedelta:
    try:
        return timedelta(seconds=read_quantity(words, Dimension.TIME))
    except (QuantityError, OverflowError) as error:
        raise Failure(f"{text!r} is not a time: {error}", SAY_IT) from error


def _clock(word: str, text: str) -> time:
    match = _CLOCK.match(word)
    hour, minute, half = (0, "0", "") if match is None else (int(match[1]), match[2], match[3])
    right = hour <= 23 if not half else 1 <= hour <= 12
    if match is None or not right or (minute is None and not half) or int(minute or 0) > 59:
        raise Failure(f"{text!r} is not a time.", SAY_IT)
    if half:  # 12 am is midnight, 12 pm noon
        hour = hour % 12 + (12 if half == "pm" else 0)
    return time(hour, int(minute or 0))


def _day(word: str, now: datetime, clock: time, text: str) -> date:
    if word in ("today", "tomorrow"):
        return now.date() + timedelta(days=int(word == "tomorrow"))
    named = [number for number, name in enumerate(WEEKDAYS) if len(word) >= 2 and name.startswith(word)]
    if len(named) == 1:
        ahead = (named[0] - now.weekday()) % 7
        day = now.date() + timedelta(days=ahead)
        return day if datetime.combine(day, clock) > now else day + timedelta(days=7)
    try:
        return date.fromisoformat(word)
    except ValueError as error:
        raise Failure(f"{text!r} is not a time.", SAY_IT) from error


def _checked(moment: datetime, now: datetime, text: str) -> datetime:
    if moment <= now:
        raise Failure(f"{text!r} has passed.", "Give a time that is still to come.")
    if moment - now > FURTHEST:
        raise Failure(f"{text!r} is more than 60 days away.", "Plan nearer to the day.")
    return moment
