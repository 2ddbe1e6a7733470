"""The course of a formula as a picture (SVG 1.1): a panel for each measure over one axis of time.

Nothing is fetched and nothing runs: shapes and text only. What is marked differs by its shape, so that it can be read
printed in black.
"""

from __future__ import annotations

from collections.abc import Callable
from xml.etree import ElementTree as ET

from proofbell.journal.course.course import Course, Measure, Part
from proofbell.journal.course.course_words import (
    TITLES,
    changed_words,
    date,
    findings,
    head_words,
    mean_words,
    notices,
    said,
    span,
)
from proofbell.journal.course.good_ones import looks
from proofbell.journal.course.good_words import SAYS, TITLE, look_words
from proofbell.journal.course.months import months
from proofbell.visible import visible
from proofbell.words import filled

WIDTH, LEFT, RIGHT, TOP = 960.0, 96.0, 24.0, 84.0
PANEL, GAP, LINE = 96.0, 26.0, 15.0
MOST_WORDS, MOST_TOLD = 130, 6
"""Characters of a line, and how many findings of a measure stand under its panel; a word says that there are more."""

Y = Callable[[float], float]
"""Where a value stands."""

_INK, _PALE, _MARKED = "#222222", "#777777", "#b3401a"


def course_svg(course: Course) -> str:
    """The course as an SVG 1.1 document."""
    drawing = _Drawing(course)
    y = drawing.head()
    for measure in course.series:
        y = drawing.panel(measure, y)
    return drawing.text(drawing.good_ones(y))


