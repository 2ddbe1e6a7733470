"""How far a dough is when it comes out of the cold: its temperature and its fermentation, against its card's."""

from __future__ import annotations

import math
from collections.abc import Callable

from proofbell.dough.fermenting.fermentation import DOUBLING_RANGE, Ahead, Card, doubted
from proofbell.dough.fermenting.leaven import COLD_DOUBTS, CURVES, Curve
from proofbell.dough.fermenting.path import Readings, Stood
from proofbell.dough.fermenting.time_constant import RANGE, TAU_DOUBT
from proofbell.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure and its range."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class TakenOut:
    """A dough at take-out: its temperature (°C), and what it has done as a share of what its card reckons with.

    ``ahead`` is what it has done more than that, ``warmer_k`` how much warmer it is than the card's dough would be.
    """

    temp_c: Figure
    share: Figure
    ahead: Ahead
    warmer_k: float


def taken_out(
    card: Card,
    *,
    readings: Readings,
    place_c: float,
    tau_s: float,
    seconds: float,
    tolerance_k: float = 1.0,
    uncertainty_k: float = 1.0,
    tau_doubt: float = TAU_DOUBT,
    stood: Stood = (),
) -> TakenOut:
    """Return how far a dough is that stands in ``place_c`` for ``seconds``; names as in ``fermentation.equal_time``.

    One time constant holds for this dough and its card's, however the readings move it; each doubt is worked through
    both, and the doubts are added as the root of the sum of their squares.
    """
    usual = CURVES[card.leaven]

    path = doubted(card, readings, place_c, tau_s, stood)
    fitted = path(0.0, 0.0, 1.0, (tau_s, tau_doubt))

    def outcome(
        probe_k: float = 0.0, room_k: float = 0.0, warmth: float = 1.0, slower: float = 1.0, curve: Curve = usual
    ) -> tuple[float, float, float]:
        here = path(probe_k, room_k, warmth, (fitted.tau_s * slower, 0.0))
        wanted_s = card.amount_s(slower=fitted.tau_s / tau_s * slower, warmth=warmth, curve=curve)
        ahead_s = here.amount_s(seconds, curve=curve) - wanted_s
        return here.temp_c(seconds), 1 + ahead_s / wanted_s if wanted_s > 0 else math.inf, ahead_s

    off = math.exp(RANGE * fitted.tau_doubt)
    doubts = [
        (outcome(probe_k=-tolerance_k), outcome(probe_k=tolerance_k)),
        (outcome(room_k=-uncertainty_k), outcome(room_k=uncertainty_k)),
        (outcome(slower=1 / off), outcome(slower=off)),
        (outcome(warmth=DOUBLING_RANGE[0]), outcome(warmth=DOUBLING_RANGE[1])),
    ]
    cold_c, curves = COLD_DOUBTS[card.leaven]
    if fitted.coldest_c(seconds) < cold_c:
        doubts.append((outcome(curve=curves[0]), outcome(curve=curves[1])))
    middle = outcome()

    def figure(of: Callable[[tuple[float, float, float]], float]) -> Figure:
        value = of(middle)
        below = math.hypot(*(max(0.0, value - min(map(of, pair))) for pair in doubts))
        above = math.hypot(*(max(0.0, max(map(of, pair)) - value) for pair in doubts))
        return Figure(value, value - below, value + above)

    ahead = figure(lambda each: each[2])
    card_c = card.path(slower=fitted.tau_s / tau_s).temp_c(card.time_s)
    return TakenOut(
        figure(lambda each: each[0]),
        figure(lambda each: each[1]),
        Ahead(ahead.value, ahead.low, ahead.high),
        middle[0] - card_c,
    )
