"""What this kitchen does, by its bakes so far: each habit with its range and from how many bakes."""

from __future__ import annotations

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from proofbell.app.drawing.content import outside, own
from proofbell.app.session.live import Live
from proofbell.app.session.refusal_words import in_words
from proofbell.app.session.saving.journal_access import ask_long
from proofbell.app.widgets.page import Page, titled
from proofbell.app.widgets.rows import Rows, columns
from proofbell.errors import Failure
from proofbell.journal.learning.habits import Learned
from proofbell.journal.learning.recall import habits_in_steps
from proofbell.journal.learning.use import ENOUGH


class LearnedScreen(Page):
    """One habit a line."""

    PAGE = "learned"
    CSS_PATH = "learned_screen.tcss"

    def __init__(self, live: Live) -> None:
        super().__init__()
        self.live = live
        self._found: tuple[Learned, ...] = ()

    def heading(self) -> Content:
        used = "weigh-out and plan use it" if self.live.kitchen.learn else "not used: learning is switched off"
        return titled(f"What {self.live.kitchen.name} does", used)

    def body(self) -> ComposeResult:
        yield Rows(id="habits", empty=own("Reading the journal …"))
        yield Static(id="whole")

    def on_mount(self) -> None:
        self._look()

    @work(exclusive=True, exit_on_error=True)
    async def _look(self) -> None:
        kitchen, rows = self.live.kitchen, self.query_one("#habits", Rows)
        try:
            known = await ask_long(self.live, lambda journal: habits_in_steps(journal, kitchen))
        except Failure as failure:
            rows.say_when_empty(outside(in_words(failure), most=400))
            return
        self._found = known.all()
        rows.show(len(self._found), self._line, head=_head)
        self._whole(0)

    def _line(self, index: int, width: int) -> Content:
        one = self._found[index]
        style = "" if one.bakes >= ENOUGH else "dim"
        cells = [
            (own(one.title, style), 0),
            (own(one.said(one.value), f"bold {style}"), -12),
            (own(f"{one.said(one.low)} to {one.said(one.high)}", style), 26),
            (own(str(one.bakes or "no"), style), -5),
        ]
        return columns(cells, width)

    @on(Rows.Moved, "#habits")
    def _moved(self, event: Rows.Moved) -> None:
        self._whole(event.index)

    def _whole(self, index: int) -> None:
        one = self._found[index]
        use = f"Used from {ENOUGH} bakes on" if one.bakes < ENOUGH else "In use"
        words = f"{one.title}: {one.words} (95 % range). Without bakes: {one.said(one.prior)}. {use}."
        self.query_one("#whole", Static).update(own(words if self.live.kitchen.learn else f"{words} Switched off."))


def _head(width: int) -> Content:
    return columns([(own("habit"), 0), (own("here"), -12), (own("range"), 26), (own("bakes"), -5)], width)
