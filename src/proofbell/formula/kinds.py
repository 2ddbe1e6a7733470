"""The kinds of value that a field may hold: each reads one value, and describes itself for the JSON Schema.

`read` returns the value in plain numbers and text, or `BAD` after taking down what is wrong with it.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from typing import Any, Final, Protocol

from proofbell.formula.findings import Findings
from proofbell.formula.text.positions import Path
from proofbell.frozen import dataclass
from proofbell.visible import escaped, harmful_places, visible

Schema = dict[str, Any]


class Bad:
    """Stands for a value that was given and could not be read."""

    def __repr__(self) -> str:
        return "BAD"


BAD: Final = Bad()


class Kind(Protocol):
    """A kind of value: how it is read from TOML and described in the JSON Schema."""

    def read(self, value: object, path: Path, findings: Findings) -> Any:  # noqa: ANN401 - each kind has its own
        """Return the value as the program uses it, or `BAD`."""
        ...

    def schema(self) -> Schema:
        """Describe what may be written, for JSON Schema 2020-12."""
        ...


def called(value: object) -> str:
    """Say what sort of TOML value this is."""
    if isinstance(value, bool):
        return "true or false"
    sorts: tuple[tuple[type, str], ...] = (
        (str, "a text"),
        (int, "a number"),
        (float, "a number"),
        (list, "a list"),
        (dict, "a table"),
        (dt.date, "a date"),
        (dt.time, "an hour of the day"),
    )
    return next((words for sort, words in sorts if isinstance(value, sort)), "something else")


def shown(value: object) -> str:
    """Show a short value as it was written; a text in quotes."""
    if isinstance(value, bool):
        return "true" if value else "false"
    return f'"{visible(value, most=40)}"' if isinstance(value, str) else visible(str(value), most=40)


@dataclass(frozen=True, slots=True)
class Text:
    """A text. ``breaks``: it may have several lines."""

    most: int
    breaks: bool = False

    def read(self, value: object, path: Path, findings: Findings) -> str | Bad:
        """Return the text without space around it."""
        if not isinstance(value, str):
            findings.error(path, f"A text is wanted here; this is {called(value)}.", "Put it in quotation marks.")
            return BAD
        harmful = next(harmful_places(value, breaks=self.breaks), None)
        if harmful:
            sort = "a line break" if harmful[1] == "\n" else "a tab" if harmful[1] == "\t" else escaped(harmful[1])
            findings.error(path, f"This text holds {sort}, which is not shown.", "Take it out.")
            return BAD
        if len(value) > self.most:
            findings.error(path, f"This text has {len(value)} characters.", f"Keep to {self.most}.")
            return BAD
        if not value.strip():
            findings.error(path, "There is nothing in this text.", "Write something, or take the line out.")
            return BAD
        return value.strip()

    def schema(self) -> Schema:
        pattern = r"\S" if self.breaks else r"^[^\n\t]*\S[^\n\t]*$"
        return {"type": "string", "maxLength": self.most, "pattern": pattern}


@dataclass(frozen=True, slots=True)
class Number:
    """A bare number from ``least`` to ``most``; ``whole`` for a count; ``above`` leaves ``least`` itself out."""

    least: float
    most: float
    whole: bool = False
    above: bool = False

    def read(self, value: object, path: Path, findings: Findings) -> float | int | Bad:
        sort = "A whole number" if self.whole else "A number"
        if isinstance(value, bool) or not isinstance(value, int | float):
            remedy = _bare(value, path) if isinstance(value, str) else f"Write {self._span()}."
            findings.error(path, f"{sort} is wanted here; this is {called(value)}.", remedy)
            return BAD
        if isinstance(value, float) and not math.isfinite(value):
            findings.error(path, f"{shown(value)} is not a number to bake with.", f"Write {self._span()}.")
            return BAD
        if self.whole and not isinstance(value, int):
            findings.error(
                path, f"{sort} is wanted here, not {shown(value)}.", f"Write {self._span()}, without a point."
            )
            return BAD
        if not self.least <= value <= self.most or (self.above and value == self.least):
            findings.error(path, f"{shown(value)} is not {self._span()}.", f"Write {self._span()}.")
            return BAD
        return value

    def _span(self) -> str:
        if self.above:
            return f"more than {self.least:.10g}, at most {self.most:.10g}"
        return f"a number from {self.least:.10g} to {self.most:.10g}"

    def schema(self) -> Schema:
        low = "exclusiveMinimum" if self.above else "minimum"
        return {"type": "integer" if self.whole else "number", low: self.least, "maximum": self.most}


_IN_QUOTES = re.compile(r"\s*([0-9]{1,7}(?:[.,][0-9]{1,6})?)\s*%?\s*")


def _bare(text: str, path: Path) -> str:
    """How to write a number that stands in quotation marks, its sign for percent included."""
    found = _IN_QUOTES.fullmatch(text)
    name = path[-1] if path and isinstance(path[-1], str) else ""
    if found is None or not name:
        return "Write the number alone, without quotation marks."
    return f"Write {name} = {found[1].replace(',', '.')}"


@dataclass(frozen=True, slots=True)
class YesNo:
    def read(self, value: object, path: Path, findings: Findings) -> bool | Bad:
        if not isinstance(value, bool):
            findings.error(
                path, f"true or false is wanted here; this is {called(value)}.", "Write true or false, bare."
            )
            return BAD
        return value

    def schema(self) -> Schema:
        return {"type": "boolean"}


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several words. ``noun`` says what they are; ``also`` maps what people write to the word meant."""

    noun: str
    options: tuple[str, ...]
    also: tuple[tuple[str, str], ...] = ()

    def read(self, value: object, path: Path, findings: Findings) -> str | Bad:
        if not isinstance(value, str):
            listed = ", ".join(self.options)
            findings.error(
                path, f"{self.noun.capitalize()} is wanted here; this is {called(value)}.", f"One of: {listed}."
            )
            return BAD
        if value in self.options:
            return value
        low = value.casefold().strip()
        meant = dict(self.also).get(low) or findings.nearest(low, self.options)
        remedy = f'Did you mean "{meant}"? ' if meant else ""
        findings.error(path, f"{shown(value)} is not {self.noun}.", f"{remedy}One of: {', '.join(self.options)}.")
        return BAD

    def schema(self) -> Schema:
        return {"enum": list(self.options)}