class _Drawing:
    """An SVG document as it is drawn."""

    def __init__(self, course: Course) -> None:
        self.course = course
        self.svg = ET.Element(
            "svg", {"xmlns": "http://www.w3.org/2000/svg", "font-family": "sans-serif", "font-size": "12"}
        )
        self.paper = self.shape("rect", x="0", y="0", width=f"{WIDTH:.0f}", fill="#ffffff")
        at = [baked.summary.began_us for baked in course.bakes] or [0]
        self.begin_us, self.end_us = at[0], max(at[-1], at[0] + 1)

    def text(self, height: float) -> str:
        self.paper.set("height", f"{height:.0f}")
        self.svg.attrib |= {
            "viewBox": f"0 0 {WIDTH:.0f} {height:.0f}", "width": f"{WIDTH:.0f}", "height": f"{height:.0f}",
        }  # fmt: skip
        return ET.tostring(self.svg, encoding="unicode") + "\n"

    def shape(self, tag: str, **attributes: str) -> ET.Element:
        return ET.SubElement(self.svg, tag, {name.replace("_", "-"): value for name, value in attributes.items()})

    def words(self, x: float, y: float, words: str, *, fill: str = _INK, **style: str) -> None:
        self.shape("text", x=f"{x:.1f}", y=f"{y:.1f}", fill=fill, **style).text = visible(words, most=MOST_WORDS)

    def line(self, x1: float, y1: float, x2: float, y2: float, colour: str, dashes: str = "") -> None:
        ends = {"x1": f"{x1:.1f}", "y1": f"{y1:.1f}", "x2": f"{x2:.1f}", "y2": f"{y2:.1f}"}
        self.shape("line", **ends, stroke=colour, **({"stroke_dasharray": dashes} if dashes else {}))

    def x(self, number: int) -> float:
        return self.x_at(self.course.bakes[number].summary.began_us)

    def x_at(self, at_us: int) -> float:
        share = (at_us - self.begin_us) / (self.end_us - self.begin_us)
        return LEFT + 8 + share * (WIDTH - LEFT - RIGHT - 16)

    def head(self) -> float:
        title = ET.SubElement(self.svg, "title")
        title.text = visible(f"{self.course.formula}, {head_words(self.course)}", most=200)
        self.words(LEFT, 28, self.course.formula, font_size="18")
        self.words(LEFT, 48, head_words(self.course), fill=_PALE)
        if not self.course.series:
            self.words(LEFT, 72, "no bake of it was finished yet", fill=_PALE)
        y = TOP - 2 * LINE
        for one in notices(self.course):
            y += LINE
            self.words(LEFT, y, f"{date(self.course.bakes[one.first])}: {one.words}", fill=_MARKED)
        return y + 2 * GAP

    def panel(self, measure: Measure, top: float) -> float:
        """One measure; returns where the next may begin."""
        parts = self.course.series[measure]
        self.words(LEFT, top - 6, TITLES[measure], font_weight="bold")
        known = [value for part in parts for value in part.values]
        shown = known + [each for p in parts if p.limits for each in (p.limits.lower, p.limits.upper)]
        low, high = min(shown), max(shown)
        margin = (high - low) * 0.06 or 1.0
        low, high = low - margin, high + margin
        bottom = top + PANEL

        def y(value: float) -> float:
            return bottom - (value - low) / (high - low) * PANEL

        self.shape(
            "rect", x=f"{LEFT:.0f}", y=f"{top:.1f}", width=f"{WIDTH - LEFT - RIGHT:.0f}", height=f"{PANEL:.0f}",
            fill="none", stroke="#cccccc",
        )  # fmt: skip
        for value in (max(known), min(known)):
            self.words(LEFT - 8, y(value) + 4, said(measure, value), fill=_PALE, text_anchor="end")
        self._months(bottom)
        for number, stretch in enumerate(self.course.stretches):
            if stretch.changed:
                x = (self.x(stretch.first - 1) + self.x(stretch.first)) / 2
                self.line(x, top, x, bottom, _INK, "2 3")
                told = f"{date(self.course.bakes[stretch.first])}: {changed_words(stretch)}"
                # To the left of the line in the right half, so that it stays on the paper.
                anchor = "end" if x > WIDTH * 0.6 else "start"
                self.words(x + (-4 if anchor == "end" else 4), top - 6, told, fill=_INK, text_anchor=anchor)
            self._part(parts[number], y)
        at = bottom + GAP
        return self._told(measure, at) + GAP + LINE

    def good_ones(self, top: float) -> float:
        """What went with points, where there are enough of them; returns where the drawing ends."""
        found = looks(self.course)
        if not found:
            return top
        self.words(LEFT, top, TITLE, font_weight="bold")
        lines = [*(look_words(look) for look in found), *filled(SAYS, MOST_WORDS).splitlines()]
        for line in lines:
            top += LINE
            self.words(LEFT, top, line, fill=_PALE)
        return top + GAP

    def _months(self, bottom: float) -> None:
        for at_us, words in months(self.begin_us, self.end_us, most=13):
            self.line(self.x_at(at_us), bottom, self.x_at(at_us), bottom + 4, _PALE)
            self.words(self.x_at(at_us), bottom + 15, words, fill=_PALE, font_size="10", text_anchor="middle")

    def _part(self, part: Part, y: Y) -> None:
        if not part.bakes:
            return
        if part.limits is not None:
            left, right = self.x(part.bakes[0]), self.x(part.bakes[-1])
            self.line(left, y(part.limits.mean), right, y(part.limits.mean), _INK)
            for limit in (part.limits.lower, part.limits.upper):
                self.line(left, y(limit), right, y(limit), _PALE, "6 4")
        path = " ".join(f"{self.x(n):.1f},{y(v):.1f}" for n, v in zip(part.bakes, part.values, strict=True))
        self.shape("polyline", points=path, fill="none", stroke="#d0d0d0")
        sides = {at: run.side for run in part.runs for at in range(run.first, run.last + 1)}
        for at, (number, value) in enumerate(zip(part.bakes, part.values, strict=True)):
            self._dot(self.x(number), y(value), sides.get(at, 0), outside=number in part.outside)

    def _dot(self, x: float, y: float, side: int, *, outside: bool) -> None:
        """A diamond outside the limits, a triangle in a run that points to its side, else a disc."""
        if outside:
            points = f"{x:.1f},{y - 6:.1f} {x + 6:.1f},{y:.1f} {x:.1f},{y + 6:.1f} {x - 6:.1f},{y:.1f}"
            self.shape("polygon", points=points, fill=_MARKED)
        elif side:
            points = f"{x - 4:.1f},{y + 3 * side:.1f} {x + 4:.1f},{y + 3 * side:.1f} {x:.1f},{y - 4 * side:.1f}"
            self.shape("polygon", points=points, fill=_MARKED)
        else:
            self.shape("circle", cx=f"{x:.1f}", cy=f"{y:.1f}", r="2.6", fill=_INK)

    def _told(self, measure: Measure, at: float) -> float:
        """Mean and limits, and what is marked, under the panel."""
        for stretch, part in zip(self.course.stretches, self.course.series[measure], strict=True):
            if part.bakes:
                at += LINE
                told = f"{span(self.course, stretch.first, stretch.last)}, {mean_words(measure, part)}"
                self.words(LEFT, at, told, fill=_PALE)
        found = list(findings(self.course, measure))
        for one in found[:MOST_TOLD]:
            at += LINE
            self.words(LEFT + 12, at, f"{span(self.course, one.first, one.last)}: {one.words}", fill=_MARKED)
        if len(found) > MOST_TOLD:
            at += LINE
            self.words(LEFT + 12, at, f"and {len(found) - MOST_TOLD} more", fill=_MARKED)
        return at
