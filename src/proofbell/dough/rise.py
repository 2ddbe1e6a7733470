"""How far a dough has risen, and how much longer when it is short."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.frozen import dataclass

DISSOLVED_FIRST = 25.0
"""So much gas (percent of the dough's volume) goes into the dough before it grows, in its first rise: 25 to 30. A litre
of water takes up 0.83 l of carbon dioxide at 25 °C (from memory), some 30 % of a dough; and yeast wakes late."""

DISSOLVED_LATER = 5.0
"""A dough that was shaped is full of gas already: 0 to 10."""

ONE_READING = (0.55, 1.4)
TWO_READINGS = (0.67, 1.43)
"""Shares of the likely time inside which nine of ten simulated rises were ready: 4,000 with a late start, gas that
slows or speeds up, leaks, and readings 7 % off. No measured rises were found to hold them against."""

APART_S = 10 * 60.0
APART_PERCENT = 5.0
"""Two readings nearer to each other than this tell more about the eye than about the dough. Common practice, no
source."""


def rise_percent_from_height(now: float, start: float) -> float:
    """Return the rise in volume (percent) of a dough in a straight-sided jar, from two heights in the same unit.

    In a straight-sided jar the volume goes with the height, measured from its bottom. Raises ValueError: the dough had
    no height at the start, or has less than none now.
    """
    return rise_percent_from_volume(now, start)


def rise_percent_from_volume(now: float, start: float) -> float:
    """Return the rise (percent of the volume at the start), from two volumes in the same unit.

    Raises ValueError: the dough had no volume at the start, or has less than none now.
    """
    if not start > 0:
        raise ValueError("the dough needs a size at the start")
    if not now >= 0:
        raise ValueError("a dough cannot be smaller than nothing")
    return (now / start - 1) * 100


@dataclass(frozen=True, slots=True)
class RiseOutlook:
    """How much longer (s) from its last reading a rise takes that is short, and the range of that.

    ``readings``: by how many it is told.
    """

    more_s: float
    low_s: float
    high_s: float
    readings: int


def rise_outlook(
    readings: Sequence[tuple[float, float]], wanted_percent: float, *, first: bool = False
) -> RiseOutlook | None:
    """Return how much longer a dough stands until it has risen by ``wanted_percent``; None where nothing tells.

    ``readings`` are (seconds since the rise began, percent), in order. One alone goes on at the pace so far, counted
    with the gas that went into the dough before it grew: more of it in a ``first`` rise. Two that lie apart go on as
    between them. A dough that has not risen at all is not extrapolated; one that has arrived needs 0.
    """
    if not readings:
        return None
    at_s, percent = readings[-1]
    if percent >= wanted_percent:
        return RiseOutlook(0.0, 0.0, 0.0, 1)
    if percent <= 0 or at_s <= 0:
        return None
    before = next(((s, p) for s, p in reversed(readings[:-1]) if at_s - s >= APART_S), None)
    if before is not None and percent - before[1] >= APART_PERCENT:
        more_s = (wanted_percent - percent) * (at_s - before[0]) / (percent - before[1])
        low, high = TWO_READINGS
        return RiseOutlook(more_s, more_s * low, more_s * high, 2)
    dissolved = DISSOLVED_FIRST if first else DISSOLVED_LATER
    more_s = at_s * ((wanted_percent + dissolved) / (percent + dissolved) - 1)
    low, high = ONE_READING
    return RiseOutlook(more_s, more_s * low, more_s * high, 1)
