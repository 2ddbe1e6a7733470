"""What several doughs need together: each ingredient once, its sum, and which doughs it is for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bake.weigh.weigh_out import WeighOut
from proofbell.formula.model import Formula, IngredientKind
from proofbell.formula.tin_load import tins


@dataclass(frozen=True, slots=True)
class Needed:
    """One ingredient over all doughs: ``grams`` as weighed, ``doughs`` by name, ``from_fridge`` if it is kept there."""

    name: str
    kind: IngredientKind
    grams: float
    doughs: tuple[str, ...]
    from_fridge: bool = False


@dataclass(frozen=True, slots=True)
class Shopping:
    """The list: ingredients, the tins (ml, how many), the oven places and the ripe starter (g) that are wanted."""

    items: tuple[Needed, ...]
    tins: tuple[tuple[float, int], ...]
    trays: int
    starter_g: float


def shopping(doughs: Sequence[tuple[Formula, WeighOut]]) -> Shopping:
    """Add up what the doughs need. What a preferment is stirred from counts, and not the preferment.

    Names that differ in nothing but capitals are one ingredient, if their kind and where they are kept are the same.
    """
    found: dict[tuple[str, IngredientKind, bool], Needed] = {}
    by_tin: dict[float, int] = {}
    for formula, weighed in doughs:
        cold = {line.name for line in (*formula.ingredients, *formula.outside) if line.origin == "fridge"}
        lines = [line for bowl in weighed.bowls for line in bowl.lines if not line.stirred_from and line.grams > 0]
        for line in lines:
            key = (line.name.casefold(), line.kind, line.name in cold)
            sofar = found.get(key, Needed(line.name, line.kind, 0.0, (), line.name in cold))
            names = tuple(dict.fromkeys((*sofar.doughs, formula.name)))
            found[key] = Needed(sofar.name, sofar.kind, sofar.grams + line.grams, names, sofar.from_fridge)
        if weighed.tin is not None and weighed.size.pieces:
            tin_ml = weighed.tin.tin_ml
            by_tin[tin_ml] = by_tin.get(tin_ml, 0) + tins(weighed.size.pieces, formula.batch.in_tin or 1)
    starter_g = sum(line.starter_g for _, weighed in doughs for line in weighed.lines)
    places = sum(oven_places(formula, weighed.batch) for formula, weighed in doughs)
    return Shopping(tuple(found.values()), tuple(sorted(by_tin.items())), places, starter_g)
