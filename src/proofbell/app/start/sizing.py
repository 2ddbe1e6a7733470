"""The fields that size a batch and say how warm today is: asked for on the start and the plan screen."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from proofbell.app.fields.field import Field
from proofbell.app.fields.typed import quantity, whole, within
from proofbell.dough.tins import read_tin_ml
from proofbell.dough.weights import MOST_G, SizeWish
from proofbell.errors import Failure
from proofbell.formula.model import Formula
from proofbell.kitchen.model import Kitchen
from proofbell.kitchen.telling import typed_quantity
from proofbell.kitchen.today import Today
from proofbell.quantities import Dimension, QuantityError, read_named_weight
from proofbell.units import used
from proofbell.visible import visible
from proofbell.words import grams, temperature

T = TypeVar("T")

MOST_PIECES = 1000
LEAST_G = 0.1
NEXT = "next field, then Begin"
_SIZED_BY = {
    "loaf": "the loaf",
    "tin": "the tin",
    "dough": "the dough",
    "flour": "the flour",
    "have": "what there is",
}
OWN = "the formula's own"
LEAST_C, MOST_C = -20.0, 60.0
"""The room, the flour and the fridge: as wide as a reading of the room may be."""


@dataclass(frozen=True, slots=True)
class Sized:
    """What the fields say: a size, and how warm it is for this bake."""

    wish: SizeWish
    today: Today
    tin_ml: float | None = None


def size_fields() -> list[Field]:
    """Fields for the size. Left empty, the formula's own size holds."""
    return [
        Field("Pieces", id="pieces", width=10, enter=NEXT),
        Field("One piece", id="piece", width=10, enter=NEXT),
        Field("or a loaf", id="loaf", width=18, enter=NEXT),
        Field("or dough", id="dough", width=18, enter=NEXT),
        Field("or flour", id="flour", width=18, enter=NEXT),
        Field("or have", id="have", width=30, enter=NEXT),
        Field("or a tin", id="tin", width=30, hint="such as box 25 x 11 x 8 cm", enter=NEXT),
    ]


def warmth_fields() -> list[Field]:
    """Fields for today's temperatures. Left empty, the kitchen file's hold."""
    return [
        Field("Room", id="room", width=10, enter=NEXT),
        Field("Flour", id="flour-c", width=10, enter=NEXT),
        Field("Fridge", id="fridge", width=10, enter=NEXT),
    ]


def hold(fields: Mapping[str, Field], formula: Formula, kitchen: Kitchen) -> None:
    """Show, in the empty fields, what holds when they stay empty; in those where nothing does, an example."""
    batch = formula.batch
    sizes = {
        "pieces": ("" if batch.pieces is None else str(batch.pieces), ""),
        "piece": ("" if batch.piece_g is None else grams(batch.piece_g), ""),
        "loaf": ("", _like("800 g", "28 oz")),
        "dough": ("" if batch.dough_g is None else grams(batch.dough_g), _like("1.8 kg", "4 lb")),
        "flour": ("" if batch.flour_g is None else grams(batch.flour_g), _like("1 kg", "2 lb")),
    }
    for name, (held, example) in sizes.items():
        if held:
            fields[name].holds(held, OWN)
        else:
            fields[name].example(example)
    fields["loaf"].say("once it is cool")
    fields["have"].example(_example(formula))
    fields["room"].holds(temperature(kitchen.room_c), "this kitchen's")
    fields["fridge"].holds(temperature(kitchen.fridge_c), "this kitchen's")
    hold_flour(fields, kitchen)


SIZES = ("pieces", "piece", "loaf", "dough", "flour", "have", "tin")


def put_size(fields: Mapping[str, Field], pieces: int | None, piece_g: float | None, dough_g: float) -> None:
    """Type a size into the fields, in place of what stands there."""
    size = (
        {"pieces": str(pieces), "piece": typed_quantity(piece_g, Dimension.MASS)}
        if pieces and piece_g
        else {"dough": typed_quantity(dough_g, Dimension.MASS)}
    )
    for name in SIZES:
        fields[name].input.value = size.get(name, "")


