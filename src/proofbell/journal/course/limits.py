"""The individuals chart: a mean, limits around it, and what lies outside them or too long on one side.

ISO 7870-2 (Shewhart control charts), individuals: the limits are the mean ± 2.66 × the mean moving range, which is 3
standard deviations by 3 / d2, d2 = 1.128 for ranges of two (NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2).
Eight in a row on one side is the fourth of the zone tests that Western Electric published in 1956 (e-Handbook, 6.3.2).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby
from operator import sub

from proofbell.frozen import dataclass

E2 = 2.66
"""Limits are so many mean moving ranges from the mean."""

ENOUGH = 8
"""Values that it takes before there are limits."""

IN_A_ROW = 8
"""So many on one side of the mean are marked."""


@dataclass(frozen=True, slots=True)
class Limits:
    """The centre line and the limits, in the unit of the values."""

    mean: float
    lower: float
    upper: float


@dataclass(frozen=True, slots=True)
class Run:
    """Values one after another on one side of the mean: numbers of the first and the last, and 1 above, -1 below."""

    first: int
    last: int
    side: int

    @property
    def count(self) -> int:
        """How many."""
        return self.last - self.first + 1


def individuals(values: Sequence[float]) -> Limits | None:
    """The mean and the limits of values in their order; None of fewer than are enough."""
    if len(values) < ENOUGH:
        return None
    mean = math.fsum(values) / len(values)
    moving = math.fsum(map(abs, map(sub, values[1:], values))) / (len(values) - 1)
    return Limits(mean, mean - E2 * moving, mean + E2 * moving)


def outside(values: Sequence[float], limits: Limits) -> tuple[int, ...]:
    """Numbers of the values beyond the limits; one on a limit is inside, whatever the last digit of a sum."""
    least, most = limits.lower - _near(limits), limits.upper + _near(limits)
    return tuple(number for number, value in enumerate(values) if not least <= value <= most)


def runs(values: Sequence[float], limits: Limits) -> tuple[Run, ...]:
    """Where ``IN_A_ROW`` or more lie on one side; a value on the mean ends a run."""
    below, above = limits.mean - _near(limits), limits.mean + _near(limits)
    sides = (1 if value > above else -1 if value < below else 0 for value in values)
    found: list[Run] = []
    first = 0
    for side, group in groupby(sides):
        last = first + sum(1 for _ in group) - 1
        if side and last - first + 1 >= IN_A_ROW:
            found.append(Run(first, last, side))
        first = last + 1
    return tuple(found)


def _near(limits: Limits) -> float:
    return 1e-9 * max(1.0, abs(limits.mean))
