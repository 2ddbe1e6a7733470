"""A line from a probe's own program: a number, a name and a number, or a JSON object."""

from __future__ import annotations

import json
import re
from typing import Any

from proofbell.formula.model import ReadingKind
from proofbell.formula.readings import LIMITS
from proofbell.frozen import dataclass
from proofbell.quantities import Dimension

MOST = 4096
"""A longer line (characters) is none."""

STREAMED: tuple[ReadingKind, ...] = tuple(
    what for what, limits in LIMITS.items() if limits.dimension is Dimension.TEMPERATURE
)
"""What a probe can tell: temperatures."""

_ANY = ("value", "temperature", "temp")
_SHAPE = "write 26.5, core 91.2, or a JSON object such as"
_LINE = re.compile(r"(?i)([a-z][a-z _]*?)?[ \t]*[:=]?[ \t]*([-+−]?[.,]?\d.*)")
_UNITS = {"c": "°C", "f": "°F"}


class LineError(ValueError):
    """A line that says no temperature; the text says what one looks like."""

    def __init__(self) -> None:
        super().__init__(f'{_SHAPE} {{"core": 91.2}}')


@dataclass(frozen=True, slots=True)
class Said:
    """One temperature: of what, and as it was written, with its unit where that was told."""

    what: ReadingKind
    typed: str


def read_line(line: str, usual: ReadingKind) -> tuple[Said, ...]:
    """What a line says; nothing for an empty one and for one that begins with ``#``.

    ``usual``: what is meant where the line does not tell. A bare number of a text counts in the kitchen's unit, one in
    JSON in °C, unless ``unit`` or the end of its name (``core_f``) says °F. Raises LineError: it says no temperature.
    """
    text = line.strip()
    if not text or text.startswith("#"):
        return ()
    if text.startswith("{"):
        return _of_json(text, usual)
    said = named_value(text, usual)
    if said is None:
        raise LineError
    return (said,)


def named_value(text: str, usual: ReadingKind) -> Said | None:
    """A number, or a name and a number, ``core 91.2``; None for another text and for a name of no temperature."""
    match = _LINE.fullmatch(text.strip()) if len(text) <= MOST else None
    what = None if match is None else temperature_named(match[1] or "", usual)
    return None if match is None or what is None else Said(what, match[2].strip())


def _of_json(text: str, usual: ReadingKind) -> tuple[Said, ...]:
    try:
        found: dict[str, Any] = json.loads(text) if len(text) <= MOST else {}
    except (ValueError, RecursionError) as error:
        raise LineError from error
    given, unit = found.get("what"), found.get("unit")
    what = temperature_named(given, usual) if isinstance(given, str) else usual
    told = [] if what is None else [_said(key, value, unit, what) for key, value in found.items()]
    said = tuple(each for each in told if each is not None)
    if not said:
        raise LineError
    return said


def _said(key: str, value: object, unit: object, usual: ReadingKind) -> Said | None:
    """One field of an object, where it is a temperature."""
    name, _, end = key.rpartition("_")
    own = end.lower() in _UNITS and bool(name)
    what = temperature_named(name if own else key, usual)
    if what is None or not key.strip():
        return None
    if isinstance(value, str):
        return Said(what, value.strip())
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    written = end if own else unit if isinstance(unit, str) else "c"
    return Said(what, f"{value:.3f} {_UNITS.get(written.strip('° ').lower(), written)}")


def temperature_named(name: str, usual: ReadingKind | None = None) -> ReadingKind | None:
    """What a name means, capitals, spaces and underscores aside; None for a name of nothing that a probe tells."""
    words = " ".join(name.replace("_", " ").lower().split())
    if not words or words in _ANY:
        return usual
    return next((what for what in STREAMED if words == what or words in LIMITS[what].also), None)
