"""The stretch of time that the strips share: where each moment stands, and the hours above them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import timedelta

from proofbell.app.session.local_time import told_apart, wall
from proofbell.bake.stamp import Stamp
from proofbell.frozen import dataclass
from proofbell.words import hour_minute, weekday

SECOND = 1_000_000
_STEPS_S = (15, 30, 60, 120, 180, 300, 600, 900, 1200, 1800, 3600, 7200, 14400)
"""Seconds in a column: only these, so that the strips keep still."""
_LABELS_MIN = (5, 10, 15, 30, 60, 120, 180, 360, 720, 1440)
_LABEL_ROOM = 8
_PAST_SHARE = 0.25
_LEAST_AHEAD_S = 30 * 60
NEAR_S = 6 * 3600
WHOLE_S = 24 * 3600


@dataclass(frozen=True, slots=True)
class Axis:
    """``begin_us`` (UTC) stands at column 0, and every column is ``step_us`` long."""

    begin_us: int
    step_us: int
    width: int

    def column(self, at_us: int) -> int:
        """The column of a moment; may lie outside."""
        return (at_us - self.begin_us) // self.step_us

    def moment(self, column: int) -> int:
        """The moment (UTC, µs) at which a column begins."""
        return self.begin_us + column * self.step_us


def axis_for(begins_us: int, ends_us: int, now_us: int, width: int, most_ahead_s: float = WHOLE_S) -> Axis:
    """An axis that shows everything to come (so much at most) and as much of what was as fits beside it.

    When nothing is left to come it shows all that was, and stays so.
    """
    width = max(1, width)
    if ends_us <= now_us:
        step_us = _step_for(max((ends_us - begins_us) / SECOND, _LEAST_AHEAD_S), width)
        return Axis(begins_us // step_us * step_us, step_us, width)
    ends_us = min(ends_us, now_us + round(most_ahead_s * SECOND))
    ahead_s = max((ends_us - now_us) / SECOND, _LEAST_AHEAD_S)
    whole_s = max((ends_us - begins_us) / SECOND, ahead_s)
    past = int(width * _PAST_SHARE)
    fine_enough = (s for s in _STEPS_S if s * (width - 1) >= whole_s or s * (width - past - 1) >= ahead_s)
    step_us = next(fine_enough, _STEPS_S[-1]) * SECOND
    all_fits = ends_us - begins_us <= (width - 1) * step_us
    begin_us = begins_us if all_fits else max(begins_us, now_us - past * step_us)
    return Axis(begin_us // step_us * step_us, step_us, width)


def _step_for(whole_s: float, width: int) -> int:
    """The finest step (µs) with which so many seconds fit."""
    return next((s for s in _STEPS_S if s * (width - 1) >= whole_s), _STEPS_S[-1]) * SECOND


def labels(axis: Axis, now: Stamp) -> Sequence[tuple[int, str]]:
    """(column, words) for the hours along the axis: round hours of the wall clock, with room between them."""
    least_min = _LABEL_ROOM * axis.step_us / SECOND / 60
    every = next((minutes for minutes in _LABELS_MIN if minutes >= least_min), _LABELS_MIN[-1])
    first = wall(axis.begin_us, now)
    midnight = first.replace(hour=0, minute=0, second=0, microsecond=0)
    count = int((first - midnight).total_seconds() // 60 // every)
    found: list[tuple[int, str]] = []
    for number in range(count, count + axis.width):
        at = midnight + timedelta(minutes=every * number)
        at_us = axis.begin_us + round((at - first).total_seconds() * SECOND)
        column = axis.column(at_us)
        if column >= axis.width:
            break
        if column >= 0:
            # Behind a change of the clocks the hours are others.
            at = wall(at_us, now)
            midnight_there = at.hour == 0 and at.minute == 0
            words = weekday(at) if midnight_there else f"{hour_minute(at)}{told_apart(at_us, now)}"
            if found and column <= found[-1][0] + len(found[-1][1]):
                continue  # With its offset the one before is wider than usual.
            found.append((column, words))
    return found


STEPS_S = (5, 10, 15, 20, 30, 60, 90, 120, 180, 240, 300, 450, 600, 900, 1200, 1800, 3600, 7200, 14400)
"""Seconds in a column."""


def fitted_axis(begin_us: int, end_us: int, columns: int) -> Axis:
    """From ``begin_us`` to ``end_us`` (UTC) over so many columns."""
    columns = max(1, columns)
    least_us = max(1, (end_us - begin_us) / max(1, columns - 1))
    step_us = next((s * SECOND for s in STEPS_S if s * SECOND >= least_us), math.ceil(least_us))
    return Axis(begin_us // step_us * step_us, step_us, columns)
