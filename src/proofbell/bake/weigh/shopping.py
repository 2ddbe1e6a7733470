"""What several doughs need together: each ingredient once, its sum, and which doughs it is for."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bake.weigh.weigh_out import WeighOut
from proofbell.formula.model import Formula, IngredientKind
from proofbell.formula.tin_load import tins
from proofbell.frozen import dataclass
from proofbell.words import counted, volume, weight


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


@dataclass(frozen=True, slots=True)
class Row:
    """An amount with its unit, of what, and for which dough."""

    amount: str
    name: str
    dough: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    head: str
    rows: tuple[Row, ...]


def sections(found: Shopping) -> tuple[Section, ...]:
    """The ingredients, the heaviest first; then tins, oven places and ripe starter. Names are as they were written."""
    parts = [
        Section("To have ready", _rows([item for item in found.items if not item.from_fridge])),
        Section("From the fridge", _rows([item for item in found.items if item.from_fridge])),
    ]
    things = [Row(str(number), f"{'tin' if number == 1 else 'tins'} of {volume(ml)}") for ml, number in found.tins]
    things.append(Row(str(found.trays), f"{'place' if found.trays == 1 else 'places'} in the oven, for all doughs"))
    parts.append(Section("Tins and trays", tuple(things)))
    if found.starter_g > 0:
        more = "have more than that, and keep some back"
        parts.append(Section("Ripe starter", (Row(weight(round(found.starter_g, 1)), more),)))
    return tuple(part for part in parts if part.rows)


def _rows(items: Sequence[Needed]) -> tuple[Row, ...]:
    return tuple(
        Row(weight(round(item.grams, 2)), item.name, _doughs(item))
        for item in sorted(items, key=lambda item: -item.grams)
    )


def _doughs(item: Needed) -> str:
    """``Harbour knots`` or ``3 doughs``."""
    return item.doughs[0] if len(item.doughs) == 1 else counted(len(item.doughs), "dough")
