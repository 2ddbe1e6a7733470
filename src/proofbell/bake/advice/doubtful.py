"""Readings that leave a doubt: a digit that slipped, a value on the bound between two times."""

from __future__ import annotations

from dataclasses import dataclass

from proofbell.bake.advice.scene import Scene
from proofbell.bake.decisions.reading_rules import expected
from proofbell.bake.readings import LIMITS, odd
from proofbell.formula.model import Bands, ReadingKind
from proofbell.words import length


@dataclass(frozen=True, slots=True)
class Unlikely:
    """A reading that was said twice and is unusual all the same, what is expected, and what may have been meant."""

    what: ReadingKind
    value: float
    expect: tuple[float, float] | None
    meant: float | None


def unlikely(scene: Scene) -> Unlikely | None:
    """The newest reading of the stage, where it is unusual: a digit may have slipped."""
    reading = scene.newest()
    if reading is None or reading.value is None:
        return None
    expect = expected(scene.state, scene.index, reading.what)
    if not odd(reading.what, reading.value, expect, scene.stage.kind):
        return None
    return Unlikely(reading.what, reading.value, expect, _slipped(reading.value, expect))


def _slipped(value: float, expect: tuple[float, float] | None) -> float | None:
    """The value with its digits turned round, or its point moved by one, where that is what is expected."""
    digits = f"{value:g}"
    turned = float(digits[::-1]) if len(digits) == 2 and digits.isdigit() else value
    near = (turned, value * 10, value / 10)
    return None if expect is None else next((each for each in near if expect[0] <= each <= expect[1]), None)


def unlikely_seen(found: Unlikely) -> str:
    """The reading beside what is expected."""
    unit = LIMITS[found.what].unit
    said = f"{found.what.capitalize()} {found.value:g} {unit}"
    return (
        f"{said} is unusual" if found.expect is None else f"{said}, {found.expect[0]:g} to {found.expect[1]:g} expected"
    )


def unlikely_do(found: Unlikely) -> str:
    """Read again, or put right."""
    unit = LIMITS[found.what].unit
    meant = "" if found.meant is None else f"; was it {found.meant:g} {unit}?"
    return f"read it again, and correct it in the log if a digit slipped{meant}"


@dataclass(frozen=True, slots=True)
class Edge:
    """A reading so near the bound of two bands that either may hold: the bound, and both times (s)."""

    value: float
    bound: float
    unit: str
    below_s: float
    above_s: float


EDGE_K, EDGE_PERCENT = 0.5, 5.0
"""So near a bound a probe and a jar leave it open which side a dough is on: common practice, no source."""


def on_the_edge(scene: Scene) -> Edge | None:
    """A reading within what it is good to of the bound between two bands of the stage."""
    bands = scene.stage.adjust
    if not isinstance(bands, Bands) or bands.read == "weight":
        return None
    dough = scene.dough() if bands.read == "dough temperature" else None
    reading = scene.newest(bands.read) if dough is None else dough[0]
    if reading is None or reading.value is None:
        return None
    value = reading.value
    good_to = EDGE_PERCENT if bands.read == "rise" else min(EDGE_K, scene.state.kitchen.probe.good_to_k(value))
    for band, above in zip(bands.bands, bands.bands[1:], strict=False):
        if band.below is not None and abs(value - band.below) <= good_to and band.time_s != above.time_s:
            return Edge(value, band.below, LIMITS[bands.read].unit, band.time_s, above.time_s)
    return None


def edge_seen(found: Edge) -> str:
    """The reading, and what the bound parts."""
    times = f"{length(found.below_s)} and {length(found.above_s)}"
    return f"{found.value:g} {found.unit} is on the edge, {found.bound:g} {found.unit} parts {times}"


def edge_do(found: Edge) -> str:
    """The shorter of the two, then the dough."""
    return f"look at it after {length(min(found.below_s, found.above_s))} and let the rise decide"
