"""Readings that leave a doubt: a digit that slipped, a value on the bound between two times."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake.advice.scene import Scene
from proofbell.bake.decisions.reading_rules import expected, unusual
from proofbell.bake.fermenting.rule_readings import OnEdge, edge_now
from proofbell.bake.readings import LIMITS
from proofbell.formula.model import ReadingKind
from proofbell.frozen import dataclass
from proofbell.words import length, told_length


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
    before = replace(scene.state, readings=tuple(r for r in scene.state.readings if r is not reading))
    expect = expected(before, scene.index, reading.what, reading.at_s)
    if not unusual(before, scene.index, reading.what, reading.value, expect, reading.at_s):
        return None
    return Unlikely(reading.what, reading.value, expect, _slipped(reading.value, expect))


def _slipped(value: float, expect: tuple[float, float] | None) -> float | None:
    """The value with its digits turned round, or its point moved by one, where that is what is expected."""
    digits = f"{value:g}"
    turned = float(digits[::-1]) if len(digits) == 2 and digits.isdigit() else value
    near = (turned, value * 10, value / 10)
    return None if expect is None else next((each for each in near if expect[0] <= each <= expect[1]), None)


def unlikely_seen(found: Unlikely) -> str:
    limits = LIMITS[found.what]
    said = f"{found.what.capitalize()} {limits.said(found.value)}"
    return f"{said} is unusual" if found.expect is None else f"{said}, {limits.span(*found.expect)} expected"


def unlikely_do(found: Unlikely) -> str:
    meant = "" if found.meant is None else f"; was it {LIMITS[found.what].said(found.meant)}?"
    return f"read it again, and correct it in the log if a digit slipped{meant}"


def on_the_edge(scene: Scene) -> OnEdge | None:
    """A reading so near the bound of two bands of the stage that either may hold."""
    found = edge_now(scene.state, scene.index)
    return None if found is not None and scene.into_s > sooner_s(found) else found


def edge_seen(found: OnEdge) -> str:
    """The reading, and the times on either side of the bound."""
    said = LIMITS[found.what].said
    below, above = (length(each) for each in _both(found))
    return f"{said(found.value)} is on the edge, {below} below {said(found.edge)} and {above} from there on"


def _both(found: OnEdge) -> tuple[float, float]:
    """The times (s) below the edge and above it."""
    return (found.time_s, found.other_s) if found.above else (found.other_s, found.time_s)


def sooner_s(found: OnEdge) -> float:
    """The shorter of the two times (s)."""
    return min(_both(found))


def edge_do(found: OnEdge) -> str:
    return f"look at it after {told_length(sooner_s(found))} and let the rise decide"
