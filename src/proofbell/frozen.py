"""``dataclass`` for values that never change: the standard library's, made in a quarter of its time.

To the eye and the type checker it is `dataclasses.dataclass`, with fields, `replace`, comparison, hash, ``match`` and
copies as there. The standard one compiles six methods anew for each class; for the three hundred classes of the bench
that took longer than to read in their modules. Here a class compiles its ``__init__`` alone, for its first value, and
all share the rest.
"""

from __future__ import annotations

import dataclasses
import sys
from collections.abc import Callable
from dataclasses import MISSING, Field, FrozenInstanceError
from operator import attrgetter
from typing import TYPE_CHECKING, Any, NoReturn

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass  # noqa: PLC0414 - handed on
else:

    def dataclass(*, frozen: bool, slots: bool) -> Callable[[type], type]:
        """Make the class below a frozen one with slots; any other comes from the standard library."""
        if not (frozen and slots):
            raise TypeError("a dataclass that changes, or has no slots, comes from the standard library")
        return _made


def _made(cls: type) -> type:
    if cls.__doc__ is None:
        cls.__doc__ = ""  # Left out, it would be made of the signature, which takes longer than the class.
    shared = {name: method for name, method in _SHARED.items() if vars(cls).get(name) is None}
    made: Any = dataclasses.dataclass(init=False, repr=False, eq=False, slots=True)(cls)
    fields = dataclasses.fields(made)
    compared = [field.name for field in fields if field.compare]
    made._compared = attrgetter(*compared) if compared else staticmethod(_nothing)
    made.__init__ = _Init(made)
    for name, method in shared.items():
        setattr(made, name, method)
    return made  # type: ignore[no-any-return]


class _Init:
    """Stands for the ``__init__`` of a class until somebody asks for it: few classes make a value in each command."""

    def __init__(self, cls: Any) -> None:  # noqa: ANN401 - any class at all, here and below
        self._cls = cls

    def __get__(self, value: object, kind: type) -> Callable[..., None]:
        init = self._cls.__init__ = _compiled(self._cls, dataclasses.fields(self._cls))
        bound: Callable[..., None] = init.__get__(value, kind)
        return bound


def _compiled(cls: Any, fields: tuple[Field[Any], ...]) -> Callable[..., None]:  # noqa: ANN401
    """What takes the fields, sets each in its slot, and calls ``__post_init__`` where there is one."""
    known: dict[str, Any] = {"_MISSING": MISSING}
    taken, lines = ["self"], []
    for field in fields:
        name = given = field.name
        known[f"_set_{name}"] = getattr(cls, name).__set__
        if field.default is not MISSING:
            known[f"_default_{name}"] = field.default
            taken.append(f"{name}=_default_{name}")
        elif field.default_factory is not MISSING:
            known[f"_make_{name}"] = field.default_factory
            taken.append(f"{name}=_MISSING")
            given = f"_make_{name}() if {name} is _MISSING else {name}"
        else:
            taken.append(name)
        lines.append(f"_set_{name}(self, {given})")
    if hasattr(cls, "__post_init__"):
        lines.append("self.__post_init__()")
    text = (
        f"def within({', '.join(known)}):\n"
        f" def __init__({', '.join(taken)}):\n"
        f"  {'; '.join(lines) or 'pass'}\n"
        " return __init__"
    )
    made: dict[str, Any] = {}
    # Text of our own: the names of fields, as the standard library does it.
    exec(text, vars(sys.modules[cls.__module__]), made)  # noqa: S102
    init: Callable[..., None] = made["within"](**known)
    init.__qualname__ = f"{cls.__qualname__}.__init__"
    init.__annotations__ = {field.name: field.type for field in fields} | {"return": None}
    return init


def _nothing(_value: object) -> tuple[()]:
    """What is compared of a value without fields."""
    return ()


def _repr(self: Any) -> str:  # noqa: ANN401 - any value at all, here and below
    shown = (f"{field.name}={getattr(self, field.name)!r}" for field in dataclasses.fields(self) if field.repr)
    return f"{type(self).__qualname__}({', '.join(shown)})"


def _eq(self: Any, other: Any) -> Any:  # noqa: ANN401 - NotImplemented is no bool
    if type(other) is not type(self):
        return NotImplemented
    of = self._compared
    return of(self) == of(other)


def _hash(self: Any) -> int:  # noqa: ANN401
    return hash(self._compared(self))


def _setattr(_self: object, name: str, _value: object) -> NoReturn:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _delattr(_self: object, name: str) -> NoReturn:
    raise FrozenInstanceError(f"cannot delete field {name!r}")


def _getstate(self: Any) -> list[Any]:  # noqa: ANN401
    return [getattr(self, field.name) for field in dataclasses.fields(self)]


def _setstate(self: Any, state: list[Any]) -> None:  # noqa: ANN401
    for field, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, field.name, value)


_SHARED: dict[str, Callable[..., Any]] = {
    "__repr__": _repr,
    "__eq__": _eq,
    "__hash__": _hash,
    "__setattr__": _setattr,
    "__delattr__": _delattr,
    "__getstate__": _getstate,
    "__setstate__": _setstate,
}
