"""What all doughs of the plan need together, and what leaves the fridge when."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from proofbell import words
from proofbell.app.drawing.content import outside, own
from proofbell.app.session.live import Live
from proofbell.app.session.local_time import hour_minute, wall
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.prose import set_in
from proofbell.app.widgets.rows import columns
from proofbell.bake.weigh.shopping import Row, sections, shopping
from proofbell.bake.weigh.weigh_out import WeighOut
from proofbell.bench.out_of_fridge import Dough, notes, out_of_fridge, out_rows
from proofbell.formula.model import Formula
from proofbell.words import counted

AMOUNT, DOUGH = 9, 26
MOMENT = 9
"""Columns."""


class ShopScreen(Page):
    """A list to read; ``timed`` are the doughs of a plan that is there."""

    PAGE = "shop"
    CSS_PATH = "shop_screen.tcss"
    AUTO_FOCUS = "#list"

    def __init__(self, live: Live, doughs: Sequence[tuple[Formula, WeighOut]], timed: Sequence[Dough]) -> None:
        super().__init__()
        self.live = live
        self._doughs = len(doughs)
        self._sections = sections(shopping(doughs))
        self._outs = out_of_fridge(timed)
        self._timed = bool(timed)

    def heading(self) -> Content:
        return titled("Needed in all", counted(self._doughs, "dough"))

    def body(self) -> ComposeResult:
        with VerticalScroll(id="list"):
            yield Static(id="lines")

    def on_resize(self) -> None:
        """Another width, other lines."""
        width = self.query_one("#list", VerticalScroll).scrollable_content_region.width or self.size.width
        self.query_one("#lines", Static).update(Content("\n").join(self._lines(width - 2)))

    def _lines(self, width: int) -> Iterator[Content]:
        for section in self._sections:
            yield own(section.head, "bold")
            for row in section.rows:
                yield _row(row, width)
            yield own("")
        yield own("Out of the fridge", "bold")
        if not self._timed:
            yield own("  when: once there is a plan")
            return
        now = self.live.clock.stamp()
        rows = out_rows(self._outs, lambda at: words.hour_minute(wall(at, now)), now.wall_us)
        if not rows:
            yield own("  nothing")
        for at_us, letter, told in rows:
            first, *more = set_in(outside(told, most=300), max(20, width - MOMENT - 5))
            yield own(f"{hour_minute(at_us, now):>{MOMENT}}  {letter}  ") + first
            for line in more:
                yield own(" " * (MOMENT + 5)) + line
        for told in notes(self._outs, self.live.kitchen):
            yield own("")
            yield from set_in(own(told, "dim"), width)


def _row(row: Row, width: int) -> Content:
    cells = [(own(row.amount), -AMOUNT), (outside(row.name), 0)]
    if row.dough:
        cells.append((outside(row.dough).stylize("dim"), min(DOUGH, width // 3)))
    return columns(cells, width)
