"""Frozen dataclasses to plain JSON values and back, so that the journal holds names and numbers only.

No class path is ever written: a field's own type says what is read back. A union of dataclasses is told
apart by its fields. Reading is strict about what is missing and lenient about what is new, so that an older
program can open what a newer one wrote when nothing it needs has changed.
"""

from __future__ import annotations

import dataclasses
import types
from collections.abc import Callable, Mapping
from functools import cache, partial
from typing import Any, Literal, TypeVar, Union, cast, get_args, get_origin, get_type_hints

T = TypeVar("T")


class PlainError(ValueError):
    """A stored value does not fit the field it belongs to."""


def to_plain(value: object) -> Any:  # noqa: ANN401 - JSON has no narrower type
    """Return ``value`` as dicts, lists, strings, numbers, booleans and None."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: to_plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(key): to_plain(item) for key, item in value.items()}
    if isinstance(value, tuple | list | frozenset):
        return [to_plain(item) for item in value]
    return value


def from_plain(kind: type[T], value: object) -> T:
    """Build a ``kind`` from what :func:`to_plain` made of one.

    Raises PlainError: a field is missing or of another type.
    """
    return cast("T", _reader(cast("Any", kind))(value))


Reader = Callable[[object], object]


@cache
def _reader(kind: Any) -> Reader:  # noqa: ANN401 - a type, or a form of ``typing``
    """What reads a ``kind``; worked out once, as a journal holds many of each."""
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        return partial(_union, get_args(kind))
    if origin is tuple:
        return partial(_tuple, get_args(kind))
    if origin is Literal:
        return partial(_literal, get_args(kind))
    if dataclasses.is_dataclass(kind):
        return partial(_dataclass, cast("type", kind))
    return _float if kind is float else partial(_simple, kind)


def _float(value: object) -> object:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    raise PlainError(f"{value!r} is not a float")


def _simple(kind: Any, value: object) -> object:  # noqa: ANN401 - as above
    if isinstance(kind, type) and isinstance(value, kind) and not (kind is int and isinstance(value, bool)):
        return value
    raise PlainError(f"{value!r} is not a {getattr(kind, '__name__', kind)}")


def _literal(choices: tuple[Any, ...], value: object) -> object:
    if value not in choices:
        raise PlainError(f"{value!r} is none of {choices!r}")
    return value


def _tuple(items: tuple[Any, ...], value: object) -> object:
    if not isinstance(value, list | tuple):
        raise PlainError(f"{value!r} is not a list")
    if len(items) == 2 and items[1] is Ellipsis:
        return tuple(map(_reader(items[0]), value))
    if len(items) != len(value):
        raise PlainError(f"{value!r} does not have {len(items)} items")
    return tuple(_reader(kind)(item) for kind, item in zip(items, value, strict=True))


def _union(kinds: tuple[Any, ...], value: object) -> object:
    if value is None and types.NoneType in kinds:
        return None
    for kind in kinds:
        if kind is types.NoneType:
            continue
        if dataclasses.is_dataclass(kind) and (not isinstance(value, Mapping) or not _fits(cast("type", kind), value)):
            continue
        try:
            return _reader(kind)(value)
        except PlainError:
            continue
    raise PlainError(f"{value!r} fits none of {kinds!r}")


def _fits(kind: type, value: Mapping[Any, Any]) -> bool:
    known, required = _fields(kind)
    return value.keys() <= known.keys() and required <= value.keys()


@cache
def _fields(kind: type) -> tuple[dict[str, Reader], frozenset[str]]:
    """What reads each field of a dataclass, and which fields must be there."""
    hints, fields = get_type_hints(kind), dataclasses.fields(kind)
    required = frozenset(
        field.name
        for field in fields
        if field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING
    )
    return {field.name: _reader(hints[field.name]) for field in fields}, required


def _dataclass(kind: type, value: object) -> object:
    if not isinstance(value, Mapping):
        raise PlainError(f"{value!r} is not a {kind.__name__}")
    known, required = _fields(kind)
    missing = required - value.keys()
    if missing:
        raise PlainError(f"{kind.__name__} lacks {', '.join(sorted(missing))}")
    return kind(**{name: known[name](item) for name, item in value.items() if name in known})
