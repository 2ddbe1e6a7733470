"""What ``proofbell journal course`` prints for people."""

from __future__ import annotations

from collections.abc import Iterator

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.journal.course_drawing import CROWDED, draw_course, is_crowded
from proofbell.journal.course.course import Course, Measure
from proofbell.journal.course.course_words import (
    METHOD,
    TITLES,
    findings,
    head_words,
    mean_words,
    notices,
    said,
    span,
    stretch_words,
)
from proofbell.journal.course.good_ones import looks
from proofbell.journal.course.good_words import SAYS, TITLE, look_words
from proofbell.visible import visible
from proofbell.words import filled

WIDTH, LINES = 80, 10
MARKS = "▲ ▼ one of a run above or below the mean, ◆ outside the limits"
LEAST = 3
"""Fewer bakes have no course."""


def text_lines(course: Course) -> Iterator[str]:
    """Each measure with its mean and limits, and what is marked; every line is made harmless here."""
    yield from _wrapped(f"{course.formula}: {head_words(course)}", "")
    for one in notices(course):
        yield from _wrapped(f"{span(course, one.first, one.last)}: {one.words}", "  ")
    charts = {measure: _chart(course, measure) for measure in course.series}
    for measure, parts in course.series.items():
        yield ""
        yield from charts[measure] or [TITLES[measure]]
        found = list(findings(course, measure))
        for stretch, part in zip(course.stretches, parts, strict=True):
            if not part.bakes:
                continue
            told = f"{stretch_words(course, stretch)}, {mean_words(measure, part)}"
            if len(part.values) == 1:
                told += f" ({said(measure, part.values[0])})"
            yield from _wrapped(told, "  ")
            for one in found:
                if stretch.first <= one.first <= stretch.last:
                    yield from _wrapped(f"{span(course, one.first, one.last)}: {one.words}", "    ")
    if found_looks := looks(course):
        yield ""
        yield TITLE
        for look in found_looks:
            yield from _wrapped(look_words(look), "  ")
        yield from _wrapped(SAYS, "  ")
    yield ""
    if any(charts.values()):
        yield from _wrapped(f"{CROWDED}; {MARKS}." if is_crowded(course, WIDTH) else f"● a bake, {MARKS}.", "")
    yield from _wrapped(METHOD if course.series else "Nothing to draw yet: no bake of it was finished.", "")


def _chart(course: Course, measure: Measure) -> list[str]:
    """A measure over its bakes in characters, under its title; nothing where there is no course to see."""
    if sum(len(part.values) for part in course.series[measure]) < LEAST:
        return []
    canvas = Canvas(WIDTH, LINES)
    draw_course(canvas, course, [measure])
    lines = [canvas.plain(y) for y in range(canvas.height)]
    return [visible(line.removeprefix("  "), most=WIDTH) if y == 1 else line for y, line in enumerate(lines) if line]


def _wrapped(words: str, indent: str) -> list[str]:
    return filled(visible(words, most=600), WIDTH, indent, indent + "  ", break_long=True).splitlines()
