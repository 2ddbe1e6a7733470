"""How fast yeast works at a temperature.

The rate is relative: 1 at the best temperature. Only ratios of it mean anything.
"""

from __future__ import annotations

LEAST_C = 0.0
"""No gas below this. A choice: growth ends at 1.3 to 4.3 °C (Salvadó et al. 2011, Appl. Environ. Microbiol. 77:2292),
but gas is only held back down to about −4 °C, where dough water freezes (IREKS Compendium, 6.2 and 6.3)."""

BEST_C = 37.0
"""Middle of the 36 to 39 °C published for gas from baking strains; the trade press says 32 to 40 (*bake*, May 2015)."""

MOST_C = 48.0
"""No gas above this. Between the limit of growth, 45.4 °C (Salvadó et al. 2011), and 50 to 60 °C, where yeast dies."""

LEAST_LOW_C = -4.0
LEAST_HIGH_C = 0.5
"""How far :data:`LEAST_C` may be off either way; it matters below about 10 °C only. A dough in a fridge that "nearly
stops" at 4.4 °C, or goes 20 percent faster for each degree there, fits nothing above half a degree."""

COLD_C = 10.0
"""Below this, small doubts about the yeast make large doubts about the time."""


def relative_rate(temp_c: float, *, least_c: float = LEAST_C, best_c: float = BEST_C, most_c: float = MOST_C) -> float:
    """Return the rate at ``temp_c`` (°C) as a share of the rate at ``best_c``, from 0 to 1.

    The cardinal temperature model with inflection: L. Rosso, J. R. Lobry and J. P. Flandrois, "An unexpected
    correlation between cardinal temperatures of microbial growth highlighted by a new model", Journal of Theoretical
    Biology 162 (1993) 447–463. It is 0 at and outside ``least_c`` and ``most_c``. Raises ValueError: the three
    temperatures do not rise, or the best is not above the middle of the other two (the model then has no single peak).
    """
    if not least_c < best_c < most_c or best_c <= (least_c + most_c) / 2:
        raise ValueError("the cardinal temperatures must rise, the best one above the middle of the other two")
    if not least_c < temp_c < most_c:
        return 0.0
    above_least = best_c - least_c
    top = (temp_c - most_c) * (temp_c - least_c) ** 2
    bottom = above_least * (above_least * (temp_c - best_c) - (best_c - most_c) * (best_c + least_c - 2 * temp_c))
    return top / bottom
