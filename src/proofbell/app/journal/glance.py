"""The bake under the list's cursor at a glance: planned over real, readings, changes and why, points, the last note."""

from __future__ import annotations

import asyncio

from textual import work
from textual.content import Content

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.content import outside, own, wrapped
from proofbell.app.drawing.sheet import Sheet
from proofbell.app.journal.bake_drawing import STRIP_LINES, axis_of, draw_readings, draw_strips
from proofbell.app.session.live import Live
from proofbell.app.session.refusal_words import in_words
from proofbell.app.session.saving.journal_access import look_back
from proofbell.errors import Failure
from proofbell.journal.reviews import report
from proofbell.journal.reviews.figures import cores_c
from proofbell.journal.reviews.review import BakeReview
from proofbell.words import temperature

REST_S = 0.15
"""The cursor stands still for so long before the bake under it is read: who leafs through waits for nothing."""

TOLD_LINES, CHART_LINES = 4, 9
LOW, TALL = 20, 32
"""Lines of a terminal below which there is no room for it, and from which on there is for the chart."""


async def rest() -> None:
    """Let the cursor come to rest."""
    await asyncio.sleep(REST_S)


class Glance(Sheet):
    """Read off the screen's thread; empty until the cursor has come to rest."""

    def __init__(self, live: Live) -> None:
        super().__init__(id="glance")
        self._live = live
        self._bake: str | None = None
        self._review: BakeReview | None = None
        self._failed = ""

    def look(self, bake: str | None) -> None:
        """Show this bake as soon as the cursor rests; None: nothing."""
        if bake != self._bake:
            self._bake, self._review, self._failed = bake, None, ""
            self.draw()
        if bake is not None and self.display:
            self._read(bake)

    def fit(self, height: int) -> None:
        """Take what is due to it of a terminal so high."""
        self.display = height >= LOW
        self.styles.height = 1 + STRIP_LINES + TOLD_LINES + (CHART_LINES if height >= TALL else 0)

    @work(exclusive=True, group="glance", exit_on_error=True)
    async def _read(self, bake: str) -> None:
        await rest()
        review, failed = None, ""
        try:
            review = await look_back(self._live, bake)
        except Failure as failure:
            failed = in_words(failure)
        if bake == self._bake:
            self._review, self._failed = review, failed
            self.draw()

    def drawn(self, width: int, height: int) -> Content:
        """Strips, the chart where there is room, and what there is to say."""
        if self._review is None:
            return outside(self._failed, most=300)
        axis = axis_of(self._review, width - 1)
        strips = Canvas(width, STRIP_LINES)
        draw_strips(strips, self._review, axis)
        parts = [strips.content()]
        if height >= STRIP_LINES + TOLD_LINES + CHART_LINES:
            chart = Canvas(width, CHART_LINES)
            draw_readings(chart, self._review, axis)
            parts.append(chart.content())
        return Content("\n").join([*parts, *told(self._review, width)])


def told(review: BakeReview, width: int) -> list[Content]:
    """How warm and how it came out; the last changes of time and their reasons; the last note."""
    warm = (("Dough", _read_c(review, "dough temperature")[:1]), ("Core", cores_c(review.state)[-1:]))
    facts = [f"{name} {temperature(value_c)}" for name, values in warm for value_c in values]
    facts += [
        *report.in_brief(review),
        *(f"{where.lower()} {share}" for where, share in report.losses(review) if share),
    ]
    note = [f"Note: {review.state.notes[-1].text}"] if review.state.notes else []
    room = TOLD_LINES - 1 - len(note)
    changes = [report.change_words(review, change) for change in review.adjustments if change.stands][-room:]
    whole = [line for words in changes for line in wrapped(outside(words, most=300), width)]
    cut = [outside(words, most=300).truncate(width, ellipsis=True) for words in (*changes, *note)]
    first = own(" · ".join(facts), "bold").truncate(width, ellipsis=True)
    return [first, *whole, *cut[len(changes) :]] if len(whole) <= room else [first, *cut]


def _read_c(review: BakeReview, what: str) -> list[float]:
    return [r.value for r in review.state.readings if r.what == what and r.value is not None]
