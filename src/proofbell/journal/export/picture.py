"""One bake as a picture (SVG 1.1): the planned strip above the real one on one axis, and the readings below.

Nothing is fetched and nothing runs: shapes and text only. Kinds of stage differ by their fill and by their names,
so that it can be read printed in black.
"""

from __future__ import annotations

import math
import textwrap
from datetime import timedelta
from xml.etree import ElementTree as ET

from proofbell.journal.reviews import report
from proofbell.journal.reviews.moments import clock, day
from proofbell.journal.reviews.review import BakeReview
from proofbell.units import used
from proofbell.visible import visible
from proofbell.words import in_degrees, length

WIDTH, LEFT, RIGHT = 960.0, 84.0, 24.0
PLANNED_TOP, ACTUAL_TOP, BAR = 74.0, 116.0, 30.0
CHART_TOP, CHART_HEIGHT = 200.0, 180.0
FOOT_TOP, FOOT_LINE, FOOT_WIDTH = CHART_TOP + CHART_HEIGHT + 42.0, 16.0, 110
HEIGHT = FOOT_TOP + 2 * FOOT_LINE

_FILL = {
    "hands": "#d9d2c5", "proof": "#f2c879", "rest": "#f6e3ba", "chill": "#b9d3e8", "bake": "#d98b6a", "cool": "#cfe0d2",
}  # fmt: skip
_INK, _PALE = "#222222", "#888888"
_STEPS_S = (300, 600, 900, 1800, 3600, 7200, 10_800, 21_600, 43_200, 86_400, 172_800, 604_800)


def picture(review: BakeReview) -> str:
    drawing = _Drawing(review)
    drawing.head()
    drawing.axis()
    drawing.strips()
    drawing.chart()
    drawing.foot()
    return drawing.text()


