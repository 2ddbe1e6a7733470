"""Frozen dataclasses of our own making, beside the standard library's of the same lines."""

from __future__ import annotations

import copy
import dataclasses
import inspect
import pickle
from collections.abc import Callable
from dataclasses import FrozenInstanceError, field, fields, replace
from itertools import product
from pathlib import Path
from typing import Any, TypeAlias, get_type_hints

import pytest

from proofbell import frozen

Value: TypeAlias = Any
"""Of any class that one of the two made."""


def of(decorator: Callable[..., Any]) -> list[type]:
    """The same classes, made by one of the two."""
    made = decorator(frozen=True, slots=True)

    @made
    class Nothing:
        """Without a field."""

    @made
    class Dough:
        """With all that a field may say."""

        name: str
        grams: float = 0.0
        said: tuple[str, ...] = field(default_factory=tuple)
        stored: int | None = field(default=None, compare=False, repr=False)

        @property
        def heavy(self) -> bool:
            return self.grams > 1000

    @made
    class Shaped(Dough):
        pieces: int = 1

        def __post_init__(self) -> None:
            if self.pieces < 1:
                raise ValueError("no pieces")

    @made
    class Worded:
        word: str

        def __repr__(self) -> str:
            return f"<{self.word}>"

        def __eq__(self, other: object) -> bool:
            return isinstance(other, Worded) and self.word.lower() == other.word.lower()

        def __hash__(self) -> int:
            return hash(self.word.lower())

    return [Nothing, Dough, Shaped, Worded]


STANDARD, OURS = of(dataclasses.dataclass), of(frozen.dataclass)
GIVEN: list[tuple[int, tuple[Any, ...], dict[str, Any]]] = [
    (0, (), {}),
    (1, ("rye",), {}),
    (1, ("rye", 900.0), {"stored": 4}),
    (1, ("rye", 900.0), {"stored": 5}),
    (1, ("rye",), {"said": ("wet",), "grams": 1200.0}),
    (2, ("rye",), {}),
    (2, ("rye", 900.0, ("wet",), None, 3), {}),
    (3, ("Rye",), {}),
    (3, ("rye",), {}),
]
BOTH = [(STANDARD[which](*given, **named), OURS[which](*given, **named)) for which, given, named in GIVEN]


@pytest.mark.parametrize(("standard", "ours"), BOTH)
def test_a_value_is_as_the_standard_library_has_it(standard: Value, ours: Value) -> None:
    assert repr(ours).split("of.<locals>.")[-1] == repr(standard).split("of.<locals>.")[-1]
    assert dataclasses.asdict(ours) == dataclasses.asdict(standard)
    assert type(ours).__match_args__ == type(standard).__match_args__
    assert type(ours).__slots__ == type(standard).__slots__
    assert not hasattr(ours, "__dict__")
    told = [(each.name, each.type, each.default, each.compare) for each in fields(standard)]
    assert [(each.name, each.type, each.default, each.compare) for each in fields(ours)] == told
    assert list(inspect.signature(type(ours)).parameters) == list(inspect.signature(type(standard)).parameters)
    assert get_type_hints(type(ours).__init__) == get_type_hints(type(standard).__init__)


def test_the_same_values_are_equal_and_have_one_hash() -> None:
    for (one, ours), (other, our_other) in product(BOTH, BOTH):
        assert (ours == our_other) == (one == other)
        assert (hash(ours) == hash(our_other)) == (hash(one) == hash(other))
    assert all(ours != standard for standard, ours in BOTH[:7])


@pytest.mark.parametrize(("standard", "ours"), BOTH)
def test_nothing_of_it_can_be_changed(standard: Value, ours: Value) -> None:
    for value in (standard, ours):
        for each in (*fields(value), *fields(STANDARD[1])):
            with pytest.raises((FrozenInstanceError, TypeError)):  # TypeError: python/cpython issue 90562, of 3.11
                setattr(value, each.name, 1)
            with pytest.raises((FrozenInstanceError, TypeError)):
                delattr(value, each.name)
    for each in fields(ours):
        with pytest.raises(FrozenInstanceError, match=each.name):
            setattr(ours, each.name, 1)


@pytest.mark.parametrize(("standard", "ours"), BOTH)
def test_copies_and_changed_copies_are_new_values(standard: Value, ours: Value) -> None:
    assert copy.deepcopy(ours) == copy.copy(ours) == ours
    if fields(ours):
        name = fields(ours)[0].name
        changed, too = replace(ours, **{name: "spelt"}), replace(standard, **{name: "spelt"})
        assert dataclasses.asdict(changed) == dataclasses.asdict(too)
        assert changed != ours


def test_what_is_wrong_is_refused_as_there() -> None:
    for made in (STANDARD, OURS):
        for which, given in ((0, (1,)), (1, ()), (1, (1, 2, 3, 4, 5))):
            with pytest.raises(TypeError, match="argument"):
                made[which](*given)
        with pytest.raises(ValueError, match="no pieces"):
            made[2]("rye", pieces=0)
    with pytest.raises(TypeError, match="standard library"):
        frozen.dataclass(frozen=False, slots=True)


def test_each_value_of_a_default_is_its_own() -> None:
    @frozen.dataclass(frozen=True, slots=True)
    class Basket:
        inside: list[str] = field(default_factory=list)

    one, other = Basket(), Basket()
    one.inside.append("loaf")
    assert other.inside == []


def test_every_room_takes_it_from_here() -> None:
    source = Path(frozen.__file__).parent
    texts = {path: path.read_text(encoding="utf-8") for path in source.rglob("*.py")}
    values = {path for path, text in texts.items() if "@dataclass(frozen=True, slots=True)" in text}
    assert values
    assert not {path for path in values if "from proofbell.frozen import dataclass" not in texts[path]}


@frozen.dataclass(frozen=True, slots=True)
class Parcel:
    """One that a pickle finds by its name."""

    weight_g: float
    label: str = ""


def test_it_outlives_a_pickle() -> None:
    assert pickle.loads(pickle.dumps(Parcel(500.0, "rolls"))) == Parcel(500.0, "rolls")  # noqa: S301 - our own


def test_a_match_takes_it_apart() -> None:
    match Parcel(500.0, "rolls"):
        case Parcel(weight, label="rolls"):
            assert weight == 500.0
        case _:
            pytest.fail("not matched")
