"""When a bake is done, and what it loses on the way."""

from __future__ import annotations

from proofbell.formula.model import Style
from proofbell.frozen import dataclass


@dataclass(frozen=True, slots=True)
class CoreBand:
    """Core temperature (°C) of a loaf that is done, and where the figures come from."""

    low_c: float
    high_c: float
    source: str


CORE_BANDS: dict[Style, CoreBand] = {
    "lean": CoreBand(93.0, 98.0, "A. Cohn, bread-bakers list, 2008: 200 to 208 °F"),
    "enriched": CoreBand(85.0, 91.0, "A. Cohn, bread-bakers list, 2008: 185 to 195 °F; others say 82 to 96 °C"),
    "rye": CoreBand(95.0, 98.0, "common practice, no source: about 95 °C, wholemeal 98 °C, held for a while"),
}
"""A formula's own ``core`` goes first. Sources disagree for enriched doughs. A dough of another style has none: it
may be a cracker as well as a loaf."""


def core_band(style: Style, *, boiling_c: float = 100.0) -> CoreBand | None:
    """Return the core band of a style, kept under the boiling point of water here, which no moist crumb passes.

    None for a style that has none.

    At altitude the band moves down and keeps at least 2 °C of width (a choice).
    """
    band = CORE_BANDS.get(style)
    if band is None:
        return None
    return CoreBand(*below_boiling(band.low_c, band.high_c, boiling_c), band.source)


def below_boiling(low_c: float, high_c: float, boiling_c: float) -> tuple[float, float]:
    """Return a core band (°C) kept 1 °C under the boiling point of water and, if it was, 2 °C wide: a choice."""
    most_c = min(high_c, boiling_c - 1.0)
    return min(low_c, most_c - min(2.0, high_c - low_c)), most_c


def bake_loss_percent(before_g: float, after_g: float) -> float:
    """Return what a loaf lost in the oven and cooling, in percent of the dough.

    Common: 10 to 13 % (W. Gisslen, *Professional Baking*), more for hearth loaves. Raises ValueError: no dough, or a
    loaf heavier than its dough.
    """
    if not before_g > 0:
        raise ValueError("there was no dough")
    if not 0 <= after_g <= before_g:
        raise ValueError("a loaf does not weigh more than its dough, nor less than nothing")
    return (1 - after_g / before_g) * 100


FITTED_LOW_G = (650.0 - 45.654) / 1.0624
FITTED_HIGH_G = (1000.0 - 45.654) / 1.0624


def fitted(cooled_g: float) -> bool:
    """Whether a loaf of that weight once cool is one that the published line was fitted to."""
    return FITTED_LOW_G <= cooled_g <= FITTED_HIGH_G


def dough_for_loaf_g(cooled_g: float, loss_percent: float | None = None) -> float:
    """Return the dough (g) for one loaf of ``cooled_g`` once cool.

    With a ``loss_percent`` of one's own, by that. Without, by the line fitted to white and brown wheat loaves of 650
    to 1000 g of dough, three hours out of the oven: dough = 45.654 + 1.0624 × loaf (Bocevska, Dimeski and Aldabas,
    *Kemija u industriji*); outside that range by the loss at its nearer end.

    Raises ValueError: no loaf, or a loss that leaves none.
    """
    if not cooled_g > 0:
        raise ValueError("a loaf weighs more than nothing")
    if loss_percent is not None:
        if not 0 <= loss_percent < 100:
            raise ValueError("a loss is from 0 to under 100 percent")
        return cooled_g / (1 - loss_percent / 100)
    fitted_g = min(max(cooled_g, FITTED_LOW_G), FITTED_HIGH_G)
    return (45.654 + 1.0624 * fitted_g) * cooled_g / fitted_g
