"""The readings that a stage's own rule listens to, and where they lie in its bands."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from proofbell.bake.checks import CARRIED_S, carried
from proofbell.bake.readings import is_temperature
from proofbell.bake.state import BakeState
from proofbell.formula.model import Band, Bands, Rate, ReadingKind, Stage
from proofbell.frozen import dataclass
from proofbell.words import grams, percent, temperature

OF_A_BAND = 0.25
"""An edge reaches no deeper into a band than this share of its width, so that its middle is sure. Common practice, no
source."""

START_S = CARRIED_S
"""Bands by the dough's temperature are for a dough as it comes from kneading: what is read later than this has been on
its way to its place, and goes by the rate. Common practice, no source."""

GoodTo = Callable[[float], float]
"""How far a reading of a value may be off, in its unit."""

Readings = tuple[tuple[float, float], ...]
"""Seconds into a stage, and what was read."""


def adjusting(stage: Stage) -> ReadingKind | None:
    """The reading that a stage's own rule listens to."""
    if isinstance(stage.adjust, Bands):
        return stage.adjust.read
    return "dough temperature" if isinstance(stage.adjust, Rate) else None


def series(state: BakeState, index: int) -> Readings:
    """The readings that a stage's rule listens to, as (seconds into the stage, value), one carried over included."""
    what, begun_s = adjusting(state.stage(index)), state.stages[index].begun_s or 0.0
    if what is None:
        return ()
    before = carried(state, index, what) if what != "rise" else None
    first = () if before is None or before.value is None else ((0.0, before.value),)
    inside = tuple((r.at_s - begun_s, r.value) for r in state.readings_in(index, what) if r.value is not None)
    return (*first, *inside)


def of_the_start(bands: Bands, read: Readings) -> Readings:
    """The readings that lie in a stage's bands: of the dough's temperature those of its first minutes; else all."""
    return tuple(each for each in read if bands.read != "dough temperature" or each[0] <= START_S)


@dataclass(frozen=True, slots=True)
class OnEdge:
    """A reading so near to a band's edge that the next one may well lie beyond it.

    ``edge`` and ``within`` (the edge's half width) are in the reading's unit. ``time_s`` is the length of the band that
    holds, ``other_s`` that of the one beyond the edge, which is ``above`` it or below. ``held``: the reading lies
    beyond, and an earlier one keeps its band.
    """

    what: ReadingKind
    value: float
    edge: float
    within: float
    time_s: float
    other_s: float
    above: bool
    held: bool


def band_held(bands: Bands, values: Sequence[float], good_to: GoodTo) -> int:
    """The index of the band that holds after ``values``, the newest last.

    The first reading goes by the bare edges; a later one leaves a band only where it is clear of its edge by as much as
    the probe may be off, so that readings about an edge do not move a proof to and fro.
    """
    edges = _edges(bands)
    held = _bare(edges, values[0])
    for value in values[1:]:
        bare = _bare(edges, value)
        up = held < bare and value >= edges[held] + _within(edges, held, good_to)
        down = held > bare and value < edges[held - 1] - _within(edges, held - 1, good_to)
        held = bare if up or down else held
    return held


def on_edge(bands: Bands, values: Sequence[float], good_to: GoodTo) -> OnEdge | None:
    """Where the newest of ``values`` lies on a band's edge; None where it does not, or where both sides say the same.

    On the edge is what may be off by the whole way to it, though no more than a quarter of the bands beside it.
    """
    if not values:
        return None
    edges, value = _edges(bands), values[-1]
    held = band_held(bands, values, good_to)
    beside = [number for number in (held - 1, held) if 0 <= number < len(edges)]
    number = min(beside, key=lambda each: abs(value - edges[each]), default=None)
    if number is None:
        return None
    above, within = number == held, _within(edges, number, good_to)
    beyond = value >= edges[number] if above else value < edges[number]
    if not beyond and abs(value - edges[number]) > within + 1e-9:
        return None
    time_s, other_s = bands.bands[held].time_s, bands.bands[held + 1 if above else held - 1].time_s
    if time_s == other_s:
        return None
    return OnEdge(bands.read, value, edges[number], within, time_s, other_s, above, held=beyond)


def band_now(state: BakeState, index: int) -> Band | None:
    """The band that a stage's readings hold it to; None where it has no bands, or nothing was read for them."""
    rule = state.stage(index).adjust
    read = of_the_start(rule, series(state, index)) if isinstance(rule, Bands) else ()
    if not isinstance(rule, Bands) or not read:
        return None
    return rule.bands[band_held(rule, [value for _, value in read], good_to(state, rule.read))]


def band_middle(bands: Bands, held: int) -> float | None:
    """The middle of a band, in its reading's unit; an open one is as wide as the one beside it. None for one band."""
    edges = _edges(bands)
    if not edges:
        return None
    widths = [after - before for before, after in pairwise(edges)] or [2.0]
    low = edges[held - 1] if held else edges[0] - widths[0]
    return (low + (edges[held] if held < len(edges) else low + widths[-1])) / 2


def lowest_reach(bands: Bands) -> float | None:
    """The lowest value that the lowest band, which has no end, is taken for: as wide as the next. None for one band."""
    middle, edges = band_middle(bands, 0), _edges(bands)
    return None if middle is None else 2 * middle - edges[0]


def edge_now(state: BakeState, index: int) -> OnEdge | None:
    """Where a stage's newest reading lies on an edge of its bands; None where it does not, or is read too late."""
    rule, read = state.stage(index).adjust, series(state, index)
    if not isinstance(rule, Bands) or of_the_start(rule, read) != read:
        return None
    return on_edge(rule, [value for _, value in read], good_to(state, rule.read))


def edge_read(state: BakeState, index: int) -> OnEdge | None:
    """The newest reading of a stage that lay on an edge of its bands, whatever was read after it; None for none."""
    rule, values = state.stage(index).adjust, [value for _, value in series(state, index)]
    if not isinstance(rule, Bands):
        return None
    found = (on_edge(rule, values[:count], good_to(state, rule.read)) for count in range(len(values), 0, -1))
    return next((each for each in found if each is not None), None)


def good_to(state: BakeState, what: ReadingKind) -> GoodTo:
    """How far a reading may be off: a temperature by the probe's tolerance; a weight or a rise is taken as it is."""
    return state.kitchen.probe.good_to_k if is_temperature(what) else lambda _value: 0.0


def _edges(bands: Bands) -> list[float]:
    # The reader refuses bands without an open end; a log of another origin is met by the last one.
    return [band.below for band in bands.bands[:-1] if band.below is not None]


def _bare(edges: Sequence[float], value: float) -> int:
    return sum(1 for edge in edges if value >= edge)


def _within(edges: Sequence[float], number: int, good_to: GoodTo) -> float:
    """Half the width of an edge, in the reading's unit."""
    edge = edges[number]
    beside = [edge - edges[number - 1]] if number else []
    beside += [edges[number + 1] - edge] if number + 1 < len(edges) else []
    return min([good_to(edge), *(OF_A_BAND * width for width in beside)])


_SUBJECTS = {"dough temperature": "Dough", "room temperature": "Room", "core temperature": "Core"}


def read_words(what: str, value: float) -> str:
    """``Dough 24.0 °C``, ``Rise 60 %``."""
    if what in _SUBJECTS:
        return f"{_SUBJECTS[what]} {temperature(value)}"
    return f"Rise {percent(value)}" if what == "rise" else f"Weight {grams(value)}"
