"""Rounding weights to what the scale shows, so that they still add up."""

from __future__ import annotations

import math
from collections.abc import Sequence

from proofbell.formula.model import IngredientKind
from proofbell.frozen import dataclass

FINE_KINDS = frozenset({"yeast", "salt"})
FINE_STEP_G = 0.1
FINE_MOST_G = 100.0
"""Small scales hold a hundred grams or two; more goes on the big one."""

OFF_BY = 0.10
"""Yeast or salt that rounding would change by more than this share is weighed finer. Common practice, no source."""


AT_MOST_OFF_BY = 0.25
"""What a fine scale may be off by: doughs of one dose scatter as much in time."""

SHARE_OFF_BY = 0.05
"""What the share of a solution may be off by, for its water can be chosen: common practice, no source."""
TEN_STEPS = 10
"""Half a step of a scale is a twentieth of ten."""


@dataclass(frozen=True, slots=True)
class Weight:
    """One weight as it is to be read off a scale. ``dissolve``: too little for the scale, see :func:`dissolve`."""

    grams: float
    step_g: float
    dissolve: bool = False


def round_weights(
    exact: Sequence[tuple[IngredientKind, float]], *, step_g: float, fine_step_g: float | None = None
) -> tuple[Weight, ...]:
    """Round the weights of a batch to the scale's step so that their sum stays the dough's.

    Largest remainder: all are rounded down, and the steps that are then missing from the rounded sum go to those that
    lost most. Yeast, salt and whatever is less than a step are weighed apart, to ``fine_step_g``, when there is a fine
    scale. What the finest step would change by too much keeps the decimals that it needs and is marked.
    Nothing that is in the formula comes to nothing.
    """
    weights: dict[int, Weight] = {}
    for index, (kind, grams) in enumerate(exact):
        if grams > 0 and (kind in FINE_KINDS or grams < step_g):
            found = _fine(grams, step_g, fine_step_g)
            if found is not None:
                weights[index] = found
    coarse = [(index, grams) for index, (_, grams) in enumerate(exact) if index not in weights]
    whole_g = math.fsum(grams for _, grams in exact) - math.fsum(weight.grams for weight in weights.values())
    counts = share_out([grams / step_g for _, grams in coarse], round(whole_g / step_g))
    for index, (_, grams) in enumerate(coarse):
        if grams > 0 and not counts[index]:
            counts[counts.index(max(counts))] -= 1
            counts[index] = 1
    for (index, _), count in zip(coarse, counts, strict=True):
        weights[index] = Weight(_tidy(count, step_g), step_g)
    return tuple(weights[index] for index in range(len(exact)))


def _fine(grams: float, step_g: float, fine_step_g: float | None) -> Weight | None:
    if fine_step_g is not None and fine_step_g < step_g:
        if grams > FINE_MOST_G:
            return None
        if fits(grams, fine_step_g, AT_MOST_OFF_BY):
            return Weight(_tidy(round(grams / fine_step_g), fine_step_g), fine_step_g)
    elif fits(grams, step_g):
        return None
    own_g = telling_step_g(grams)
    return Weight(_tidy(max(1, round(grams / own_g)), own_g), own_g, dissolve=True)


def fits(grams: float, step_g: float, off_by: float = OFF_BY) -> bool:
    """Whether a scale of that step shows a weight to within that share of it."""
    return abs(round(grams / step_g) * step_g - grams) <= off_by * grams


def telling_step_g(grams: float) -> float:
    """Return the step (g) in which a small weight is told: a tenth of a gram, finer where a tenth does not tell it."""
    return next((step_g for step_g in (FINE_STEP_G, 0.01) if fits(grams, step_g)), 0.001)


def share_out(wanted: Sequence[float], whole: int) -> list[int]:
    """Round numbers to whole ones that add up to ``whole``: all down, then one more where the remainder is largest.

    The method of Hamilton, known from apportioning seats.
    """
    if not wanted:
        return []
    counts = [math.floor(value) for value in wanted]
    order = sorted(range(len(wanted)), key=lambda index: (counts[index] - wanted[index], index))
    missing = whole - sum(counts)
    for turn in range(abs(missing)):
        if missing > 0:
            counts[order[turn % len(order)]] += 1
        else:
            positive = [index for index in reversed(order) if counts[index] > 0]
            counts[positive[turn % len(positive)]] -= 1
    return counts


def _tidy(count: int, step_g: float) -> float:
    return round(count * step_g, 6)


@dataclass(frozen=True, slots=True)
class Solution:
    """A small weight taken as part of a solution: stir ``stock_g`` into ``water_g``, use ``take_g`` of it (g).

    ``liquid_less_g`` is the water that comes with it: so much less of the formula's liquid.
    """

    stock_g: float
    water_g: float
    take_g: float
    liquid_less_g: float


def dissolve(grams: float, step_g: float) -> Solution:
    """Return how to measure ``grams`` on a scale with a step of ``step_g``, by a solution of one part in ten.

    One part in more where so much of that cannot be weighed to within a twentieth: half a step is that of ten steps.
    So the stock is at least ten steps, too, and never less than what is needed.
    """
    least_g, steps = TEN_STEPS * step_g, grams / step_g
    wanted = range(max(10, math.ceil(TEN_STEPS / steps * (1 - 1e-9))), 10_000)
    parts = next((parts for parts in wanted if fits(grams * parts, step_g, SHARE_OFF_BY)), wanted[-1])
    stock_g = max(least_g, math.ceil(steps) * step_g)
    take_g = max(1, round(grams * parts / step_g)) * step_g
    return Solution(stock_g, (parts - 1) * stock_g, take_g, take_g - grams)
