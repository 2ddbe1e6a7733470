"""What may be read, in what unit, and at which stages."""

from __future__ import annotations

from proofbell.formula.measures import Measure
from proofbell.quantities import Dimension, read_quantity

READINGS = ("dough temperature", "room temperature", "core temperature", "rise", "weight")
# What bands may go by: what is known while a stage runs.
BY_READING = ("dough temperature", "room temperature", "rise")

ALSO_READINGS = (
    ("dough", "dough temperature"), ("dough temp", "dough temperature"), ("temperature", "dough temperature"),
    ("temp", "dough temperature"), ("room", "room temperature"), ("core", "core temperature"),
    ("crumb", "core temperature"), ("volume", "rise"), ("height", "rise"), ("mass", "weight"), ("loss", "weight"),
)  # fmt: skip

_MEASURES = {
    "dough temperature": Measure(Dimension.TEMPERATURE, -30, 60),
    "room temperature": Measure(Dimension.TEMPERATURE, -30, 60),
    "core temperature": Measure(Dimension.TEMPERATURE, -30, 120),
    "rise": Measure(Dimension.PERCENT, 0, 1000),
    "weight": Measure(Dimension.MASS, 0, 1_000_000),
}

_AT_STAGES = {
    "dough temperature": ("hands", "proof", "rest", "chill"),
    "room temperature": ("hands", "proof", "rest", "chill", "bake", "cool"),
    "core temperature": ("bake", "cool"),
    "rise": ("proof", "rest", "chill"),
    "weight": ("hands", "proof", "rest", "chill", "bake", "cool"),
}


def measure_of(reading: str) -> Measure:
    """The kind of quantity that a reading is."""
    return _MEASURES[reading]


def stages_of(reading: str) -> tuple[str, ...]:
    """The kinds of stage at which a reading can be taken."""
    return _AT_STAGES[reading]


def reading_value(text: str, reading: str) -> float:
    """Return a reading's bound in °C, percent or g; raises `QuantityError` for another dimension."""
    return read_quantity(text, _MEASURES[reading].dimension)
