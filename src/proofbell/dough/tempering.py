"""How long something from the fridge stands in the room until it is as warm as a formula wants it."""

from __future__ import annotations

import math

from proofbell.dough.fermenting.time_constant import RANGE, time_constant_s
from proofbell.dough.heat import FLOUR_KJ, WATER_KJ
from proofbell.frozen import dataclass

DOUGH_KJ = (FLOUR_KJ + 0.65 * WATER_KJ) / 1.65
"""Of a dough with 65 % of water (kJ/kg·K): the doughs whose time constants are known are about that."""

DOUBT = 0.4
"""How far the time constant may be off (1σ of its logarithm). Nothing measured of butter, egg or milk was found, and a
block, a bottle and an egg are no loaf: a judgement, well above dough's own quarter."""

ROOM_WARM_K = 2.0
"""So near the room counts as room-warm, which nothing ever quite gets to: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Span:
    """A length of time (s) with its 90 percent range."""

    seconds: float
    low_s: float
    high_s: float


def tempering(grams: float, heat_kj: float, *, from_c: float, to_c: float, room_c: float) -> Span | None:
    """Return how long so much of it stands in the room's still air; None where it never gets there.

    Newton's law with the time constant of a dough of that weight, changed by what either holds of heat. What is to be
    as warm as the room is taken to `ROOM_WARM_K` below it.
    """
    wanted_c = min(to_c, room_c - ROOM_WARM_K) if to_c <= room_c else to_c
    if wanted_c >= room_c or grams <= 0:
        return None
    if wanted_c <= from_c:
        return Span(0.0, 0.0, 0.0)
    tau_s = time_constant_s(grams, "still air") * heat_kj / DOUGH_KJ
    seconds = tau_s * math.log((room_c - from_c) / (room_c - wanted_c))
    off = math.exp(RANGE * DOUBT)
    return Span(seconds, seconds / off, seconds * off)
