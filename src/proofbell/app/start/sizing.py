"""The fields that size a batch and say how warm today is: asked for on the start and the plan screen."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from proofbell.app.fields.field import Field
from proofbell.app.fields.typed import quantity, whole, within
from proofbell.app.start.at_hand import LastBake
from proofbell.bake.fermenting.place import unknown_places
from proofbell.bake.weigh.dose import yeast_to_dose
from proofbell.dough.tins import read_tin_ml
from proofbell.dough.weights import MOST_G, SizeWish
from proofbell.dough.yeast import with_form
from proofbell.errors import Failure
from proofbell.formula.model import Formula, YeastForm
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen, Today
from proofbell.kitchen.telling import typed_quantity
from proofbell.quantities import Dimension, QuantityError, read_named_weight
from proofbell.units import used
from proofbell.visible import visible
from proofbell.words import as_counted, grams, percent, temperature

T = TypeVar("T")

MOST_PIECES = 1000
LEAST_G = 0.1
NEXT = "next field, then Begin"
_SIZED_BY = {"loaf": "the loaf", "tin": "the tin", "dough": "the dough", "flour": "the flour", "have": "what there is"}
OWN = "the formula's own"
LEAST_C, MOST_C = -20.0, 60.0
"""The room, the flour and the fridge: as wide as a reading of the room may be."""


DOSES = (0.01, 20.0)
"""Percent of the flour: what a dose of any form of yeast lies between."""


@dataclass(frozen=True, slots=True)
class Sized:
    """What the fields say: a size, how warm it is for this bake, another dose of yeast."""

    wish: SizeWish
    today: Today
    tin_ml: float | None = None
    dose_percent: float | None = None


def size_fields() -> list[Field]:
    """Fields for the size. Left empty, the formula's own size holds."""
    return [
        Field("Pieces", id="pieces", width=10, enter=NEXT, figure=True),
        Field("One piece", id="piece", width=10, enter=NEXT),
        Field("or a loaf", id="loaf", width=18, enter=NEXT),
        Field("or dough", id="dough", width=18, enter=NEXT),
        Field("or flour", id="flour", width=18, enter=NEXT),
        Field("or have", id="have", width=34, enter=NEXT),
        Field("or a tin", id="tin", width=34, hint=as_counted("such as box ‹25 x 11 x 8 cm›"), enter=NEXT),
        Field("Yeast", id="dose", width=10, enter=NEXT),
    ]


def warmth_fields() -> list[Field]:
    """Fields for today's temperatures. Left empty, the kitchen file's hold."""
    return [
        Field("Room", id="room", width=10, enter=NEXT),
        Field("Flour", id="flour-c", width=10, enter=NEXT),
        Field("Fridge", id="fridge", width=10, enter=NEXT),
    ]


def hold_dose(fields: Mapping[str, Field], formula: Formula, form: YeastForm | None) -> None:
    """Show the formula's own dose of yeast, in the form that is weighed; no field where it cannot be changed."""
    yeast = yeast_to_dose(formula)
    fields["dose"].display = yeast is not None
    if yeast is not None:
        weighed = yeast if form is None else with_form(yeast, form)
        fields["dose"].holds(percent(weighed.percent, 3), "of the flour")


PLACES = ("place-1", "place-2")
"""Fields for places that a formula names and the kitchen lacks; hardly a formula names more."""


def place_fields() -> list[Field]:
    """Fields for those places; each shows only where a formula has one. Left empty, the room's temperature holds."""
    fields = [Field("", id=name, width=14, enter=NEXT) for name in PLACES]
    for field in fields:
        field.display = False
    return fields


def hold_places(fields: Mapping[str, Field], formula: Formula, kitchen: Kitchen) -> None:
    """Ask for the places that a formula names and the kitchen lacks, and for no others."""
    lacking = [*unknown_places(formula, kitchen)][: len(PLACES)]
    for number, name in enumerate(PLACES):
        field, place = fields[name], lacking[number] if number < len(lacking) else ""
        if place != field.called:
            field.input.value = ""
        field.display = bool(place)
        field.call_it(place)
        if place:
            field.example(temperature(12.0, 0))
            field.say("room if left empty")


def hold(fields: Mapping[str, Field], formula: Formula, kitchen: Kitchen, form: YeastForm | None = None) -> None:
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
    fields["dose"].input.value = ""
    hold_dose(fields, formula, form)
    fields["room"].holds(temperature(kitchen.room_c), "this kitchen's")
    fields["fridge"].holds(temperature(kitchen.fridge_c), "this kitchen's")
    hold_flour(fields, kitchen)
    hold_places(fields, formula, kitchen)


SIZES = ("pieces", "piece", "loaf", "dough", "flour", "have", "tin")


def put_size(fields: Mapping[str, Field], last: LastBake) -> None:
    """Type the size and the tin of last time into the fields, in place of what stands there.

    Where no size was asked for they stay empty: the formula's own holds, also once its file is another.
    """
    size = {} if last.own_size else {"dough": typed_quantity(last.dough_g, Dimension.MASS)}
    if not last.own_size and last.pieces and last.piece_g:
        one = (
            {"piece": typed_quantity(last.piece_g, Dimension.MASS)}
            if last.loaf_g is None
            else {"loaf": typed_quantity(last.loaf_g, Dimension.MASS)}
        )
        size = {"pieces": str(last.pieces), **one}
    if last.tin_ml is not None:
        size["tin"] = typed_quantity(last.tin_ml, Dimension.VOLUME)
    for name in SIZES:
        fields[name].input.value = size.get(name, "")


def size_typed(fields: Mapping[str, Field]) -> tuple[str, ...]:
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


NAME_SEEN = 18
"""Cells that the field has for the name in its example."""


def _example(formula: Formula) -> str:
    """Something of the formula's own that there may be a rest of, by a name that is seen whole."""
    order = ("fat", "egg", "milk", "preferment", "flour")
    found = [line for kind in order for line in formula.ingredients if line.kind == kind] or [*formula.ingredients]
    name = next((line.name for line in found if len(line.name) <= NAME_SEEN), found[0].name if found else "")
    return f"{visible(name, most=NAME_SEEN)} {_like('200 g', '7 oz')}" if found else ""


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
    today = Today(read.warmth("room"), read.warmth("flour-c"), read.warmth("fridge"), read.places())
    dose = read.field("dose", lambda text: quantity(text, Dimension.PERCENT, *DOSES))
    return None if read.wrong else Sized(wish, today, tin_ml, dose)


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
            field.refuse(error)
            self.wrong = True
            return None
        field.wrong("")
        return value

    def weight(self, name: str) -> float | None:
        return self.field(name, lambda text: quantity(text, Dimension.MASS, LEAST_G, MOST_G))

    def warmth(self, name: str) -> float | None:
        return self.field(name, lambda text: quantity(text, Dimension.TEMPERATURE, LEAST_C, MOST_C))

    def places(self) -> tuple[tuple[str, float], ...]:
        """Those that are asked for and told."""
        asked = [field for name in PLACES if (field := self._fields.get(name)) is not None and field.called]
        told = [(field.called, self.warmth(field.input.id or "")) for field in asked]
        return tuple((name, temp_c) for name, temp_c in told if temp_c is not None)


def _have(text: str) -> tuple[str, float] | None:
    """What there is of one ingredient, and how much; None for an empty field."""
    if not text.strip():
        return None
    name, weight_g = read_named_weight(text)
    return name, within(weight_g, text, Dimension.MASS, LEAST_G, MOST_G)
