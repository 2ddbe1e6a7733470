"""Everything that can be read, a row for each: what is measured, within which bounds, and at which stages."""

from __future__ import annotations

from typing import get_args

from proofbell import words
from proofbell.formula.measures import Measure
from proofbell.formula.model import ReadingKind
from proofbell.frozen import dataclass
from proofbell.quantities import Dimension, kept_unit, read_quantity, usual_unit
from proofbell.units import used

READINGS: tuple[ReadingKind, ...] = get_args(ReadingKind)
# What bands may go by: what is known while a stage runs.
BY_READING = ("dough temperature", "room temperature", "rise")

_RISING = ("proof", "rest", "chill")
_BEFORE = ("hands", *_RISING)
_HOT = ("bake", "cool")
_ALL = (*_BEFORE, *_HOT)


@dataclass(frozen=True, slots=True)
class Limits:
    """One kind of reading, in °C, percent or g.

    Attributes:
        dimension: what it measures.
        written: the bounds of what a formula may expect.
        possible: outside, a value at the bench is refused.
        usual: outside, it is asked again.
        stages: the kinds of stage at which it can be taken.
        offered: those at which it is offered unasked.
        asked: what the bench asks for, ``read the dough's temperature``.
        short: what it is of, where there is little room: ``dough``.
        also: what else people call it in a formula.
    """

    dimension: Dimension
    written: tuple[float, float]
    possible: tuple[float, float]
    usual: tuple[float, float]
    stages: tuple[str, ...]
    offered: tuple[str, ...]
    asked: str
    short: str
    also: tuple[str, ...]

    @property
    def unit(self) -> str:
        """The unit that a bare number is in."""
        return usual_unit(self.dimension)

    @property
    def kept_unit(self) -> str:
        """The unit that values are kept in: °C, % or g."""
        return kept_unit(self.dimension)

    def said(self, value: float) -> str:
        """A value (°C, percent or g) in words, without needless noughts: ``26.5 °C``, ``60 %``, ``912 g``."""
        if self.dimension is Dimension.TEMPERATURE:
            told = f"{round(words.in_degrees(value), 1):g}".replace("-", "−")
            return f"{told} {used().temperature}"
        if self.dimension is Dimension.MASS and used().weight != "g":
            return words.grams(value)
        return f"{round(value, 1):g} {self.kept_unit}".replace("-", "−")

    def span(self, low: float, high: float) -> str:
        """A range in words: ``24 to 26 °C``, ``60 to 80 %``."""
        if self.dimension is Dimension.TEMPERATURE:
            return words.temperatures(low, high)
        if self.dimension is Dimension.MASS and used().weight != "g":
            return f"{words.grams(low)} to {words.grams(high)}"
        return f"{low:g} to {high:g} {self.kept_unit}".replace("-", "−")

    @property
    def measure(self) -> Measure:
        """As a formula writes it."""
        return Measure(self.dimension, *self.written)


LIMITS: dict[ReadingKind, Limits] = {
    "dough temperature": Limits(
        Dimension.TEMPERATURE, (-30, 60), (-10, 60), (2, 40), _BEFORE, _BEFORE,
        "read the dough's temperature", "dough", ("dough", "dough temp", "temperature", "temp"),
    ),
    "rise": Limits(
        Dimension.PERCENT, (0, 1000), (-50, 900), (0, 300), _RISING, _RISING,
        "judge the rise", "rise", ("volume", "height"),
    ),
    "core temperature": Limits(
        Dimension.TEMPERATURE, (-30, 120), (0, 115), (40, 102), _HOT, _HOT,
        "read the core temperature", "core", ("core", "crumb"),
    ),
    "weight": Limits(
        Dimension.MASS, (0, 1_000_000), (0.1, 100_000), (5, 25_000), _ALL, ("hands", *_HOT),
        "weigh it", "weight", ("mass", "loss"),
    ),
    "room temperature": Limits(
        Dimension.TEMPERATURE, (-30, 60), (-20, 60), (8, 40), _ALL, ("hands", "proof", "rest", "cool"),
        "read the room's temperature", "room", ("room",),
    ),
}  # fmt: skip
"""A living dough, a room people work in, a crumb that water keeps near boiling: common practice, no source."""

ALSO_READINGS = tuple((also, kind) for kind, limits in LIMITS.items() for also in limits.also)


def reading_value(text: str, reading: ReadingKind) -> float:
    """Return a reading's bound in °C, percent or g; raises `QuantityError` for another dimension."""
    return read_quantity(text, LIMITS[reading].dimension)
