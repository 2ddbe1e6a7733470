"""The course of a formula in characters: a panel for each measure over one axis of time.

A disc is a bake, a triangle one of a run (it points to its side of the mean), a diamond one outside the limits: what
is marked is seen without colour. Where many bakes share a column the disc is their mean, and each is a point.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from proofbell.app.drawing.canvas import Canvas
from proofbell.frozen import dataclass
from proofbell.journal.course.course import Course, Measure, Part
from proofbell.journal.course.course_words import TITLES, changed_words, date, limits_words, said
from proofbell.journal.course.months import months

LEFT = 11
"""Columns before the axis."""

LEAST = 5
"""Lines of a panel: its title, and enough to see a course."""

AROUND = 2
"""Lines beside the panels: what changed above them, the months below."""

MONTH = 9
"""Columns for ``Jan 2026``."""


MANY = 4
"""So many bakes in a column are told by their mean, or they fill the panel."""

CROWDED = "● the mean of the bakes in a column, · each of them"


@dataclass(frozen=True, slots=True)
class _Axis:
    course: Course
    width: int

    def column(self, at_us: int) -> int:
        bakes = self.course.bakes
        begin_us, end_us = bakes[0].summary.began_us, bakes[-1].summary.began_us
        return LEFT + round((at_us - begin_us) / max(1, end_us - begin_us) * (self.width - 1))

    def bake(self, number: int) -> int:
        return self.column(self.course.bakes[number].summary.began_us)


def is_crowded(course: Course, width: int) -> bool:
    """Whether so narrow a chart has many bakes in a column."""
    return len(course.bakes) >= MANY * max(1, width - LEFT - 1)


def panels(course: Course, wanted: Measure, height: int) -> list[Measure]:
    """The measures that so many lines have room for, among them the one that is wanted."""
    measures = list(course.series)
    room = max(1, min(len(measures), (height - AROUND) // LEAST))
    first = max(0, measures.index(wanted) - room + 1) if wanted in measures else 0
    return measures[first : first + room]


def draw_course(canvas: Canvas, course: Course, shown: Sequence[Measure], wanted: Measure | None = None) -> None:
    """Fill the canvas with these panels; the title of the one that is wanted stands out."""
    if not shown or canvas.width <= LEFT + 10:
        return
    axis = _Axis(course, canvas.width - LEFT - 1)
    _changes(canvas, axis)
    lines, more = divmod(canvas.height - AROUND, len(shown))
    top = 1
    for number, measure in enumerate(shown):
        height = lines + (number < more)
        _panel(canvas, axis, measure, top, height, bold=measure == wanted)
        top += height
    taken = 0
    bakes = course.bakes
    most = max(2, axis.width // MONTH)
    for at_us, words in months(bakes[0].summary.began_us, bakes[-1].summary.began_us, most=most):
        x = axis.column(at_us)
        if x >= taken and x + len(words) <= canvas.width:
            canvas.put(x, canvas.height - 1, words, "$quiet")
            taken = x + len(words) + 1


def _changes(canvas: Canvas, axis: _Axis) -> None:
    """What is new between two bakes, over the line at which it is."""
    taken = 0
    for stretch in axis.course.stretches:
        if not stretch.changed:
            continue
        x = axis.bake(stretch.first)
        for y in range(1, canvas.height - 1):
            canvas.put(x, y, "┊", "$quiet")
        told = f"{date(axis.course.bakes[stretch.first])}: {changed_words(stretch)}"
        at = max(0, min(x, canvas.width - len(told)))
        if at >= taken:
            canvas.put(at, 0, told, "bold")
            taken = at + len(told) + 2


def _panel(canvas: Canvas, axis: _Axis, measure: Measure, top: int, height: int, *, bold: bool) -> None:
    parts = axis.course.series[measure]
    at = canvas.put(0, top, f"{'▸' if bold else ' '} {TITLES[measure]}", "bold $accent" if bold else "bold")
    last = next((part for part in reversed(parts) if part.limits is not None), None)
    words = "too few bakes for a mean with limits"
    if last is not None and last.limits is not None:
        words = f"mean {said(measure, last.limits.mean)}, limits {limits_words(measure, last.limits)}"
        words = f"now {words}" if len(parts) > 1 else words
    canvas.put(at + 2, top, words, "$quiet")
    shown = [value for part in parts for value in part.values]
    shown += [each for part in parts if part.limits for each in (part.limits.lower, part.limits.upper)]
    low, high = min(shown), max(shown)
    rows = height - 1

    def y(value: float) -> int:
        share = 0.5 if high == low else (high - value) / (high - low)
        return top + 1 + min(rows - 1, int(share * rows))

    for part in parts:
        _limits(canvas, axis, measure, part, y)
    if all(part.limits is None for part in parts):
        for value in {low, high}:
            _label(canvas, y(value), said(measure, value))
    for part in parts:
        _dots(canvas, axis, part, y)


def _limits(canvas: Canvas, axis: _Axis, measure: Measure, part: Part, y: Callable[[float], int]) -> None:
    if part.limits is None:
        return
    left, right = axis.bake(part.bakes[0]), axis.bake(part.bakes[-1])
    for value, character in ((part.limits.upper, "╌"), (part.limits.lower, "╌"), (part.limits.mean, "─")):
        canvas.fill(left, y(value), right - left + 1, character, "$quiet")
        if part.bakes[0] == 0 or left <= LEFT:
            _label(canvas, y(value), said(measure, value))


def _label(canvas: Canvas, y: int, words: str) -> None:
    if len(words) < LEFT:
        canvas.put(LEFT - 1 - len(words), y, words, "$quiet")


def _dots(canvas: Canvas, axis: _Axis, part: Part, y: Callable[[float], int]) -> None:
    """Where several share a cell, the one that is marked most is seen."""
    sides = {at: run.side for run in part.runs for at in range(run.first, run.last + 1)}
    outside = set(part.outside)
    cells: dict[tuple[int, int], int] = {}
    columns: dict[int, list[float]] = {}
    for at, (number, value) in enumerate(zip(part.bakes, part.values, strict=True)):
        mark = 3 if number in outside else {1: 2, -1: 1}.get(sides.get(at, 0), 0)
        x = axis.bake(number)
        columns.setdefault(x, []).append(value)
        cells[x, y(value)] = max(mark, cells.get((x, y(value)), 0))
    means = {(x, y(sum(values) / len(values))) for x, values in columns.items() if len(values) >= MANY}
    crowded = {x for x, _ in means}
    for (x, line), mark in cells.items():
        if mark or x not in crowded:
            canvas.put(x, line, "●▼▲◆"[mark], "bold $warning" if mark == 3 else "bold" if mark else "")
        else:
            canvas.put(x, line, "·", "$quiet")
    for x, line in means:
        if not cells.get((x, line)):
            canvas.put(x, line, "●")
