"""A dough that drifts towards the temperature of its place, and how much its leaven does on the way."""

from __future__ import annotations

import math
from itertools import pairwise

from proofbell.dough.fermenting.leaven import CURVES, Curve
from proofbell.frozen import dataclass

YEAST = CURVES["yeast"]


def legendre(count: int) -> tuple[tuple[float, float], ...]:
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


NODES = legendre(12)
"""The points on 0 to 1 at which a rate is looked at, each with its weight."""

SLOWEST = 1e-3
"""A first guess goes by no slower rate than this."""

CLOSE_SHARE = 1e-7
"""A Newton step shorter than this share of the time is the last one: it leaves less than a thousandth of a second."""


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

    def amount_s(self, seconds: float, *, curve: Curve = YEAST) -> float:
        """Return the sum of the relative rate over ``seconds``: seconds at the best temperature that do the same.

        With s = exp(−t/τ) the sum is rate(place)·t plus τ times the integral of (rate(T) − rate(place))/s over s, which
        is smooth on every stretch where the dough passes none of the curve's kinks; twelve
        Gauss–Legendre points on each stretch leave less than a thousandth of a second. ``seconds`` may be infinite.
        """
        plateau = curve.rate(self.place_c)
        settled = 0.0 if plateau == 0.0 else plateau * seconds
        gap_k = self.start_c - self.place_c
        if gap_k == 0.0:
            return settled
        last = math.exp(-seconds / self.tau_s)
        edges = sorted({last, 1.0, *(s for s in self._passings(curve) if last < s < 1.0)})
        total, rate, place_c = 0.0, curve.rate, self.place_c
        for low, high in pairwise(edges):
            width = high - low
            for node, weight in NODES:
                s = low + width * node
                total += weight * width * (rate(place_c + gap_k * s) - plateau) / s
        return settled + self.tau_s * total

    def _passings(self, curve: Curve) -> tuple[float, ...]:
        gap_k = self.start_c - self.place_c
        return tuple((kink_c - self.place_c) / gap_k for kink_c in curve.kinks_c)

    def seconds_for(self, amount_s: float, *, curve: Curve = YEAST) -> float:
        """Return how long it takes to do ``amount_s`` (see :meth:`amount_s`); infinite when it never does."""
        if amount_s <= 0.0:
            return 0.0
        if curve.rate(self.place_c) == 0.0 and self.amount_s(math.inf, curve=curve) <= amount_s:
            return math.inf
        low, high = amount_s, math.inf  # no dough does more than a second's worth in a second
        guess = amount_s / max(curve.rate(self.temp_c(amount_s)), SLOWEST)
        for _ in range(200):  # Newton's steps, kept inside the bracket
            miss = self.amount_s(guess, curve=curve) - amount_s
            low, high = (guess, high) if miss < 0 else (low, guess)
            slope = curve.rate(self.temp_c(guess))
            step = guess - miss / slope if slope > 0 else low
            if abs(step - guess) <= CLOSE_SHARE * guess:
                return step
            guess = step if low < step < high else min((low + high) / 2, 2 * low)
        return guess