def size_typed(fields: Mapping[str, Field]) -> tuple[str, ...]:
    """What stands in the fields for the size."""
    return tuple(fields[name].text for name in SIZES)


def hold_size(fields: Mapping[str, Field], formula: Formula) -> None:
    """Say of the formula's own pieces whether they still hold beside what else is typed."""
    batch = formula.batch

    def first(*names: str) -> str:
        return next((_SIZED_BY[name] for name in names if fields[name].text.strip()), "")

    if batch.piece_g is not None and not fields["piece"].text.strip():
        other = first("loaf", "tin")
        fields["piece"].holds(grams(batch.piece_g), f"replaced by {other}" if other else OWN)
    if batch.pieces is not None and not fields["pieces"].text.strip():
        other = first("dough", "flour", "have")
        fields["pieces"].holds(str(batch.pieces), f"as many as {other} makes" if other else OWN)


def hold_flour(fields: Mapping[str, Field], kitchen: Kitchen) -> None:
    """Flour that nobody measured is as warm as the room, as that is typed."""
    if kitchen.flour_c is not None:
        fields["flour-c"].holds(temperature(kitchen.flour_c), "this kitchen's")
        return
    try:
        room_c = quantity(fields["room"].text, Dimension.TEMPERATURE, LEAST_C, MOST_C)
    except QuantityError:
        room_c = None
    fields["flour-c"].holds(temperature(kitchen.room_c if room_c is None else room_c), "as the room")


def _like(metric: str, ounces: str) -> str:
    """An example as this kitchen would type it."""
    return metric if used().weight == "g" else ounces


def _example(formula: Formula) -> str:
    """Something of the formula's own that there may be a rest of."""
    order = ("fat", "egg", "milk", "preferment", "flour")
    found = [line for kind in order for line in formula.ingredients if line.kind == kind] or [*formula.ingredients]
    return f"{visible(found[0].name, most=14)} {_like('200 g', '7 oz')}" if found else ""


def read_size(fields: Mapping[str, Field]) -> Sized | None:
    """What the fields say; None when one of them is wrong, which then says so itself."""
    read = _Reader(fields)
    tin_ml = read.field("tin", lambda text: read_tin_ml(text) if text.strip() else None)
    wish = SizeWish(
        pieces=read.field("pieces", lambda text: whole(text, 1, MOST_PIECES)),
        piece_g=read.weight("piece"),
        dough_g=read.weight("dough"),
        flour_g=read.weight("flour"),
        have=read.field("have", _have),
        loaf_g=read.weight("loaf"),
    )
    today = Today(*(read.warmth(name) for name in ("room", "flour-c", "fridge")))
    return None if read.wrong else Sized(wish, today, tin_ml)


class _Reader:
    def __init__(self, fields: Mapping[str, Field]) -> None:
        self._fields = fields
        self.wrong = False

    def field(self, name: str, read: Callable[[str], T | None]) -> T | None:
        field = self._fields.get(name)
        if field is None:
            return None
        try:
            value = read(field.text)
        except (QuantityError, Failure) as error:
            field.wrong(f"{error.message} {error.remedy}".strip())
            self.wrong = True
            return None
        field.wrong("")
        return value

    def weight(self, name: str) -> float | None:
        return self.field(name, lambda text: quantity(text, Dimension.MASS, LEAST_G, MOST_G))

    def warmth(self, name: str) -> float | None:
        return self.field(name, lambda text: quantity(text, Dimension.TEMPERATURE, LEAST_C, MOST_C))


def _have(text: str) -> tuple[str, float] | None:
    """What there is of one ingredient, and how much; None for an empty field."""
    if not text.strip():
        return None
    name, weight_g = read_named_weight(text)
    return name, within(weight_g, text, Dimension.MASS, LEAST_G, MOST_G)
