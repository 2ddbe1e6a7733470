"""A chart out of characters: a line of braille dots, the readings on it, the band that a check wanted, hours below."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.time_axis import Axis, labels
from proofbell.bake.stamp import Stamp
from proofbell.frozen import dataclass

HEAD = 9
"""Columns before the axis, as on the strips, so that hours stand under hours."""

_DOTS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
_BRAILLE = 0x2800


@dataclass(frozen=True, slots=True)
class Dot:
    """One reading: when (UTC, µs) and what."""

    at_us: int
    value: float
    outside: bool = False


@dataclass(frozen=True, slots=True)
class Curve:
    """A modelled line; ``guessed`` when nobody measured on it."""

    points: tuple[tuple[int, float], ...]
    guessed: bool = False


@dataclass(frozen=True, slots=True)
class Band:
    """What a check wanted, from ``low`` to ``high``, while its stage ran."""

    begin_us: int
    end_us: int
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Chart:
    dots: tuple[Dot, ...]
    curves: tuple[Curve, ...]
    bands: tuple[Band, ...]
    unit: str = "°C"

    @property
    def is_empty(self) -> bool:
        return not self.dots and not self.curves


@dataclass(frozen=True, slots=True)
class _Scale:
    low: float
    high: float
    height: int

    def row(self, value: float) -> int:
        """The line of a value, the top one 0."""
        return min(self.height - 1, max(0, int(self.fine(value))))

    def fine(self, value: float) -> float:
        """The same with what is behind the point."""
        return (self.high - value) / (self.high - self.low) * self.height


def draw_chart(canvas: Canvas, chart: Chart, axis: Axis, now: Stamp) -> None:
    """Fill the canvas; the lowest line holds the hours."""
    height = canvas.height - 1
    if height < 2:
        return
    scale = _scale(chart, height)
    for band in chart.bands:
        _band(canvas, band, axis, scale)
    for curve in chart.curves:
        _curve(canvas, curve, axis, scale)
    _dots(canvas, chart.dots, axis, scale)
    _values(canvas, scale, chart.unit)
    for column, words in labels(axis, now):
        if column + len(words) <= axis.width:
            canvas.put(HEAD + column, height, words, "$quiet")


def _scale(chart: Chart, height: int) -> _Scale:
    values = [dot.value for dot in chart.dots]
    values += [value for curve in chart.curves for _, value in curve.points]
    values += [value for band in chart.bands for value in (band.low, band.high)]
    low, high = (min(values), max(values)) if values else (0.0, 1.0)
    return _Scale(math.floor(low - 0.5), math.ceil(high + 0.5), height)


def _values(canvas: Canvas, scale: _Scale, unit: str) -> None:
    """Round values along the side, with room between them."""
    steps = (1, 2, 5, 10, 20, 50, 100)
    step = next((s for s in steps if (scale.high - scale.low) / s <= scale.height / 2), steps[-1])
    value = math.ceil(scale.low / step) * step
    while value <= scale.high:
        words = f"{value:g} {unit}"
        canvas.put(HEAD - 1 - len(words), scale.row(value), words, "$quiet")
        value += step


def _band(canvas: Canvas, band: Band, axis: Axis, scale: _Scale) -> None:
    left, right = max(0, axis.column(band.begin_us)), min(axis.width, max(axis.column(band.end_us), 0))
    for y in range(scale.row(band.high), scale.row(band.low) + 1):
        canvas.fill(HEAD + left, y, right - left, "·", "$quiet")


def _curve(canvas: Canvas, curve: Curve, axis: Axis, scale: _Scale) -> None:
    """Two dots across and four down in each cell; every second one left out when the line is guessed."""
    cells: dict[tuple[int, int], int] = {}
    points = sorted(curve.points)
    if not points:
        return
    first = (points[0][0] - axis.begin_us) / axis.step_us * 2
    last = (points[-1][0] - axis.begin_us) / axis.step_us * 2
    for x in range(max(0, math.ceil(first)), min(axis.width * 2, math.floor(last) + 1)):
        if curve.guessed and x % 2:
            continue
        value = _between(points, axis.begin_us + x * axis.step_us / 2)
        y = min(scale.height * 4 - 1, max(0, int(scale.fine(value) * 4)))
        key = (x // 2, y // 4)
        cells[key] = cells.get(key, 0) | _DOTS[y % 4][x % 2]
    for (x, y), dots in cells.items():
        canvas.put(HEAD + x, y, chr(_BRAILLE + dots), "$proof bold")


def _between(points: list[tuple[int, float]], at: float) -> float:
    """The value at a moment, on a straight line between the two points around it."""
    for (left, before), (right, after) in pairwise(points):
        if at <= right:
            share = (at - left) / (right - left) if right > left else 0.0
            return before + min(max(share, 0.0), 1.0) * (after - before)
    return points[-1][1]


def _dots(canvas: Canvas, dots: Iterable[Dot], axis: Axis, scale: _Scale) -> None:
    """The readings, and beside each its value where that covers no other; the lines below the chart tell them all."""
    seen = [(dot, axis.column(dot.at_us), scale.row(dot.value)) for dot in dots]
    seen = [one for one in seen if 0 <= one[1] < axis.width]
    taken = {(x, y) for _, x, y in seen}
    for dot, x, y in seen:
        canvas.put(HEAD + x, y, "◆" if dot.outside else "●", _style(dot))
    for dot, x, y in seen:
        words = f"{dot.value:.1f}"
        right, left = x + 2, x - 1 - len(words)
        for column, row in ((right, y), (left, y), (right, y - 1), (right, y + 1), (left, y - 1), (left, y + 1)):
            # A blank on either side keeps two values from running into one.
            cells = {(column + at, row) for at in range(-1, len(words) + 1)} - {(x, y)}
            if column >= 0 and column + len(words) <= axis.width and 0 <= row < scale.height and not cells & taken:
                canvas.put(HEAD + column, row, words, _style(dot))
                taken |= cells
                break


def _style(dot: Dot) -> str:
    return "bold $warning" if dot.outside else "bold"