class _Drawing:
    """An SVG document as it is drawn, and its time axis."""

    def __init__(self, review: BakeReview) -> None:
        self.review = review
        spans = review.stages
        starts = [*(s.planned_begin_s for s in review.stages), *(s.begun_s for s in spans if s.begun_s is not None)]
        ends = [s.planned_begin_s + s.planned_s for s in spans]
        self.begin_s = min(starts)
        self.end_s = max(*ends, review.end_s, self.begin_s + 60.0)
        self.svg = ET.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "viewBox": f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
                "width": f"{WIDTH:.0f}",
                "height": f"{HEIGHT:.0f}",
                "font-family": "sans-serif",
                "font-size": "12",
            },
        )

    def text(self) -> str:
        return ET.tostring(self.svg, encoding="unicode") + "\n"

    def x(self, at_s: float) -> float:
        share = (at_s - self.begin_s) / (self.end_s - self.begin_s)
        return LEFT + share * (WIDTH - LEFT - RIGHT)

    def words(self, x: float, y: float, text: str, **style: str) -> None:
        element = ET.SubElement(self.svg, "text", {"x": f"{x:.1f}", "y": f"{y:.1f}", "fill": _INK, **style})
        element.text = visible(text, most=120)

    def line(self, x1: float, y1: float, x2: float, y2: float, colour: str = _PALE) -> None:
        points = {"x1": f"{x1:.1f}", "y1": f"{y1:.1f}", "x2": f"{x2:.1f}", "y2": f"{y2:.1f}"}
        ET.SubElement(self.svg, "line", {**points, "stroke": colour, "stroke-width": "1"})

    def box(self, x: float, y: float, width: float, height: float, **style: str) -> ET.Element:
        place = {"x": f"{x:.1f}", "y": f"{y:.1f}", "width": f"{max(width, 0.5):.1f}", "height": f"{height:.1f}"}
        return ET.SubElement(self.svg, "rect", {**place, **style})

    def head(self) -> None:
        review = self.review
        title = ET.SubElement(self.svg, "title")
        first = review.moments.local(self.begin_s)
        title.text = visible(f"{review.state.formula.name}, {day(first)}")
        self.box(0, 0, WIDTH, HEIGHT, fill="#ffffff")
        self.words(LEFT, 26, review.state.formula.name, **{"font-size": "18"})
        facts = ", ".join((day(first), f"bake {review.state.letter}", *report.in_brief(review)))
        facts += "" if review.moments.one_offset else f"; {review.moments.offset_words()}"
        self.words(LEFT, 46, facts, fill=_PALE)

    def foot(self) -> None:
        """The allergens: a picture goes round without its log."""
        lines = textwrap.wrap(f"Allergens: {report.allergens(self.review)}.", FOOT_WIDTH)
        for number, line in enumerate(lines):
            self.words(LEFT, FOOT_TOP + number * FOOT_LINE, line)

    def axis(self) -> None:
        """A line for each round moment of local time, at most about ten of them."""
        span_s = self.end_s - self.begin_s
        step_s = next((step for step in _STEPS_S if span_s / step <= 10), max(_STEPS_S[-1], span_s / 10))
        first = self.review.moments.local(self.begin_s)
        since_midnight_s = first.hour * 3600 + first.minute * 60 + first.second + first.microsecond / 1e6
        ahead_s = math.ceil(since_midnight_s / step_s) * step_s - since_midnight_s
        bottom = CHART_TOP + CHART_HEIGHT
        at_s = self.begin_s + ahead_s
        before = first
        while at_s <= self.end_s:
            x = self.x(at_s)
            self.line(x, PLANNED_TOP - 6, x, bottom, "#e4e4e4")
            moved_min = self.review.moments.offset_min(at_s) - self.review.moments.offset_min(self.begin_s)
            moment = first + timedelta(seconds=at_s - self.begin_s, minutes=moved_min)
            words = clock(moment, before) + self.review.moments.offset_mark(at_s)
            self.words(x, bottom + 18, words, fill=_PALE, **{"text-anchor": "middle"})
            before = moment
            at_s += step_s

    def strips(self) -> None:
        self.words(8, PLANNED_TOP + 20, "planned")
        self.words(8, ACTUAL_TOP + 20, "actual")
        for stage in self.review.stages:
            end_s = stage.planned_begin_s + stage.planned_s
            self.stage(stage.name, stage.kind, stage.planned_begin_s, end_s, PLANNED_TOP, stage.planned_s)
            if stage.begun_s is not None:
                ended_s = stage.ended_s if stage.ended_s is not None else self.review.end_s
                self.stage(stage.name, stage.kind, stage.begun_s, ended_s, ACTUAL_TOP, ended_s - stage.begun_s)
        for mark in self.review.adjustments:
            if mark.stands:
                x = self.x(mark.at_s)
                self.line(x, ACTUAL_TOP - 4, x, ACTUAL_TOP + BAR + 4, _INK)

    def stage(self, name: str, kind: str, begin_s: float, end_s: float, top: float, seconds: float) -> None:
        left, width = self.x(begin_s), self.x(end_s) - self.x(begin_s)
        box = self.box(left, top, width, BAR, fill=_FILL[kind], stroke=_INK, **{"stroke-width": "0.7"})
        tip = ET.SubElement(box, "title")
        tip.text = visible(f"{name}, {length(seconds)}")
        # About 6.5 units for a letter of this size: a name that does not fit is left to the box's title.
        if len(name) * 6.5 < width - 6:
            self.words(left + 4, top + 19, name)

    def chart(self) -> None:
        points = [
            (item.reading.at_s, in_degrees(item.reading.value))
            for item in self.review.readings
            if item.reading.what == "dough temperature" and item.reading.value is not None
        ]
        curves = [curve for curve in self.review.curves if points or not curve.guessed]
        values = [value for _, value in points] + [in_degrees(value) for curve in curves for _, value in curve.points]
        bottom = CHART_TOP + CHART_HEIGHT
        self.line(LEFT, bottom, WIDTH - RIGHT, bottom)
        if not values:
            self.words(LEFT, CHART_TOP + 40, "no dough temperature was read", fill=_PALE)
            return
        low, high = math.floor(min(values)) - 1, math.ceil(max(values)) + 1

        def y(value: float) -> float:
            return bottom - (min(max(value, low), high) - low) / (high - low) * CHART_HEIGHT

        self.words(8, CHART_TOP - 10, f"dough temperature, {used().temperature}")
        for mark in range(low, high + 1, max(1, round((high - low) / 6))):
            self.line(LEFT, y(mark), WIDTH - RIGHT, y(mark), "#eeeeee")
            self.words(LEFT - 8, y(mark) + 4, str(mark), fill=_PALE, **{"text-anchor": "end"})
        for item in self.review.readings:
            if item.reading.what == "dough temperature" and item.expect is not None:
                bottom_y, top_y = (y(in_degrees(value)) for value in item.expect)
                style = {"fill": "#f2c879", "fill-opacity": "0.4"}
                self.box(self.x(item.reading.at_s) - 9, top_y, 18, bottom_y - top_y, **style)
        for curve in curves:
            path = " ".join(f"{self.x(at_s):.1f},{y(in_degrees(value)):.1f}" for at_s, value in curve.points)
            dashes = {"stroke-dasharray": "3 4"} if curve.guessed else {}
            style = {"fill": "none", "stroke": "#b0622d", "stroke-width": "1.6", **dashes}
            ET.SubElement(self.svg, "polyline", {"points": path, **style})
        taken: list[tuple[float, float]] = []
        for at_s, value in points:
            place = {"cx": f"{self.x(at_s):.1f}", "cy": f"{y(value):.1f}", "r": "3.5", "fill": _INK}
            ET.SubElement(self.svg, "circle", place)
            at = free_place(self.x(at_s), y(value), taken)
            if at is not None:
                taken.append(at)
                self.words(*at, f"{value:.1f}")


LABEL_WIDTH, LABEL_HEIGHT = 27.0, 13.0
"""Room for ``25.3`` in the picture's own units."""


def free_place(x: float, y: float, taken: list[tuple[float, float]]) -> tuple[float, float] | None:
    """Where a reading's value can be written beside its dot without lying on another; None when it is too crowded."""
    left, right = x - 6 - LABEL_WIDTH, x + 6
    places = [(right, y - 6), (right, y + 15), (left, y - 6), (left, y + 15), (right, y - 20), (right, y + 29)]
    for place in places:
        fits = LEFT <= place[0] <= WIDTH - LABEL_WIDTH and place[1] <= CHART_TOP + CHART_HEIGHT
        if fits and all(abs(place[0] - a) >= LABEL_WIDTH or abs(place[1] - b) >= LABEL_HEIGHT for a, b in taken):
            return place
    return None
