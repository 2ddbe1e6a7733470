"""The list of what is needed in words, for a screen and for a command: sections, each of rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from proofbell.bake.weigh.shopping import Needed, Shopping
from proofbell.words import counted, weight


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
    things = [Row(str(number), f"{'tin' if number == 1 else 'tins'} of {ml:.0f} ml") for ml, number in found.tins]
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
