"""One setting of the kitchen, named as ``room`` or ``oven.kind``, and the value typed for it."""

from __future__ import annotations

import contextlib
import re
from typing import Any

from proofbell.errors import Failure
from proofbell.formula.findings import Findings
from proofbell.formula.kinds import Choice, Number, Several, YesNo
from proofbell.formula.measures import Measure
from proofbell.formula.tables import Table, Tables
from proofbell.kitchen.alarm_command import read_list
from proofbell.kitchen.fields import KITCHEN, Hour, Keys, Places
from proofbell.quantities import Dimension, as_counted_here
from proofbell.visible import visible

_YES_NO = {"true": True, "yes": True, "on": True, "false": False, "no": False, "off": False}


def setting_names(table: Table = KITCHEN) -> tuple[str, ...]:
    """Everything that can be set with one value: ``room``, ``oven.kind`` and the like."""
    names: list[str] = []
    for field in table.fields:
        if isinstance(field.kind, Table):
            names += [f"{field.name}.{inner}" for inner in setting_names(field.kind)]
        elif not isinstance(field.kind, Tables | Keys | Places):
            names.append(field.name)
    return tuple(names)


def setting_path(key: str) -> tuple[str, ...]:
    """The path of a key in the file; below ``keys`` and ``places`` the rest of it is one name, dots and all.

    Raises Failure: there is no such key.
    """
    plain = key.strip()
    first, _, rest = plain.partition(".")
    if first in ("keys", "places") and rest:
        return (first, rest)
    known = setting_names()
    if plain in known:
        return tuple(plain.split("."))
    near = Findings({}, {}).nearest(plain, known)
    hint = f'Did you mean "{near}"? ' if near else ""
    raise Failure(f'"{visible(key, most=40)}" is not a kitchen setting.', f"{hint}Known: {', '.join(known)}.")


def setting_value(path: tuple[str, ...], value: str) -> Any:  # noqa: ANN401 - a value of a TOML tree may be anything
    """Turn what was typed into the TOML value that the field holds. Raises Failure: it does not fit the field."""
    kind = _kind(path)
    typed = _typed(kind, value.strip())
    findings = Findings({}, {})
    kind.read({path[-1]: typed} if isinstance(kind, Keys | Places) else typed, path, findings)
    if findings.faults:
        first = findings.faults[0]
        key = visible(".".join(path), most=60)
        if isinstance(kind, Number) and isinstance(typed, str):
            raise Failure(f'{key}: "{visible(value, most=40)}" is not a number.', "Write a number, such as 2.")
        raise Failure(f"{key}: {first.message}", first.remedy)
    return typed


def _kind(path: tuple[str, ...]) -> Any:  # noqa: ANN401 - each kind is its own class
    kind: Any = KITCHEN
    for part in path:
        if isinstance(kind, Keys | Places):
            return kind
        kind = next(field.kind for field in kind.fields if field.name == part)
    return kind


def _typed(kind: object, value: str) -> Any:  # noqa: ANN401 - a value of a TOML tree may be anything
    """The value that the text gives; one that cannot be converted stays a text, for the field to refuse."""
    if isinstance(kind, Measure | Places):
        return as_counted_here(value, kind.dimension if isinstance(kind, Measure) else Dimension.TEMPERATURE)
    if isinstance(kind, YesNo):
        return _YES_NO.get(value.casefold(), value)
    if isinstance(kind, Choice):
        meant = dict(kind.also).get(value.casefold(), value)
        return next((option for option in kind.options if option.casefold() == meant.casefold()), value)
    with contextlib.suppress(ValueError):
        if isinstance(kind, Number):
            return int(value) if kind.whole else float(value)
        if isinstance(kind, Several) and isinstance(kind.kind, Hour) and not value.startswith("["):
            return re.split(r"\s+to\s+|\s*[-–,]\s*|\s+", value)
        if isinstance(kind, Several):
            return read_list(value)
    return value
