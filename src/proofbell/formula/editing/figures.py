"""The figures of a formula file: every amount, time, temperature and heat in it, and how another one is written.

Which there are follows from the tables of fields: a new field of the file is among them by itself.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from typing import Any

import tomli

from proofbell.formula.findings import ONE_OF, Findings
from proofbell.formula.foods.measured import WeightOrMeasure
from proofbell.formula.kinds import BAD, Kind, Number
from proofbell.formula.measures import Later, Measure, MeasureOrName, NoneOr, Pair, WordOr
from proofbell.formula.oven_heat import OvenHeat
from proofbell.formula.read import FORMULA
from proofbell.formula.tables import Table, Tables
from proofbell.formula.text.guard import decoded, guard
from proofbell.formula.text.parse import parsed
from proofbell.formula.text.positions import Path, positions
from proofbell.frozen import dataclass
from proofbell.quantities import Dimension, QuantityError, in_full, read_quantity

_ENDS = ("least", "most")
_NUMBER = re.compile(r"(?<![0-9.])(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+|[¼½])(?![0-9.])")
_BARE = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)")
_COMMA = re.compile(r"(?<=[0-9]),(?=[0-9])")
_FAN = re.compile(r"(?i)(.*\S)\s+fan")


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure. ``owner`` is the ingredient, stage or table that it belongs to, ``words`` says what it is there.

    ``written`` is how it stands in the file, without quotation marks; ``line`` is from 1.
    """

    path: Path
    owner: str
    words: str
    written: str
    line: int
    kind: Kind
    quote: str = ""


def figures(data: bytes) -> tuple[Figure, ...]:
    """Return all figures of a file in its order; none where it is no TOML."""
    text, fault = decoded(data)
    fault = fault or guard(text)
    tree, fault = ({}, fault) if fault else parsed(text)
    if fault is not None:
        return ()
    lines, spots = text.split("\n"), positions(text)
    found: list[Figure] = []
    for path, kind, value in _in_table(FORMULA, tree, ()):
        place = spots[path].value
        line = lines[place.line - 1]
        if standing(line, place.column, place.length, value):
            token = line[place.column - 1 : place.column - 1 + place.length]
            quote = token[0] if isinstance(value, str) else ""
            written = value if isinstance(value, str) else token
            found.append(Figure(path, _owner(tree, path), _words(tree, path), written, place.line, kind, quote))
    return tuple(sorted(found, key=lambda one: (one.line, spots[one.path].value.column)))


def with_figure(data: bytes, figure: Figure, typed: str) -> bytes:
    """Return the file with a figure as it was typed; a bare number keeps the unit that stands there.

    Raises QuantityError: what was typed does not fit the field.
    """
    return put(data, figure.path, _token(figure, typed))


def _token(figure: Figure, typed: str) -> str:
    plain = _COMMA.sub(".", typed.replace("\u2212", "-").strip())
    if not plain:
        raise QuantityError("Nothing is typed.", f"It stays {figure.written}.")
    if isinstance(figure.kind, Number):
        return _number(figure, plain)
    said = _in_words(figure, plain)
    _look_over(figure, said)
    return f"'{said}'" if figure.quote == "'" and "'" not in said else json.dumps(said, ensure_ascii=False)


def _number(figure: Figure, plain: str) -> str:
    bare = plain.removesuffix("%").strip()
    if not _BARE.fullmatch(bare):
        raise QuantityError("A number alone is wanted here.", f"Write it like {figure.written}.")
    value = float(bare)
    exact = int(value) if value.is_integer() else value
    _look_over(figure, exact)
    return str(exact)


def _in_words(figure: Figure, plain: str) -> str:
    """What was typed as a file has it."""
    if _BARE.fullmatch(plain) and len(_NUMBER.findall(figure.written)) == 1:
        return _NUMBER.sub(lambda _: plain, figure.written)
    fan = _FAN.fullmatch(plain) if isinstance(figure.kind, OvenHeat) else None
    if fan is not None:
        return f"{in_full(fan[1], Dimension.TEMPERATURE)} fan"
    dimension = _dimension(figure)
    return plain if dimension is None else in_full(plain, dimension)


def _dimension(figure: Figure) -> Dimension | None:
    kind = figure.kind
    if isinstance(kind, WordOr | MeasureOrName):
        kind = kind.measure
    if isinstance(kind, Measure):
        return kind.dimension
    if isinstance(kind, WeightOrMeasure):
        return Dimension.MASS
    if isinstance(kind, Later):
        return next((one for one in kind.dimensions if _is_one(figure.written, one)), kind.dimensions[0])
    return Dimension.TEMPERATURE if isinstance(kind, OvenHeat) else None


