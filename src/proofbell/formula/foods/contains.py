"""What is in an ingredient: what its file says, what its kind or its name makes certain, and whether that is all.

`contains = []` says that nothing of the law's list is in it; without `contains` nobody has said.
"""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.formula.findings import Findings
from proofbell.formula.foods.composition import Composition, composition
from proofbell.formula.ingredients import NUTS
from proofbell.formula.model import Formula, Ingredient, IngredientKind
from proofbell.formula.text.positions import Path

_OF_ONE_SORT: frozenset[IngredientKind] = frozenset({"water", "salt", "sugar", "yeast"})
"""Kinds that hold none of the list, whatever they are called, unless a row of the foods says so."""


def contained_in(line: Ingredient) -> tuple[str, ...]:
    """What is in it: as its file says, else what its name makes certain; egg in everything of that kind."""
    told = line.contains if is_told(line) else _named(line).certain
    return tuple(dict.fromkeys((*told, *_by_kind(line.kind))))


def is_told(line: Ingredient) -> bool:
    """Whether the file says what is in it."""
    return bool(line.contains) or line.contains_none


def is_unknown(line: Ingredient) -> bool:
    """Whether more may be in it than is told or certain."""
    return not is_told(line) and _is_open(_named(line), line.kind)


def must_be_looked_up(name: str, kind: IngredientKind) -> bool:
    """Whether only its packet can tell what is in something of that name."""
    return _is_open(composition(name), kind)


def _is_open(found: Composition, kind: IngredientKind) -> bool:
    return kind != "egg" and (found.mixture or not (found.known or kind in _OF_ONE_SORT))


def _named(line: Ingredient) -> Composition:
    """What its name tells; of a preferment, the name of its flour where that has one."""
    return composition((line.made_of.flour_name if line.made_of else "") or line.name)


def usual_words(found: Composition) -> str:
    """``usually milk, soya``: where to look; nothing where no row says."""
    return f"usually {', '.join(found.usual)}" if found.usual else ""


def not_known(formula: Formula) -> tuple[str, ...]:
    """The ingredients, by name, whose allergens nobody has said: as long as there are any, no list is complete."""
    return tuple(line.name for line in (*formula.ingredients, *formula.outside) if is_unknown(line))


def warn_of_allergens(formula: Formula, findings: Findings) -> None:
    """What is certain and not in the file, and what nobody has said, at its line with what to write."""
    given: Sequence[dict[str, str]] = findings.tree["ingredients"]
    lines = {line.name: line for line in (*formula.ingredients, *formula.outside)}
    for index, each in enumerate(given):
        line = lines.get(each["name"].strip())
        if line is None:
            continue
        path: Path = ("ingredients", index)
        at = (*path, "contains") if (*path, "contains") in findings.spots else (*path, "name")
        missing = _missing(line)
        listed = ", ".join(f'"{name}"' for name in (*line.contains, *missing))
        if is_unknown(line):
            look = "; ".join(part for part in ("Look at its packet", usual_words(_named(line))) if part)
            message = f"Nobody has said which allergens are in {line.name}: no list of them is complete."
            sample = f"contains = [{', '.join(filter(None, (listed, '…')))}] with what it names"
            none = "" if listed else ", or contains = [] if it names none"
            findings.warning(at, message, f"{look}. Write {sample}{none}.")
        elif missing:
            message = f"{line.name} holds {' and '.join(missing)}, and the file does not say so."
            findings.warning(at, message, f"Write contains = [{listed}]. Who eats it relies on that list.")


def _missing(line: Ingredient) -> tuple[str, ...]:
    """What is certain and not told; "nuts" tells of every nut, and any nut of "nuts"."""
    told = set(line.contains)
    if "nuts" in told:
        told |= set(NUTS)
    elif told & set(NUTS):
        told.add("nuts")
    certain = dict.fromkeys((*_named(line).certain, *_by_kind(line.kind)))
    return tuple(each for each in certain if each not in told)


def _by_kind(kind: IngredientKind) -> tuple[str, ...]:
    return ("egg",) if kind == "egg" else ()
