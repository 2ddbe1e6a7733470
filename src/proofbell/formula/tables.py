"""Tables of fields: which names there are, what each holds, which must be there, and for which kinds of thing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field
from typing import Any

from proofbell.formula.findings import Findings
from proofbell.formula.kinds import BAD, Bad, Kind, Schema, called
from proofbell.formula.text.positions import Path
from proofbell.frozen import dataclass
from proofbell.visible import visible


@dataclass(frozen=True, slots=True)
class Field:
    """One field: its name, its kind, one sentence about it.

    ``only`` limits it to some values of the field that governs the table; see `Table.governed_by`.
    """

    name: str
    kind: Kind
    about: str
    required: bool = False
    only: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Draft:
    """A table as far as it could be read. A field that was given but faulty is in ``given``, not in ``values``."""

    path: Path
    values: Mapping[str, Any]
    given: frozenset[str]

    def get(self, name: str, otherwise: Any = None) -> Any:  # noqa: ANN401 - each field has its own type
        """Return the value of a field that was well given, else ``otherwise``."""
        return self.values.get(name, otherwise)

    def at(self, name: str) -> Path:
        return (*self.path, name)


@dataclass(frozen=True, slots=True)
class Table:
    """The fields of one table. ``noun`` is said of a thing of this sort, such as "stage".

    ``governed_by`` names the field (``kind``, ``by``) that decides which others fit.
    ``beside`` is added to the JSON Schema as it is.
    """

    noun: str
    fields: tuple[Field, ...]
    governed_by: str = ""
    beside: Mapping[str, Any] = field(default_factory=dict)

    def read(self, value: object, path: Path, findings: Findings) -> Draft | Bad:
        """Return the fields that could be read; everything else has been taken down."""
        if not isinstance(value, dict):
            findings.error(path, f"A table of fields is wanted here; this is {called(value)}.", self._sample(path))
            return BAD
        known = {each.name: each for each in self.fields}
        governor = value.get(self.governed_by) if self.governed_by else None
        values: dict[str, Any] = {}
        for name, item in value.items():
            if name not in known:
                self._unknown(name, path, findings)
                continue
            each = known[name]
            if not self._fits(each, governor, path, findings):
                continue
            read = each.kind.read(item, (*path, name), findings)
            if read is not BAD:
                values[name] = read
        for each in self.fields:
            if each.required and each.name not in value:
                findings.error((*path, each.name), f'"{each.name}" is missing: {_small(each.about)}', _add(each, path))
        return Draft(path, values, frozenset(value))

    def _fits(self, each: Field, governor: object, path: Path, findings: Findings) -> bool:
        """Whether the field goes with what governs the table; an unknown governor has its own fault already."""
        governing = next((item.kind for item in self.fields if item.name == self.governed_by), None)
        options = getattr(governing, "options", ())
        if not each.only or governor in each.only or governor not in options:
            return True
        fitting = " or ".join(f'"{one}"' for one in each.only)
        message = f'"{each.name}" goes with {self.governed_by} {fitting}; here {self.governed_by} is "{governor}".'
        findings.error((*path, each.name), message, "Take it out, or move it to where it belongs.", at_key=True)
        return False

    def _unknown(self, name: str, path: Path, findings: Findings) -> None:
        names = [each.name for each in self.fields]
        near = findings.nearest(name, names)
        hint = f'Did you mean "{near}"? ' if near else ""
        message = f'"{visible(name, most=40)}" is not a field of {self.noun}.'
        findings.error((*path, name), message, f"{hint}Known: {', '.join(names)}.", at_key=True)

    def _sample(self, path: Path) -> str:
        first = next((each for each in self.fields if each.required), self.fields[0])
        return f"Write {{ {first.name} = … }}, or [{'.'.join(str(part) for part in path if isinstance(part, str))}]."

    def schema(self) -> Schema:
        described: Schema = {
            "type": "object",
            "properties": {each.name: {**each.kind.schema(), "description": each.about} for each in self.fields},
            "additionalProperties": False,
        }
        required = [each.name for each in self.fields if each.required]
        if required:
            described["required"] = required
        conditions = [
            {
                "if": {"properties": {self.governed_by: {"enum": list(each.only)}}},
                "else": {"properties": {each.name: False}},
            }
            for each in self.fields
            if each.only
        ]
        if conditions:
            described["allOf"] = conditions
        return {**described, **self.beside}


@dataclass(frozen=True, slots=True)
class Tables:
    """A list of tables, at least ``least`` and at most ``most``."""

    table: Table
    most: int
    least: int = 1

    def read(self, value: object, path: Path, findings: Findings) -> tuple[Draft, ...] | Bad:
        """Return the tables that could be read, in order."""
        if not isinstance(value, list):
            name = path[-1] if path else ""
            findings.error(
                path, f"A list of tables is wanted here; this is {called(value)}.", f"Head each one [[{name}]]."
            )
            return BAD
        if not self.least <= len(value) <= self.most:
            message = f"There are {len(value)} here; at least {self.least} and at most {self.most} can be."
            findings.error(path, message, "Put some in." if len(value) < self.least else "Take some out.")
            return BAD
        read = [self.table.read(item, (*path, index), findings) for index, item in enumerate(value)]
        return tuple(item for item in read if isinstance(item, Draft))

    def schema(self) -> Schema:
        return {"type": "array", "items": self.table.schema(), "minItems": self.least, "maxItems": self.most}


def _small(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]


def _add(each: Field, path: Path) -> str:
    if isinstance(each.kind, Tables):
        return f"Add at least one [[{'.'.join([*(part for part in path if isinstance(part, str)), each.name])}]]."
    if isinstance(each.kind, Table) and not path:
        return f"Add [{each.name}]."
    return f"Add a line {each.name} = …"
