"""What each kind of ingredient holds of water, when the formula does not say.

USDA National Nutrient Database for Standard Reference, file ABBREV (NDB numbers below), grams in 100 g.
"""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.formula.model import Ingredient, IngredientKind, YeastForm

WATER_PERCENT: dict[IngredientKind, float] = {
    "flour": 13.36,  # 20083, white bread flour; European millers say 14
    "water": 100.0,
    "milk": 88.13,  # 01077, whole milk
    "dry milk": 3.16,  # 01092, non-fat
    "egg": 76.15,  # 01123, whole egg
    "fat": 17.94,  # 01145, unsalted butter; oil and lard hold none, so the formula says water = "0 %"
    "sugar": 0.02,  # 19335
    "salt": 0.20,  # 02047
    "other": 0.0,
}
YEAST_WATER_PERCENT: dict[YeastForm, float] = {
    "fresh": 69.00,  # 18374, compressed
    "active dry": 5.08,  # 18375
    "instant": 5.08,  # taken as active dry
}


def water_percent(ingredient: Ingredient) -> float:
    """Return how much of the ingredient's own weight is water (percent); the formula's figure goes first."""
    if ingredient.water_percent is not None:
        return ingredient.water_percent
    if ingredient.kind == "yeast":
        return YEAST_WATER_PERCENT[ingredient.form or "fresh"]
    if ingredient.kind == "preferment":
        parts = ingredient.made_of
        return 0.0 if parts is None or parts.total == 0 else 100 * parts.all_water / parts.total
    return WATER_PERCENT[ingredient.kind]


def all_water_percent(ingredients: Sequence[Ingredient]) -> float:
    """Return the water in every ingredient but the flour, in percent of all flour."""
    return sum(line.percent * water_percent(line) / 100 for line in ingredients if line.kind != "flour")
