"""Whether two figures go up and down together: Spearman's rank correlation, its range, and many looks at once.

The range is Fisher's z with the variance for ranks, (1 + r² / 2) / (n - 3), of Bonett and Wright 2000, "Sample size
requirements for estimating Pearson, Kendall and Spearman correlations", Psychometrika 65:23. Many looks are taken
together as Benjamini and Hochberg 1995, "Controlling the false discovery rate", J. R. Statist. Soc. B 57:289.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import NormalDist

from proofbell.frozen import dataclass

_NORMAL = NormalDist()
_95 = _NORMAL.inv_cdf(0.975)


@dataclass(frozen=True, slots=True)
class Together:
    """The rank correlation, its 95 % range, and the chance of one so large or larger where there is none."""

    r: float
    low: float
    high: float
    p: float


def ranks(values: Sequence[float]) -> list[float]:
    """From 1 for the least; equal values share the mean of their ranks."""
    order = sorted(range(len(values)), key=values.__getitem__)
    found = [0.0] * len(values)
    first = 0
    while first < len(order):
        last = first
        while last + 1 < len(order) and values[order[last + 1]] == values[order[first]]:
            last += 1
        for at in order[first : last + 1]:
            found[at] = (first + last) / 2 + 1
        first = last + 1
    return found


def spearman(left: Sequence[float], right: Sequence[float]) -> Together | None:
    """How two figures of the same bakes go together; None of fewer than four, or where one is always the same."""
    count = len(left)
    if count < 4:
        return None
    mean = (count + 1) / 2
    a, b = ([rank - mean for rank in ranks(values)] for values in (left, right))
    spread = math.sqrt(math.fsum(x * x for x in a) * math.fsum(y * y for y in b))
    if spread == 0:
        return None
    r = max(-1.0, min(1.0, math.fsum(x * y for x, y in zip(a, b, strict=True)) / spread))
    if abs(r) > 1 - 1e-12:
        return Together(r, r, r, 0.0)
    z, error = math.atanh(r), math.sqrt((1 + r * r / 2) / (count - 3))
    p = 2 * (1 - _NORMAL.cdf(abs(z) / error))
    return Together(r, math.tanh(z - _95 * error), math.tanh(z + _95 * error), p)


def discoveries(chances: Sequence[float], share: float) -> list[bool]:
    """Which of many looks count when at most this share of those that do may be chance (Benjamini and Hochberg)."""
    order = sorted(range(len(chances)), key=chances.__getitem__)
    most = max((k for k, at in enumerate(order, start=1) if chances[at] <= share * k / len(order)), default=0)
    counts = set(order[:most])
    return [at in counts for at in range(len(chances))]
