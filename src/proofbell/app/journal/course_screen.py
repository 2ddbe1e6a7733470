"""One formula over all its bakes: a chart for each measure, and what is marked, which leads into the bake."""

from __future__ import annotations

import asyncio
from typing import ClassVar

from textual import events, on, work
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.content import outside, own, wrapped
from proofbell.app.drawing.sheet import Sheet
from proofbell.app.journal.bake_screen import BakeScreen
from proofbell.app.journal.course_drawing import CROWDED, draw_course, is_crowded, panels
from proofbell.app.session.live import Live
from proofbell.app.widgets.actions import bindings
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.rows import Rows
from proofbell.frozen import dataclass
from proofbell.journal.course.course import Course, Measure, course
from proofbell.journal.course.course_words import (
    TITLES,
    Finding,
    findings,
    head_words,
    mean_words,
    notices,
    span,
    stretch_words,
)
from proofbell.journal.course.good_ones import looks
from proofbell.journal.course.good_words import SAYS, TITLE, look_words
from proofbell.journal.reviews.summary import Summary

LEGEND = "◆ outside the limits   ▲▼ eight or more in a row on one side of the mean"

LIST_SHARE = 0.4
"""The list's share of the height; the charts have the rest."""


@dataclass(frozen=True, slots=True)
class _Line:
    """A line of the list: what it says, of which measure, and the bake that it leads to, if any."""

    words: str
    measure: Measure
    bake: int | None = None
    title: bool = False


class Charts(Sheet):
    """As many panels as there is room for."""

    def __init__(self) -> None:
        super().__init__(id="charts")
        self.course: Course | None = None
        self.wanted: Measure = "kneaded_c"
        self._panels: list[Measure] = []
        self._drawn: tuple[object, Content] | None = None

    def drawn(self, width: int, height: int) -> Content:
        """The panels; those that are there stay as long as the wanted one is among them."""
        if self.course is None or not self.course.series:
            return Content("")
        fit = panels(self.course, self.wanted, height)
        if len(fit) != len(self._panels) or self.wanted not in self._panels:
            self._panels = fit
        key = (width, height, *self._panels, self.wanted)
        if self._drawn is None or self._drawn[0] != key:
            canvas = Canvas(width, height)
            draw_course(canvas, self.course, self._panels, self.wanted)
            self._drawn = key, canvas.content()
        return self._drawn[1]


class CourseScreen(Page):
    """Charts above, what is marked below."""

    PAGE = "course"
    CSS_PATH = "course_screen.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("course")]

    def __init__(self, live: Live, formula: str, summaries: list[Summary]) -> None:
        super().__init__()
        self.live = live
        self.formula = formula
        self._summaries = summaries
        self._course: Course | None = None
        self._lines: list[_Line] = []

    def heading(self) -> Content:
        """Which formula, how many bakes, from when to when."""
        return titled(self.formula, "" if self._course is None else head_words(self._course))

    def body(self) -> ComposeResult:
        """Charts, list, the line under the cursor in full."""
        yield Charts()
        yield Rows(id="marked", empty=own("Nothing yet: no bake of it was finished."))
        yield Static(id="whole")

    def on_mount(self) -> None:
        """Work it out beside the screen's thread."""
        self._look()

    @work(exclusive=True, exit_on_error=True)
    async def _look(self) -> None:
        self._course = found = await asyncio.to_thread(course, self.formula, self._summaries)
        self._lines = _lines_of(found)
        self.query_one(Charts).course = found
        self.retitle()
        self.query_one("#marked", Rows).show(len(self._lines), self._line)
        self._at(0)
        self.answer("" if not found.series else CROWDED if is_crowded(found, self.size.width) else LEGEND)

    def _line(self, index: int, _width: int) -> Content:
        line = self._lines[index]
        return outside(line.words, most=400).stylize("bold" if line.title else "")

    @on(Rows.Moved, "#marked")
    def _moved(self, event: Rows.Moved) -> None:
        self._at(event.index)

    def _at(self, index: int) -> None:
        charts = self.query_one(Charts)
        if index < len(self._lines):
            charts.wanted = self._lines[index].measure
            lines = wrapped(outside(self._lines[index].words.strip(), most=600), max(10, self.size.width - 2))
            self.query_one("#whole", Static).update(Content("\n").join(lines))
        charts.draw()

    def on_resize(self, event: events.Resize) -> None:
        """The charts have what the list leaves."""
        self.query_one("#marked", Rows).styles.height = max(5, round(event.size.height * LIST_SHARE) - 4)
        self.call_after_refresh(self.query_one(Charts).draw)

    @on(Rows.Chosen, "#marked")
    def _chosen(self, event: Rows.Chosen) -> None:
        bake = self._lines[event.index].bake
        if self._course is not None and bake is not None:
            self.app.push_screen(BakeScreen(self.live, self._course.bakes[bake].summary.bake))


def _lines_of(found: Course) -> list[_Line]:
    """Every measure with its mean in each stretch, and what is marked; what went with points."""
    lines = [_marked(found, one) for one in notices(found)]
    for measure, parts in found.series.items():
        told = findings(found, measure)
        marked = [_marked(found, one) for one in told]
        for stretch, part in zip(found.stretches, parts, strict=True):
            if part.bakes:
                words = f"{TITLES[measure]}, {stretch_words(found, stretch)}, {mean_words(measure, part)}"
                lines.append(_Line(words, measure, title=True))
                lines += [one for one in marked if one.bake is not None and stretch.first <= one.bake <= stretch.last]
    found_looks = looks(found)
    if found_looks:
        lines.append(_Line(TITLE, "points", title=True))
        lines += [_Line(f"  {look_words(look)}", "points") for look in found_looks]
        lines.append(_Line(f"  {SAYS}", "points"))
    return lines


def _marked(found: Course, one: Finding) -> _Line:
    return _Line(f"  {span(found, one.first, one.last)}: {one.words}", one.measure, one.first)