@dataclass(frozen=True, slots=True)
class Several:
    """A list of one kind of value, none of them twice unless it may stand there ``again``."""

    kind: Kind
    most: int
    again: bool = False

    def read(self, value: object, path: Path, findings: Findings) -> tuple[Any, ...] | Bad:
        """The values in their order, or `BAD` with a fault noted."""
        if not isinstance(value, list):
            findings.error(path, f"A list is wanted here; this is {called(value)}.", 'Put it in brackets: ["wheat"].')
            return BAD
        if len(value) > self.most:
            findings.error(path, f"This list has {len(value)} items.", f"Keep to {self.most}.")
            return BAD
        read = [self.kind.read(item, (*path, index), findings) for index, item in enumerate(value)]
        for index, item in enumerate(read):
            if not self.again and item is not BAD and item in read[:index]:
                findings.error((*path, index), f"{shown(item)} stands here twice.", "Keep one of them.")
                return BAD
        return BAD if BAD in read else tuple(read)

    def schema(self) -> Schema:
        return {"type": "array", "items": self.kind.schema(), "maxItems": self.most, "uniqueItems": not self.again}


@dataclass(frozen=True, slots=True)
class OneOrSeveral:
    """One value alone, or a list of them; read as a list."""

    several: Several

    def read(self, value: object, path: Path, findings: Findings) -> tuple[Any, ...] | Bad:
        """The values in their order, or `BAD` with a fault noted."""
        if isinstance(value, list):
            return self.several.read(value, path, findings)
        one = self.several.kind.read(value, path, findings)
        return BAD if one is BAD else (one,)

    def schema(self) -> Schema:
        return {"anyOf": [self.several.kind.schema(), self.several.schema()]}
