"""A habit from few bakes: shrunk towards the prior, careful with slips, and honest about what is not known.

A kitchen's value has a normal prior, and each bake shows it with normal scatter: what is then known of the value
follows from Bayes' rule, so that few bakes move it little and many decide it (the normal model with unknown mean and
variance, worked out on a grid: Gelman et al., *Bayesian Data Analysis*). The scatter is not known either: it is
summed over, with a scaled inverse chi-square prior whose guess counts as :data:`GUESS_COUNTS` bakes (same book).

Some bakes only bound the value: a dough that is ready when first looked at was ready by then. Such a bake counts with
the chance of lying within its bounds (Tobin 1958, "Estimation of relationships for limited dependent variables"). How
far inside its bounds a value lies, bounds alone do not tell: so the range then also takes in whatever the bakes would
not contradict (profile likelihood within 1.92 of its highest) as far as the prior's range reaches, and while fewer than
:data:`FEW` bakes hold the value on both sides, it is the one in that range that is nearest to the prior.

A value is taken for a slip with the chance :data:`SLIPS`, with :data:`WIDER` times the scatter, so that one far off
hardly counts (the contaminated normal of Tukey 1960, "A survey of sampling from contaminated distributions"). With
fewer than :data:`FEW` bakes the value moves no farther from the prior's middle than the prior's own range reaches: one
slip then cannot make matters worse than knowing nothing by more than that.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate, pairwise

from proofbell.frozen import dataclass
from proofbell.journal.learning.quantities import Prior

GUESS_COUNTS = 4.0
SLIPS, WIDER = 0.05, 6.0
FEW = 5
RANGE = 1.96
"""A normal value lies within so many standard deviations 19 times of 20."""

_SCATTERS = tuple(math.exp(step * 0.3) for step in range(-4, 5))


@dataclass(frozen=True, slots=True)
class Shown:
    """What one bake shows: a value, or bounds of it; ``doubt`` is the measuring's own standard deviation."""

    low: float
    high: float
    doubt: float = 0.0

    @property
    def exact(self) -> bool:
        """Whether it is one value rather than a range."""
        return self.low == self.high


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value, the range in which it lies 19 times of 20, its standard deviation, and how many bakes it rests on."""

    value: float
    low: float
    high: float
    deviation: float
    bakes: int


def estimate(prior: Prior, spread: float, shown: Sequence[Shown]) -> Estimate:
    """Learn a value whose prior is ``prior.middle`` ± ``spread`` from what the bakes show.

    Without bakes it is the prior.
    """
    if not shown:
        half = RANGE * spread
        return Estimate(prior.middle, prior.middle - half, prior.middle + half, spread, 0)
    told = [item.low for item in shown if item.exact]
    low = min(prior.middle - 4.0 * spread, *told, prior.middle)
    high = max(prior.middle + 4.0 * spread, *told, prior.middle)
    # A coarse look finds where the value may be, a fine one says how likely each place is.
    for points in (33, 33, 45):
        grid = [low + (high - low) * step / (points - 1) for step in range(points)]
        step_wide = (high - low) / (points - 1)
        looked = _look(prior, spread, shown, grid)
        reach = max(5.0 * looked.deviation, 1.5 * step_wide)
        low, high = looked.mean - reach, looked.mean + reach
    value, least, most = looked.mean, looked.least, looked.most
    bound = RANGE * spread
    if not all(item.exact for item in shown):
        possible = [theta for theta in looked.possible if abs(theta - prior.middle) <= bound]
        least, most = min([least, *possible]), max([most, *possible])
        held = sum(math.isfinite(item.low) and math.isfinite(item.high) for item in shown)
        value = looked.mode if held >= FEW else min(max(prior.middle, least), most)
    if len(shown) < FEW:
        value = min(max(value, prior.middle - bound), prior.middle + bound)
    shared = RANGE * prior.shared
    least, most = (
        value - math.hypot(value - min(least, value), shared),
        value + math.hypot(max(most, value) - value, shared),
    )
    return Estimate(value, least, most, math.hypot(looked.deviation, prior.shared), len(shown))


@dataclass(frozen=True, slots=True)
class _Look:
    """What a grid says: mean, most probable value, deviation, range, and what the bakes alone do not contradict."""

    mean: float
    mode: float
    deviation: float
    least: float
    most: float
    possible: tuple[float, ...]


def _look(prior: Prior, spread: float, shown: Sequence[Shown], grid: Sequence[float]) -> _Look:
    """How likely each value of the grid is, the scatter summed over."""
    likely: list[list[float]] = []
    for factor in _SCATTERS:
        row = [0.0] * len(grid)
        for item in shown:
            wide = math.hypot(prior.bakes * factor, item.doubt)
            chance = _value_chance if item.exact else _bounds_chance
            row = [so_far + math.log(chance(item, theta, wide)) for so_far, theta in zip(row, grid, strict=True)]
        likely.append(row)
    profile = [max(column) for column in zip(*likely, strict=True)]
    # Scaled inverse chi-square for the variance, per step of the scatter's logarithm.
    scatter = [-GUESS_COUNTS * math.log(factor) - GUESS_COUNTS / (2.0 * factor**2) for factor in _SCATTERS]
    centre = [-((theta - prior.middle) ** 2) / (2.0 * spread**2) for theta in grid]
    top = max(
        s + c + value for s, row in zip(scatter, likely, strict=True) for c, value in zip(centre, row, strict=True)
    )
    weights = [
        math.fsum(math.exp(s + c + row[index] - top) for s, row in zip(scatter, likely, strict=True))
        for index, c in enumerate(centre)
    ]
    total = math.fsum(weights)
    weights = [weight / total for weight in weights]
    mean = math.fsum(w * theta for w, theta in zip(weights, grid, strict=True))
    variance = math.fsum(w * (theta - mean) ** 2 for w, theta in zip(weights, grid, strict=True))
    return _Look(
        mean=mean,
        mode=grid[max(range(len(grid)), key=weights.__getitem__)],
        deviation=math.sqrt(max(variance, (grid[1] - grid[0]) ** 2 / 12)),
        least=_quantile(grid, weights, 0.025),
        most=_quantile(grid, weights, 0.975),
        possible=tuple(_at_least(grid, profile, max(profile) - 1.92)),
    )


def _at_least(grid: Sequence[float], heights: Sequence[float], cut: float) -> list[float]:
    """The places of the grid that are at least so high, and where the line between two places passes the cut."""
    found = [theta for theta, height in zip(grid, heights, strict=True) if height >= cut]
    for (theta, height), (next_theta, next_height) in pairwise(zip(grid, heights, strict=True)):
        if (height >= cut) != (next_height >= cut):
            found.append(theta + (next_theta - theta) * (cut - height) / (next_height - height))
    return found


def _value_chance(item: Shown, theta: float, wide: float) -> float:
    square = ((item.low - theta) / wide) ** 2 / 2.0
    slip = SLIPS / WIDER * math.exp(-min(square / WIDER**2, 600.0))
    return ((1.0 - SLIPS) * math.exp(-min(square, 600.0)) + slip) / wide


def _bounds_chance(item: Shown, theta: float, wide: float) -> float:
    # No slips here: the few bakes beyond a bound that all the others lie within are what tells where the value is.
    return max(_up_to((item.high - theta) / wide) - _up_to((item.low - theta) / wide), 1e-9)


def _up_to(z: float) -> float:
    """The chance that a normal value lies below z standard deviations."""
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def _quantile(grid: Sequence[float], weights: Sequence[float], share: float) -> float:
    """Where the weights, each spread over its own step of the grid, add up to ``share``."""
    step = grid[1] - grid[0]
    edges = [grid[0] - step / 2, *(theta + step / 2 for theta in grid)]
    sums = [0.0, *accumulate(weights)]
    for (edge, before), (next_edge, after) in pairwise(zip(edges, sums, strict=True)):
        if after >= share:
            return edge + (next_edge - edge) * (share - before) / (after - before) if after > before else edge
    return edges[-1]
