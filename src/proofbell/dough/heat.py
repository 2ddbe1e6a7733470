"""What each kind of ingredient holds of heat, when the formula does not say.

C. J. Geankoplis, *Transport Processes and Separation Process Principles*, 4th ed., table A.4-1 (mean of 0 to
100 °C), in kJ/kg·K. What it lacks is worked out from the composition, with the coefficients that are quoted from Siebel
and from Choi and Okos 1986: 4.18 × water + 1.55 × protein + 1.67 × fat + 1.42 × carbohydrate + 0.84 × ash.
"""

from __future__ import annotations

from proofbell.formula.foods.water import water_percent
from proofbell.formula.model import Ingredient, IngredientKind, PrefermentParts

WATER_KJ = 4.185
DRY_KJ = 1.42
FLOUR_KJ = 1.84  # middle of 1.80 to 1.88, 12 to 13.5 % water
ICE_KJ = 1.958
OIL_KJ = 2.01  # olive oil

HEAT_KJ: dict[IngredientKind, float] = {
    "flour": FLOUR_KJ,
    "water": WATER_KJ,
    "milk": 3.85,
    "dry milk": 1.51,  # from its composition
    "egg": 3.18,
    "fat": 2.30,  # butter at 4.4 °C
    "sugar": DRY_KJ,  # from its composition: all carbohydrate
    "salt": 0.84,  # from its composition: all ash
}

MELTING_KJ = 333.46
"""Heat that melts ice at 0 °C, kJ/kg: IAPWS R10-06(2009) for ice with IAPWS-IF97 for water."""


def specific_heat_kj(ingredient: Ingredient) -> float:
    """Return what warms one kilogram of the ingredient by one degree (kJ/kg·K)."""
    if ingredient.kind == "preferment":
        return _preferment_kj(ingredient.made_of)
    if ingredient.kind in {"yeast", "other"}:
        share = water_percent(ingredient) / 100
        return WATER_KJ * share + DRY_KJ * (1 - share)
    if ingredient.kind == "fat" and water_percent(ingredient) < 1:
        return OIL_KJ
    return HEAT_KJ[ingredient.kind]


def _preferment_kj(parts: PrefermentParts | None) -> float:
    if parts is None or parts.total == 0:
        return FLOUR_KJ
    flour, water = parts.all_flour * FLOUR_KJ, parts.all_water * WATER_KJ
    return (flour + water + (parts.yeast + parts.salt) * DRY_KJ) / parts.total