def _is_one(text: str, dimension: Dimension) -> bool:
    try:
        read_quantity(text, dimension)
    except QuantityError:
        return False
    return True


def _look_over(figure: Figure, value: object) -> None:
    """Refuse what the field itself would refuse; what does not go with other fields is for the whole check."""
    findings = Findings({}, {})
    if figure.kind.read(value, figure.path, findings) is BAD:
        raise QuantityError(findings.faults[0].message, findings.faults[0].remedy)
    if isinstance(figure.kind, Later):
        read_quantity(str(value), _dimension(figure) or figure.kind.dimensions[0])


# -- walking the tables of fields ------------------------------------------------------------------------------------

Found = tuple[Path, Kind, Any]


def _in_table(table: Table, value: object, path: Path) -> Iterator[Found]:
    known = {each.name: each.kind for each in table.fields}
    for name, item in value.items() if isinstance(value, dict) else ():
        if name in known:
            yield from _in_value(known[name], item, (*path, name))


def _in_value(kind: Any, item: object, path: Path) -> Iterator[Found]:  # noqa: ANN401 - tables are kinds here too
    if isinstance(kind, Table):
        yield from _in_table(kind, item, path)
    elif isinstance(kind, Tables):
        for index, one in enumerate(item if isinstance(item, list) else ()):
            yield from _in_table(kind.table, one, (*path, index))
    elif isinstance(item, list):
        ends = _ends(kind)
        for index, one in enumerate(item if ends is not None and len(item) == len(_ENDS) else ()):
            if isinstance(one, str):
                yield (*path, index), ends, one
    elif isinstance(kind, Number):
        if isinstance(item, int | float) and not isinstance(item, bool):
            yield path, kind, item
    elif isinstance(kind, Measure | OvenHeat | WeightOrMeasure | WordOr | MeasureOrName | Later):
        # A word, such as the name of a place, is no figure.
        named = isinstance(kind, MeasureOrName) and str(item).strip()[:1].isalpha()
        if isinstance(item, str) and _NUMBER.search(item) and not named:
            yield path, kind, item


def _ends(kind: Any) -> Any:  # noqa: ANN401 - a kind of value, or none
    if isinstance(kind, NoneOr):
        kind = kind.pair
    if isinstance(kind, Pair):
        return kind.measure
    return Later(kind.dimensions) if isinstance(kind, Later) and kind.pair else None


def _owner(tree: Mapping[str, Any], path: Path) -> str:
    first = str(path[0])
    if first in ("ingredients", "stages") and isinstance(path[1], int):
        name = tree[first][path[1]].get("name")
        return name if isinstance(name, str) and name.strip() else f"{ONE_OF[first]} {path[1] + 1}"
    return first


def _words(tree: Mapping[str, Any], path: Path) -> str:
    """``stretch, least``; ``check 2, expect, most``; the number only where there are several."""
    skip = 2 if path[0] in ("ingredients", "stages") else 1
    said: list[str] = []
    value: Any = tree
    for depth, part in enumerate(path):
        inside = value[part]
        if depth >= skip:
            if isinstance(part, str):
                said.append(ONE_OF.get(part, part.replace("_", " ")))
            elif isinstance(inside, dict):
                said[-1] += f" {part + 1}" if len(value) > 1 else ""
            else:
                said.append(_ENDS[part])
        value = inside
    return ", ".join(said)


_MARK = b"\xef\xbb\xbf"


def standing(line: str, column: int, length: int, value: object) -> bool:
    """Whether all of ``value`` is what stands at the place: false for a text that goes on over lines."""
    try:
        found = tomli.loads(f"x = {line[column - 1 : column - 1 + length]}")["x"]
    except tomli.TOMLDecodeError:
        return False
    return type(found) is type(value) and bool(found == value)


def put(data: bytes, path: Path, token: str) -> bytes:
    """Return a file with ``token``, a TOML value, in place of the one at ``path``, which is a value on one line.

    A byte order mark, line ends, comments and blanks stay. Raises KeyError: nothing stands at ``path``.
    """
    text, _ = decoded(data)
    place = positions(text)[path].value
    mark = _MARK if data.startswith(_MARK) else b""
    lines = data.removeprefix(mark).decode().split("\n")
    line, begin = lines[place.line - 1], place.column - 1
    lines[place.line - 1] = line[:begin] + token + line[begin + place.length :]
    return mark + "\n".join(lines).encode()
