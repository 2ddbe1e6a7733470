"""The log of one bake: stages planned and actual, readings and what they were before, changes, notes, events."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.content import Content

from proofbell.app.bench.log_lines import LogLine, log_lines
from proofbell.app.drawing.content import outside, own, wrapped
from proofbell.app.session.live import Live
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.rows import MARK, Rows
from proofbell.bake.weigh.ways_words import batch_words
from proofbell.bench.board import Board


class BakeLog(Page):
    """One line for each thing; a reading under the cursor can be corrected."""

    PAGE: ClassVar[str] = "log"

    def __init__(self, live: Live, bake: str) -> None:
        super().__init__()
        self.live = live
        self.bake = bake
        self._lines: tuple[tuple[Content, LogLine], ...] = ()

    def heading(self) -> Content:
        """Letter, name, size, and how it ended."""
        state = self.live.state(self.bake)
        if state is None:
            return own("The log")
        ended = f" · {state.closed.outcome}" if state.closed else ""
        return titled(f"{state.letter}  {state.formula.name}", f"{batch_words(state.batch)}{ended}")

    def body(self) -> ComposeResult:
        """The lines."""
        yield Rows(id="log", empty=own("Nothing has happened yet."))

    def on_mount(self) -> None:
        """Fill in once the width is known."""
        self.call_after_refresh(self._fill)

    def on_screen_resume(self) -> None:
        """After a correction."""
        self._fill()

    def moment(self, board: Board, *, lit: bool = False) -> None:
        """What was added meanwhile."""
        super().moment(board, lit=lit)
        state = self.live.state(self.bake)
        if state is not None and len(state.events) != self._shown:
            self._fill()

    _shown = 0

    def _fill(self) -> None:
        state = self.live.state(self.bake)
        rows = self.query_one("#log", Rows)
        if state is None or rows.size.width <= 0:
            return
        self._shown = len(state.events)
        width = rows.size.width - len(MARK) - 1
        lines = log_lines(state, self.live.clock.stamp())
        self._lines = tuple((shown, line) for line in lines for shown in _shown(line, width))
        readings = [at for at, (_, line) in enumerate(self._lines) if line.reading is not None]
        first = readings[-1] if readings else 0
        opened = not rows.count
        cursor = first if opened else rows.cursor
        rows.show(len(self._lines), lambda index, _width: self._lines[index][0], cursor=cursor)
        if opened and len(self._lines) - cursor < rows.size.height:
            # What came after the last reading is seen too.
            self.call_after_refresh(rows.scroll_end, animate=False)

    def on_resize(self) -> None:
        """Another width wraps elsewhere."""
        self.call_after_refresh(self._fill)

    def on_rows_chosen(self) -> None:
        """Enter on a line."""
        self.action_correct()

    def action_correct(self) -> None:
        """Correct the reading under the cursor."""
        rows, state = self.query_one("#log", Rows), self.live.state(self.bake)
        number = self._lines[rows.cursor][1].reading if self._lines else None
        reading = None if state is None else next((r for r in state.readings if r.number == number), None)
        if reading is None:
            self.answer("Move to a reading to correct it.", wrong=True)
            return

        def closed(answer: str | None) -> None:
            if answer:
                self.answer(answer)

        self.host.read(self.bake, closed, corrects=reading)


def _shown(line: LogLine, width: int) -> list[Content]:
    """One entry as lines of at most this width; what goes on stands below its words."""
    room = max(10, width - len(line.head))
    words = wrapped(outside(line.words, most=2000), room) if line.words else [Content("")]
    first = (own(line.head) + words[0]).stylize(line.style)
    return [first, *((own(" " * len(line.head)) + rest).stylize(line.style) for rest in words[1:])]
