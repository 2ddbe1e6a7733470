"""A weight that a cook gives by volume or by count: ``"250 ml"``, ``"2 tbsp"``, ``"3"`` eggs; and its grams."""

from __future__ import annotations

import re

from proofbell.formula.findings import Findings
from proofbell.formula.foods.densities import BY_NAME, Density
from proofbell.formula.kinds import BAD, Bad, Schema, shown
from proofbell.formula.measures import Measure, pattern
from proofbell.formula.model import CooksUnit, EggSize, IngredientKind, Measured, YeastForm
from proofbell.formula.tables import Draft
from proofbell.formula.text.positions import Path
from proofbell.frozen import dataclass
from proofbell.quantities import Dimension, QuantityError, read_quantity

SPOON_ML: dict[str, float] = {"tbsp": 15.0, "tsp": 5.0}
"""Metric spoons, as in the UK and Canada, and to 1.5 % in the US (NIST metric-household). An Australian tablespoon
holds 20 ml: such a recipe is written in ml."""

EGG_G: dict[EggSize, tuple[float, float, float]] = {
    "S": (44.0, 38.0, 47.0),
    "M": (51.0, 47.0, 56.0),
    "L": (60.0, 56.0, 65.0),
    "XL": (67.0, 65.0, 72.0),
}
"""An egg without its shell (g), least and most. Classes of Regulation (EC) No 589/2008 by weight in the shell, under
53, to 63, to 73 and over; of that 0.885 is eaten (USDA SR 01123, five classes: 0.878 to 0.894). The ends of S and XL,
43 g and 81 g in the shell, are choices."""

_BY_KIND: dict[IngredientKind, str] = {
    "flour": "white flour, strong",
    "water": "water",
    "milk": "milk, whole",
    "dry milk": "milk powder, skimmed",
    "fat": "butter",
    "sugar": "sugar, white",
    "salt": "salt, table or fine",
}
_BY_FORM: dict[YeastForm, str] = {"instant": "yeast, dry, instant", "active dry": "yeast, dry, active"}
_OIL = "rapeseed, sunflower oil"
_NUMBER = r"([0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
_SPOONS = re.compile(rf"\s*{_NUMBER}\s*(tbsp|tsp)\s*")
_COUNT = re.compile(rf"\s*{_NUMBER}\s*")
_VAGUE = re.compile(r"(?i)[0-9./\s]*(cups?|pints?|fl ?oz|quarts?)\b.*")
MOST_ML = 100_000.0


@dataclass(frozen=True, slots=True)
class Amount:
    """So much of a cook's unit; what it weighs depends on what it is of."""

    number: float
    unit: CooksUnit


@dataclass(frozen=True, slots=True)
class WeightOrMeasure:
    """A weight, or a cook's measure in its place."""

    mass: Measure

    def read(self, value: object, path: Path, findings: Findings) -> float | Amount | Bad:
        amount = _amount(value) if isinstance(value, str) else None
        if amount is None:
            if isinstance(value, str) and _VAGUE.fullmatch(value):
                message = f"{shown(value)} is not the same everywhere: a cup is 237 ml here and 250 ml there."
                findings.error(path, message, 'Write it in ml, such as "250 ml"; better in grams.')
                return BAD
            return self.mass.read(value, path, findings)
        if not 0 < amount.number <= MOST_ML:
            findings.error(path, f"{shown(value)} is no amount to bake with.", 'Write it like "250 ml" or "120 g".')
            return BAD
        return amount

    def schema(self) -> Schema:
        """A string: a weight, a volume, spoons, or a count."""
        plain = {"type": "string", "pattern": r"^\s*([0-9]+(\.[0-9]+)?|\.[0-9]+)\s*(tbsp|tsp)?\s*$"}
        return {"anyOf": [self.mass.schema(), {"type": "string", "pattern": pattern(Dimension.VOLUME)}, plain]}


def _amount(text: str) -> Amount | None:
    found = _SPOONS.fullmatch(text)
    if found is not None:
        return Amount(float(found[1]), "tbsp" if found[2] == "tbsp" else "tsp")
    found = _COUNT.fullmatch(text)
    if found is not None:
        return Amount(float(found[1]), "egg")
    try:
        return Amount(read_quantity(text, Dimension.VOLUME), "ml")
    except QuantityError:
        return None


def measured(draft: Draft, findings: Findings) -> tuple[float, Measured | None] | None:
    """Return the grams of an ingredient's ``weight``, and how it was measured; None where that cannot be told."""
    weight: float | Amount | None = draft.get("weight")
    if weight is None or isinstance(weight, float | int):
        return None if weight is None else (weight, None)
    if weight.unit == "egg":
        unit = _egg(draft, findings)
    else:
        row = _row(draft, findings)
        ml = SPOON_ML.get(weight.unit, 1.0)
        unit = None if row is None else Measured(weight.unit, row.g_per_ml * ml, row.low * ml, row.high * ml, row.name)
    return None if unit is None else (weight.number * unit.unit_g, unit)


def _egg(draft: Draft, findings: Findings) -> Measured | None:
    if draft.get("kind") != "egg":
        text = f'"{draft.get("weight").number:g}"'
        message = f"The weight {text} does not say which unit."
        findings.error(
            draft.at("weight"), message, f'Write "{text[1:-1]} g", or "{text[1:-1]} ml"; only eggs are counted.'
        )
        return None
    if "size" not in draft.values:
        if "size" not in draft.given:
            findings.error(
                draft.at("weight"), "Counted eggs need a size.", 'Add size = "M"; or weigh them: weight = "150 g".'
            )
        return None
    size: EggSize = draft.get("size")
    return Measured("egg", *EGG_G[size], f"egg, size {size}")


def _row(draft: Draft, findings: Findings) -> Density | None:
    """Which row of the table it is: the one that is named, the one of its own name, or what is usual for its kind."""
    kind: IngredientKind | None = draft.get("kind")
    own = BY_NAME.get(str(draft.get("name", "")).casefold())
    if "like" in draft.given:
        return BY_NAME.get(draft.get("like", ""))
    if own is not None and own.kind == kind:
        return own
    name = "" if kind is None else _BY_KIND.get(kind, "")
    if kind == "fat" and draft.get("water") == 0:
        name = _OIL
    if kind == "yeast":
        name = _BY_FORM.get(draft.get("form"), "")
    if not name and kind is not None:
        message = f"What a volume of this weighs is not known: {_why(kind)}."
        remedy = 'Give a weight, such as "30 g"; or say what it is like: like = "sesame seed".'
        findings.error(draft.at("weight"), message, remedy)
    return BY_NAME.get(name)


def _why(kind: IngredientKind) -> str:
    if kind == "egg":
        return "eggs are counted or weighed"
    return "yeast is measured dry, and this has no such form" if kind == "yeast" else f'kind "{kind}" may be anything'
