"""How fast a dough takes on its place's temperature: by its mass and its surroundings, and how far that can be off."""

from __future__ import annotations

import math
from typing import Literal

Surroundings = Literal["moving air", "still air", "covered"]

PROOFED_TAU_S = 95 * 60.0
PROOFED_G = 500.0
MASS_POWER = 0.4

SLOWER: dict[Surroundings, float] = {"moving air": 1.0, "still air": 1.25, "covered": 1.7}
"""How much longer than in moving air. Moving air: a walk-in, a prover, a fan fridge (three points). Covered: a basket
in a cloth or bag, a bowl or tub with a lid, in a home fridge (one logged fridge, one summary, one soft point). Still
air, open or under a thin lid: by heat transfer alone, no data."""

TAU_DOUBT = 0.25
"""How far the time constant may be off (1σ of its logarithm): five points scatter by 18 percent around figures that
were set from them, and masses and fridges were assumed, so a quarter is taken."""

LEAST_TAU_DOUBT = 0.12
"""No readings of one dough make it surer than this: probe lag, the fridge's recovery and the dough's own warmth."""

RANGE = 1.645
"""From 1σ to a 90 percent range: a quarter becomes ×/÷ 1.5."""


def time_constant_s(dough_g: float, surroundings: Surroundings = "moving air") -> float:
    """Return the time constant (s) with which ``dough_g`` grams of dough in one lump take on a place's temperature.

    In moving air 95 minutes for a 500 g loaf, which is what published proofing targets come to (BAKERpedia, "The
    importance of proofing": dough of 27 °C is to reach about 34.5 °C in an hour in a box of 43 °C). Other weights go
    with the power 0.4: between the cube root of heat passed at the surface and the square of that of heat conducted
    inside. Pizza shops' walk-ins agree: 624 g about 3 h and 369 g about 2 h to 45 °F. Raises ValueError: no dough.
    """
    if not dough_g > 0:
        raise ValueError("a dough weighs more than nothing")
    return PROOFED_TAU_S * SLOWER[surroundings] * math.pow(dough_g / PROOFED_G, MASS_POWER)
