"""How fast yeast works at a temperature, and how much it has done along a drifting one.

The rate is relative: 1 at the best temperature. Only ratios of it mean anything.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

LEAST_C = 0.0
"""No gas below this. A choice: growth ends at 1.3 to 4.3 °C (Salvadó et al. 2011, Appl. Environ. Microbiol. 77:2292),
but gas is only held back down to about −4 °C, where dough water freezes (IREKS Compendium, 6.2 and 6.3)."""

BEST_C = 37.0
"""Middle of the 36 to 39 °C published for gas from baking strains; the trade press says 32 to 40 (*bake*, May 2015)."""

MOST_C = 48.0
"""No gas above this. Between the limit of growth, 45.4 °C (Salvadó et al. 2011), and 50 to 60 °C, where yeast dies."""

LEAST_LOW_C = -4.0
LEAST_HIGH_C = 2.8
"""How far :data:`LEAST_C` may be off either way; it matters below about 10 °C only."""

COLD_C = 10.0
"""Below this, small doubts about the yeast make large doubts about the time."""

_POINTS = 20


def relative_rate(temp_c: float, *, least_c: float = LEAST_C, best_c: float = BEST_C, most_c: float = MOST_C) -> float:
    """Return the rate at ``temp_c`` (°C) as a share of the rate at ``best_c``, from 0 to 1.

    The cardinal temperature model with inflection: L. Rosso, J. R. Lobry and J. P. Flandrois, "An unexpected
    correlation between cardinal temperatures of microbial growth highlighted by a new model", Journal of
    Theoretical Biology 162 (1993) 447–463. It is 0 at and outside ``least_c`` and ``most_c``.

    Raises:
        ValueError: the three temperatures do not rise, or the best is not above the middle of the other two
            (the model then has no single peak).
    """
    if not least_c < best_c < most_c or best_c <= (least_c + most_c) / 2:
        raise ValueError("the cardinal temperatures must rise, the best one above the middle of the other two")
    if not least_c < temp_c < most_c:
        return 0.0
    above_least = best_c - least_c
    top = (temp_c - most_c) * (temp_c - least_c) ** 2
    bottom = above_least * (above_least * (temp_c - best_c) - (best_c - most_c) * (best_c + least_c - 2 * temp_c))
    return top / bottom


def _legendre(count: int) -> tuple[tuple[float, float], ...]:
    """Return nodes and weights of Gauss–Legendre quadrature on 0 to 1 (Abramowitz and Stegun 25.4.29)."""
    pairs: list[tuple[float, float]] = []
    for index in range(count):
        node = math.cos(math.pi * (index + 0.75) / (count + 0.5))
        for _ in range(8):
            before, here = 1.0, node
            for order in range(2, count + 1):
                before, here = here, ((2 * order - 1) * node * here - (order - 1) * before) / order
            slope = count * (node * here - before) / (node * node - 1)
            node -= here / slope
        pairs.append(((1 + node) / 2, 1 / ((1 - node * node) * slope * slope)))
    return tuple(pairs)


_NODES = _legendre(_POINTS)


@dataclass(frozen=True, slots=True)
class Drift:
    """A dough at ``start_c`` (°C) that goes towards ``place_c`` by Newton's law with the time constant ``tau_s``.

    After one ``tau_s`` the difference from the place is 37 % of what it was; after two, 14 %.
    """

    start_c: float
    place_c: float
    tau_s: float

    def __post_init__(self) -> None:
        if not self.tau_s > 0:
            raise ValueError("a time constant is more than nothing")

    def temp_c(self, after_s: float) -> float:
        """Return the dough's temperature (°C) ``after_s`` seconds on."""
        return self.place_c + (self.start_c - self.place_c) * math.exp(-after_s / self.tau_s)

    def amount_s(self, seconds: float, *, least_c: float = LEAST_C) -> float:
        """Return the sum of the relative rate over ``seconds``: seconds at the best temperature that do the same.

        With s = exp(−t/τ) the sum is rate(place)·t plus τ times the integral of (rate(T) − rate(place))/s over s, which
        is smooth on every stretch where the dough does not pass the least or the most temperature; twenty
        Gauss–Legendre points on each stretch leave an error near 1e-13. ``seconds`` may be infinite.
        """
        plateau = relative_rate(self.place_c, least_c=least_c)
        settled = 0.0 if plateau == 0.0 else plateau * seconds
        gap_k = self.start_c - self.place_c
        if gap_k == 0.0:
            return settled
        last = math.exp(-seconds / self.tau_s)
        edges = sorted({last, 1.0, *(s for s in self._passings(least_c) if last < s < 1.0)})
        total = 0.0
        for low, high in pairwise(edges):
            for node, weight in _NODES:
                s = low + (high - low) * node
                difference = relative_rate(self.place_c + gap_k * s, least_c=least_c) - plateau
                total += weight * (high - low) * difference / s
        return settled + self.tau_s * total

    def _passings(self, least_c: float) -> tuple[float, float]:
        gap_k = self.start_c - self.place_c
        return (least_c - self.place_c) / gap_k, (MOST_C - self.place_c) / gap_k

    def seconds_for(self, amount_s: float, *, least_c: float = LEAST_C) -> float:
        """Return how long it takes to do ``amount_s`` (see :meth:`amount_s`); infinite when it never does."""
        if amount_s <= 0.0:
            return 0.0
        if self.amount_s(math.inf, least_c=least_c) <= amount_s:
            return math.inf
        low, high = 0.0, amount_s  # no dough does more than a second's worth in a second
        while self.amount_s(high, least_c=least_c) < amount_s:
            low, high = high, high * 2
        guess = high
        for _ in range(80):  # Newton's steps, kept inside the bracket
            miss = self.amount_s(guess, least_c=least_c) - amount_s
            low, high = (guess, high) if miss < 0 else (low, guess)
            slope = relative_rate(self.temp_c(guess), least_c=least_c)
            step = guess - miss / slope if slope > 0 else low
            following = step if low < step < high else (low + high) / 2
            if abs(following - guess) <= 1e-12 * high:
                return following
            guess = following
        return guess
