"""The allergens of a dough as commands print them: by both laws for scripts, by this region's list in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from textwrap import wrap

from proofbell.dough.allergens import as_lists, contained, eu_allergens, named_alone, us_allergens, with_unknown
from proofbell.formula.danger_zone import Region
from proofbell.formula.foods.contains import not_known
from proofbell.formula.model import Formula
from proofbell.visible import visible

WIDTH = 80


def allergens_plain(formula: Formula) -> dict[str, list[str]]:
    """By the EU's (and UK's) list, and by that of the US; ``unknown``, where it is there, makes both incomplete."""
    contains = contained(formula)
    return as_lists(eu_allergens(contains), us_allergens(contains), not_known(formula))


def allergen_lines(doughs: Iterable[tuple[str, Formula]], region: Region, first: str = "") -> Iterator[str]:
    """``A: wheat, egg, milk`` for each dough, whole; a dough of none says so. The same is told once."""
    named = ((name, with_unknown(named_alone(contained(formula), region), formula)) for name, formula in doughs)
    for told in dict.fromkeys(f"{first}{name}: {listed}" for name, listed in named):
        yield from wrap(visible(told, most=2000), WIDTH, subsequent_indent="    ")
