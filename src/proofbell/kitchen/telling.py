"""Each setting of a kitchen as it is now: what it is for, and its value as one would type it."""

from __future__ import annotations

import shlex

from proofbell.dough.probe import GOOD_K, Correction
from proofbell.formula.measures import Measure, say
from proofbell.formula.tables import Field, Table
from proofbell.frozen import dataclass
from proofbell.kitchen.fields import KITCHEN, STANDS_AT
from proofbell.kitchen.file import model_value
from proofbell.kitchen.model import Kitchen
from proofbell.kitchen.settings import setting_names, setting_path
from proofbell.quantities import Dimension, in_full, usual_unit
from proofbell.units import FLUID_OUNCE_ML, FOOT_M, OUNCE_G, difference_f_from_c, f_from_c, used
from proofbell.words import as_counted, difference


@dataclass(frozen=True, slots=True)
class Told:
    """One setting: its key, its value as typed (empty: none), what it is for, and whether it is the ordinary one."""

    key: str
    value: str
    about: str
    ordinary: bool


def settings_told(kitchen: Kitchen) -> tuple[Told, ...]:
    """Every setting that is one value, in the order of the file's reference."""
    ordinary = Kitchen()
    told = tuple(
        Told(
            key,
            typed_value(kitchen, key),
            as_counted(field_of(key).about),
            model_value(kitchen, key) == model_value(ordinary, key),
        )
        for key in setting_names()
    )
    places = (f"places.{name}" for name, _ in kitchen.places)
    return (*told, *(Told(key, typed_value(kitchen, key), field_of(key).about, ordinary=False) for key in places))


def field_of(key: str) -> Field:
    """The declaration of a setting, by its dotted key."""
    table = KITCHEN
    *tables, last = setting_path(key)
    if tables == ["places"]:
        return Field(last, STANDS_AT, "How warm this place is.")
    for name in tables:
        inner = next(field.kind for field in table.fields if field.name == name)
        if isinstance(inner, Table):
            table = inner
    return next(field for field in table.fields if field.name == last)


def typed_value(kitchen: Kitchen, key: str) -> str:
    """A setting's value as one would type it: ``21.0 °C``, ``fan``, ``yes``; empty when there is none."""
    value, kind = model_value(kitchen, key), field_of(key).kind
    if value is None or value == "":
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return shlex.join(value)
    if isinstance(kind, Measure) and isinstance(value, float):
        if kind.dimension is Dimension.TIME:
            return say(value, kind.dimension)
        return typed_quantity(value, kind.dimension)
    return f"{value:g}" if isinstance(value, float) else str(value)


def typed_quantity(value: float, dimension: Dimension) -> str:
    """A value with all its digits, in the unit in which it would be typed here."""
    told = value
    unit = usual_unit(dimension)
    if unit == "°F":
        told = round(f_from_c(value) if dimension is Dimension.TEMPERATURE else difference_f_from_c(value), 6)
    else:
        told = value / {"oz": OUNCE_G, "fl oz": FLUID_OUNCE_ML, "ft": FOOT_M}.get(unit, 1.0)
    return f"{told:.6g} {unit}"


def with_unit(key: str, typed: str) -> str:
    """What was typed at the bench, with the setting's unit behind a bare number; a comma counts as a point."""
    kind = field_of(key).kind
    if not isinstance(kind, Measure):
        return typed
    return in_full(typed, kind.dimension)


def errors_told(found: Correction) -> list[str]:
    """What the probe showed against what it should, a sentence for each check that was made."""
    made = (("ice", found.ice_error_k), ("boiling water", found.boil_error_k))
    return [f"In {where} the probe shows {_off(error_k)}." for where, error_k in made if error_k is not None]


def good_words() -> str:
    """How far off a probe may be by food law: ``1 °C``, ``1.8 °F``."""
    return difference(GOOD_K, 1 if used().temperature == "°F" else 0)


def _off(error_k: float) -> str:
    if abs(error_k) < 0.05:
        return "what it should"
    return f"{difference(abs(error_k))} too {'much' if error_k > 0 else 'little'}"


def correction_settings(found: Correction, checked: str) -> tuple[tuple[str, str], ...]:
    """What a probe check writes into the kitchen file. ``checked`` is the day, as ``2026-03-14``."""
    return (
        ("probe.offset", f"{found.offset_k:.3f} °C"),
        ("probe.slope", f"{found.slope:.5f}"),
        ("probe.checked", checked),
    )
