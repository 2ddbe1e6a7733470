"""How long a dough needs: the same amount of fermentation, in any place, from any reading.

Fermentation is the sum of the relative rate (:func:`relative_rate`) over time while the dough drifts towards
the temperature of its place. A time of more than :data:`LONGEST_S` is given as infinity: this dough will not
be ready in this place.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from proofbell.dough.fermenting.drift import Drift
from proofbell.dough.fermenting.leaven import COLD_DOUBTS, CURVES, NO_PROMISE_C, Curve, Leaven, Sourdough
from proofbell.dough.fermenting.path import Path, Readings, Stood, follow
from proofbell.dough.fermenting.time_constant import RANGE, TAU_DOUBT
from proofbell.frozen import dataclass

REFERENCE_C = 25.0
"""Amounts of fermentation are told as hours at this temperature."""

LONGEST_S = 60 * 86400.0
"""No dough lasts two months: longer times are infinite."""

DOUBLING_K = 1.0
DOUBLING_RANGE = (0.8, 1.3)
"""The gas that doubles a dough frees so much heat (K), and how far that may be off, as shares. Worked out from the heat
of fermentation, 100.5 kJ for each mol of glucose, with a third of the dough's volume dissolved and nine tenths kept;
an hour's bulk comes to 1 K an hour, as is published (PMQ Pizza Magazine, November 2016; German bakers' glossaries)."""


@dataclass(frozen=True, slots=True)
class Card:
    """What a stage's time is right for: a dough of ``at_c`` in a place of ``place_c`` (°C), for ``time_s`` (s).

    ``tau_s`` is that dough's time constant there (s), ``rise_percent`` what it is to rise in that time: with it goes
    the warmth that it gives itself.
    """

    time_s: float
    at_c: float
    place_c: float
    tau_s: float
    leaven: Leaven = "yeast"
    rise_percent: float = 0.0

    @property
    def warming_k(self) -> float:
        """How much it warms itself (K) for each second at the best rate."""
        amount_s = Drift(self.at_c, self.place_c, self.tau_s).amount_s(self.time_s, curve=CURVES[self.leaven])
        return 0.0 if not self.rise_percent or amount_s <= 0 else DOUBLING_K * self.rise_percent / 100 / amount_s

    def path(self, *, slower: float = 1.0, warmth: float = 1.0) -> Path:
        """The dough of the card, with ``slower`` times its time constant and ``warmth`` times its own warmth."""
        return follow(
            (),
            start_c=self.at_c,
            place_c=self.place_c,
            tau_s=self.tau_s * slower,
            warming_k=self.warming_k * warmth,
            curve=CURVES[self.leaven],
        )

    def amount_s(self, *, slower: float = 1.0, warmth: float = 1.0, curve: Curve | None = None) -> float:
        """The amount of fermentation that is wanted (s at the best rate)."""
        by = CURVES[self.leaven] if curve is None else curve
        return self.path(slower=slower, warmth=warmth).amount_s(self.time_s, curve=by)


@dataclass(frozen=True, slots=True)
class Ahead:
    """How much more than its cards a dough has done before a stage (s at the best rate), and the range of that."""

    amount_s: float = 0.0
    low_s: float = 0.0
    high_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Estimate:
    """A whole stage's length, and how sure it is.

    ``seconds`` is infinite when the dough will not be ready in this place (no gas below 0 °C), or not within two
    months; ``high_s`` may be infinite alone. ``low_s`` to ``high_s`` is what the probe's tolerance, the place's
    uncertainty, the doubt of the time constant and of the dough's own warmth leave open. ``tau_s`` is the time constant
    by all that was read. ``wide``: some of it happens where what the leaven still does is poorly known; the range then
    covers that doubt too. ``wanted_s`` is the amount that is wanted, ``path`` the dough's temperature.
    """

    seconds: float
    low_s: float
    high_s: float
    tau_s: float
    wide: bool
    wanted_s: float
    path: Path


def doubted(
    card: Card, readings: Readings, place_c: float, tau_s: float, stood: Stood
) -> Callable[[float, float, float, tuple[float, float]], Path]:
    """A dough's temperature in its stage, by how far probe and place are off (K), its own warmth, its time constant.

    Names as in :func:`equal_time`; a time constant goes with its doubt.
    """

    def path(probe_k: float, room_k: float, warmth: float, tau: tuple[float, float]) -> Path:
        return follow(
            [(at_s, temp_c + probe_k) for at_s, temp_c in readings],
            start_c=card.at_c + probe_k,
            place_c=place_c + room_k,
            tau_s=tau[0],
            tau_doubt=tau[1],
            warming_k=card.warming_k * warmth,
            curve=CURVES[card.leaven],
            stood=[(until_s, there_c + room_k, there_s * tau[0] / tau_s) for until_s, there_c, there_s in stood],
        )

    return path


def equal_time(
    card: Card,
    *,
    readings: Readings,
    place_c: float,
    tau_s: float,
    tolerance_k: float = 1.0,
    uncertainty_k: float = 1.0,
    tau_doubt: float = TAU_DOUBT,
    ahead: Ahead | None = None,
    stood: Stood = (),
    card_share: float = 1.0,
) -> Estimate:
    """Return the stage's whole length that gives as much fermentation as its ``card`` does.

    This dough read ``readings`` (seconds into the stage, °C; none: it started as the card's) and stands in ``place_c``.
    ``tau_s`` is its time constant by mass and surroundings, ``tau_doubt`` how far that may be off (1σ of its
    logarithm); readings move it (see ``path.follow``), and then it holds for what is wanted as well as for what is
    done: a dough that cools more slowly than was guessed is no faster dough. Before, it ``stood`` in other places (see
    ``path.follow``). What it is ``ahead`` of its cards from before is taken off. The moment may lie before the last
    reading: then the stage is due. ``card_share``: how much of what the readings show of the time constant (of its
    logarithm) holds for the card's dough too; the rest is this dough's own.

    The range comes from reading ± ``tolerance_k``, place ± ``uncertainty_k``, the time constant and the dough's own
    warmth: separate doubts, added as the root of the sum of their squares. Raises ValueError: a reading before the
    stage, or a time constant of nothing.
    """
    before = Ahead() if ahead is None else ahead
    path = doubted(card, readings, place_c, tau_s, stood)
    middle = path(0.0, 0.0, 1.0, (tau_s, tau_doubt))
    refit = (middle.tau_s / tau_s) ** card_share

    def length_s(
        *,
        probe_k: float = 0.0,
        room_k: float = 0.0,
        warmth: float = 1.0,
        slower: float = 1.0,
        curve: Curve | None = None,
        ahead_s: float = before.amount_s,
    ) -> float:
        here = path(probe_k, room_k, warmth, (middle.tau_s * slower, 0.0))
        wanted_s = card.amount_s(slower=refit * slower, warmth=warmth, curve=curve) - ahead_s
        return _bounded(here.seconds_for(wanted_s, curve=curve or CURVES[card.leaven]))

    seconds = length_s()
    card_path = card.path(slower=refit)
    coldest_c = min(middle.coldest_c(seconds), card_path.coldest_c(card.time_s))
    doubts = [
        [length_s(probe_k=-tolerance_k), length_s(probe_k=tolerance_k)],
        [length_s(room_k=-uncertainty_k), length_s(room_k=uncertainty_k)],
    ]
    if middle.tau_doubt:
        off = math.exp(RANGE * middle.tau_doubt)
        doubts.append([length_s(slower=1 / off), length_s(slower=off)])
    if card.warming_k:
        doubts.append([length_s(warmth=share) for share in DOUBLING_RANGE])
    cold_c, curves = COLD_DOUBTS[card.leaven]
    if coldest_c < cold_c or card.leaven == "sourdough":
        doubts.append([length_s(curve=curve) for curve in curves])
    warmest_c = max(middle.warmest_c(min(seconds, LONGEST_S)), card_path.warmest_c(card.time_s))
    if card.leaven == "sourdough" and warmest_c > NO_PROMISE_C:
        doubts.append([length_s(curve=Sourdough(held=True))])
    if before.low_s < before.high_s:
        doubts.append([length_s(ahead_s=before.low_s), length_s(ahead_s=before.high_s)])
    low_s, high_s = _spread(seconds, doubts)
    wanted_s = card.amount_s(slower=refit) - before.amount_s
    return Estimate(seconds, low_s, high_s, middle.tau_s, coldest_c < cold_c, wanted_s, middle)


def _bounded(seconds: float) -> float:
    return seconds if seconds <= LONGEST_S else math.inf


def _spread(seconds: float, doubts: list[list[float]]) -> tuple[float, float]:
    """Add separate doubts: root of the sum of squares, each way. Infinite when a doubt is."""
    if math.isinf(seconds):
        finite = [length for pair in doubts for length in pair if math.isfinite(length)]
        return (min(finite) if finite else math.inf), math.inf
    shorter = math.hypot(*(max(0.0, seconds - min(pair)) for pair in doubts))
    longer = math.hypot(*(max(0.0, max(pair) - seconds) for pair in doubts))
    return max(0.0, seconds - shorter), _bounded(seconds + longer)
