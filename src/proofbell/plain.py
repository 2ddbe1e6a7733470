"""Frozen dataclasses to plain JSON values and back, so that the journal holds names and numbers only.

No class path is ever written: a field's own type says what is read back. A union of dataclasses is told
apart by its fields. Reading is strict about what is missing and lenient about what is new, so that an older
program can open what a newer one wrote when nothing it needs has changed.
"""

from __future__ import annotations

import dataclasses
import types
from collections.abc import Mapping
from functools import cache
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
    return cast("T", _build(kind, value))


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


def _build(kind: Any, value: object) -> object:  # noqa: ANN401 - one return for each shape
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        return _build_union(get_args(kind), value)
    if origin is tuple:
        return _build_tuple(get_args(kind), value)
    if origin is Literal:
        if value not in get_args(kind):
            raise PlainError(f"{value!r} is none of {get_args(kind)!r}")
        return value
    if dataclasses.is_dataclass(kind):
        return _build_dataclass(cast("type", kind), value)
    if kind is float and isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    if isinstance(kind, type) and isinstance(value, kind) and not (kind is int and isinstance(value, bool)):
        return value
    raise PlainError(f"{value!r} is not a {getattr(kind, '__name__', kind)}")


def _build_tuple(items: tuple[Any, ...], value: object) -> object:
    if not isinstance(value, list | tuple):
        raise PlainError(f"{value!r} is not a list")
    if len(items) == 2 and items[1] is Ellipsis:
        return tuple(_build(items[0], item) for item in value)
    if len(items) != len(value):
        raise PlainError(f"{value!r} does not have {len(items)} items")
    return tuple(_build(kind, item) for kind, item in zip(items, value, strict=True))


def _build_union(kinds: tuple[Any, ...], value: object) -> object:
    if value is None and types.NoneType in kinds:
        return None
    for kind in kinds:
        if kind is types.NoneType:
            continue
        if dataclasses.is_dataclass(kind) and (not isinstance(value, Mapping) or not _fits(cast("type", kind), value)):
            continue
        try:
            return _build(kind, value)
        except PlainError:
            continue
    raise PlainError(f"{value!r} fits none of {kinds!r}")


def _fits(kind: type, value: Mapping[Any, Any]) -> bool:
    names = {field.name for field in dataclasses.fields(kind)}
    return set(value) <= names and _required(kind) <= set(value)


def _required(kind: type) -> set[str]:
    return {
        field.name
        for field in dataclasses.fields(kind)
        if field.default is dataclasses.MISSING and field.default_factory is dataclasses.MISSING
    }


def _build_dataclass(kind: type, value: object) -> object:
    if not isinstance(value, Mapping):
        raise PlainError(f"{value!r} is not a {kind.__name__}")
    missing = _required(kind) - set(value)
    if missing:
        raise PlainError(f"{kind.__name__} lacks {', '.join(sorted(missing))}")
    hints = _hints(kind)
    known = {field.name for field in dataclasses.fields(kind)}
    return kind(**{name: _build(hints[name], item) for name, item in value.items() if name in known})
