"""Another amount of one ingredient: the others keep their weight, and the size of the batch follows.

Who types 560 g of flour means 560 g. In a file in percentages that changes the others' percentages, since they are
shares of the flour; in a file in weights the others stand as they are. Either way there is more or less dough, and what
says how much of it there is (`piece`, `dough` or `flour` in the batch) is written anew. Where a tin alone says it, the
dough stays what the tin takes.
"""

from __future__ import annotations

import json
from collections.abc import Iterator

from proofbell.formula.editing.figures import Figure, put, with_figure
from proofbell.formula.kinds import Number
from proofbell.formula.model import Formula, Ingredient
from proofbell.formula.read import read_formula
from proofbell.formula.text.guard import decoded
from proofbell.formula.text.positions import Path, positions
from proofbell.quantities import Dimension, QuantityError, in_full, read_quantity

_SAME = 1e-9


def with_amount(data: bytes, figure: Figure, typed: str, flour_g: float) -> bytes:
    """Return the file with a figure as it was typed, and with all that follows from it.

    Args:
        data: the file.
        figure: any of its figures; only an amount of the dough has something follow.
        typed: a percentage, or a weight, which a file in percentages takes too.
        flour_g: all the flour (g) of the formula's own batch, as it is weighed out before the change.

    Raises QuantityError: what was typed does not fit the field.
    """
    before, _ = read_formula(data, "")
    line = None if before is None else _of_dough(before, figure)
    if before is None or line is None:
        return with_figure(data, figure, typed)
    if isinstance(figure.kind, Number) and (typed_g := _weight_g(typed)) is not None:
        return _weighed(data, figure, before, line, typed_g, flour_g)
    changed = with_figure(data, figure, typed)
    after, _ = read_formula(changed, "")
    other = after and next(
        ((was, now) for was, now in zip(before.ingredients, after.ingredients, strict=True) if was.name != line.name
         and was.percent > 0), None,
    )  # fmt: skip
    if after is None or not other:
        return changed
    flour = other[0].percent / other[1].percent
    return _sized(changed, before, flour, flour * _total(after) / _total(before))


def _of_dough(formula: Formula, figure: Figure) -> Ingredient | None:
    if figure.path[0] != "ingredients" or figure.path[2:] not in (("percent",), ("weight",)):
        return None
    return next((line for line in formula.ingredients if line.name == figure.owner.strip()), None)


def _weight_g(typed: str) -> float | None:
    """What was typed as a weight (g); None where it is a bare number, or percent."""
    plain = typed.strip()
    if not plain or plain[-1] in "0123456789.%":
        return None
    try:
        return read_quantity(in_full(plain, Dimension.MASS), Dimension.MASS)
    except QuantityError:
        return None


def _weighed(data: bytes, figure: Figure, before: Formula, line: Ingredient, typed_g: float, flour_g: float) -> bytes:
    """A file in percentages, one of whose ingredients weighs something else, and no other does."""
    more_g = typed_g - flour_g * line.percent / 100
    parts = line.made_of
    share = 1.0 if line.kind == "flour" else parts.all_flour / parts.total if parts else 0.0
    new_g = flour_g + more_g * share
    if new_g <= 0:
        raise QuantityError("Then there is no flour left.", "Give another flour more first.")
    data = with_figure(data, figure, f"{100 * typed_g / new_g:.6g}")
    flour = new_g / flour_g
    if abs(flour - 1) > _SAME:
        for path, percent in list(_others(data, figure)):
            data = put(data, path, f"{percent / flour:.6g}")
    total_g = flour_g * _total(before) / 100
    return _sized(data, before, flour, (total_g + more_g) / total_g)


def _others(data: bytes, figure: Figure) -> Iterator[tuple[Path, float]]:
    """Every other percentage of the list of ingredients, and where it stands."""
    lines = decoded(data)[0].split("\n")
    for path, spot in positions(decoded(data)[0]).items():
        if path[0] == "ingredients" and path[2:] == ("percent",) and path != figure.path:
            place = spot.value
            yield path, float(lines[place.line - 1][place.column - 1 : place.column - 1 + place.length])


def _sized(data: bytes, before: Formula, flour: float, dough: float) -> bytes:
    """The batch by so many times the flour and the dough."""
    size = before.batch
    spots = positions(decoded(data)[0])
    for name, value_g, times in (
        ("piece", size.piece_g, dough), ("dough", size.dough_g, dough), ("flour", size.flour_g, flour),
    ):  # fmt: skip
        if value_g is not None and ("batch", name) in spots and abs(times - 1) > _SAME:
            told = f"{value_g * times:.2f}".rstrip("0").rstrip(".")
            data = put(data, ("batch", name), json.dumps(f"{told} g"))
    return data


def _total(formula: Formula) -> float:
    return sum(line.percent for line in formula.ingredients)
