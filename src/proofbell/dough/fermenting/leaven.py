"""What raises a dough, and how fast each works at a temperature: baker's yeast, or a sourdough's own yeast."""

from __future__ import annotations

import math
from typing import Literal, Protocol

from proofbell.dough.fermenting.rate import COLD_C, LEAST_C, LEAST_HIGH_C, LEAST_LOW_C, MOST_C, relative_rate
from proofbell.frozen import dataclass

Leaven = Literal["yeast", "sourdough"]

SOURDOUGH_BEST_C = 28.0
SOURDOUGH_MOST_C = 37.5
SOURDOUGH_POWER = 3.0
SOURDOUGH_POWER_DOUBT = 0.72
"""Either way: ×/÷ 1.5 at 14 °C, and wider below. A judgement: many home sourdoughs also hold baker's yeast."""

NO_PROMISE_C = 30.0
"""Above this no sourdough is promised to be sooner or later than at its best temperature."""


class Curve(Protocol):
    """The rate at a temperature (°C) as a share of the rate at the best one, and where its slope breaks (°C)."""

    @property
    def kinks_c(self) -> tuple[float, ...]:
        """Temperatures (°C) at which the curve is not smooth."""

    def rate(self, temp_c: float) -> float:
        """Return the rate at ``temp_c`` (°C), from 0 to 1."""


@dataclass(frozen=True, slots=True)
class BakersYeast:
    """*Saccharomyces cerevisiae* by the cardinal temperature model; see :func:`relative_rate`."""

    least_c: float = LEAST_C

    @property
    def kinks_c(self) -> tuple[float, ...]:
        """Where gas begins and ends."""
        return self.least_c, MOST_C

    def rate(self, temp_c: float) -> float:
        """The share of the best rate at ``temp_c`` (°C)."""
        return relative_rate(temp_c, least_c=self.least_c)


@dataclass(frozen=True, slots=True)
class Sourdough:
    """The yeast of a sourdough: ``((x/x₀)·e^(1 − x/x₀))^power`` with x = most − T and x₀ = most − best.

    Fitted to eight points read off M. Gänzle's statement (rec.food.sourdough FAQ; author of Gänzle, Ehmann and Hammes
    1998, Appl. Environ. Microbiol. 64:2616) on *C. milleri/humilis*: best at 27 to 28 °C, half speed at 20 and 32,
    a quarter at 14 and 34. That is growth of one species in a broth; a mixed culture in dough is set a little wider.
    ``held``: above the best temperature it stays as fast, which is the doubt where no figure can be promised.
    """

    power: float = SOURDOUGH_POWER
    held: bool = False

    @property
    def kinks_c(self) -> tuple[float, ...]:
        """Where dough water freezes, where it is held, and where it ends."""
        return LEAST_LOW_C, SOURDOUGH_BEST_C, SOURDOUGH_MOST_C

    def rate(self, temp_c: float) -> float:
        """The share of the best rate at ``temp_c`` (°C)."""
        if self.held and SOURDOUGH_BEST_C <= temp_c < SOURDOUGH_MOST_C:
            return 1.0
        if not LEAST_LOW_C < temp_c < SOURDOUGH_MOST_C:
            return 0.0
        share = (SOURDOUGH_MOST_C - temp_c) / (SOURDOUGH_MOST_C - SOURDOUGH_BEST_C)
        return math.exp(self.power * (math.log(share) + 1.0 - share))


CURVES: dict[Leaven, Curve] = {"yeast": BakersYeast(), "sourdough": Sourdough()}

COLD_DOUBTS: dict[Leaven, tuple[float, tuple[Curve, Curve]]] = {
    "yeast": (COLD_C, (BakersYeast(LEAST_LOW_C), BakersYeast(LEAST_HIGH_C))),
    "sourdough": (
        14.0,
        (Sourdough(SOURDOUGH_POWER - SOURDOUGH_POWER_DOUBT), Sourdough(SOURDOUGH_POWER + SOURDOUGH_POWER_DOUBT)),
    ),
}
"""Below which temperature (°C) a rate is poorly known, and the two curves that it lies between."""
