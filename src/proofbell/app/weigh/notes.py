"""The notes below the weigh-out's list: scrolled by page down and page up, and marked where more is out of sight."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content

from proofbell.app.drawing.content import own
from proofbell.app.widgets.prose import Prose

BELOW, ABOVE = "↓ more: page down", "↑ page up"


class Notes(VerticalScroll, can_focus=False):
    """Some paragraphs; the line above them tells by which key the rest of them come."""

    def __init__(self, paragraphs: Sequence[Content]) -> None:
        super().__init__(id="notes")
        self._first = paragraphs

    def compose(self) -> ComposeResult:
        yield Prose(self._first, id="notes-words")

    def say(self, paragraphs: Sequence[Content]) -> None:
        """Other notes, from their top."""
        self.query_one(Prose).say(paragraphs)
        self.scroll_to(y=0, animate=False)
        self.mark()

    def leaf(self, way: int) -> None:
        """One page on, or back; one line of it stays in sight."""
        self.scroll_to(y=self.scroll_target_y + way * max(1, self.size.height - 1), animate=False)
        self.mark()

    def mark(self) -> None:
        """Say what is out of sight, once all is laid out."""
        self.call_after_refresh(self._mark)

    def _mark(self) -> None:
        below, above = self.scroll_target_y < self.max_scroll_y, self.scroll_target_y > 0
        told = "   ".join(word for word in (BELOW if below else "", ABOVE if above else "") if word)
        self.border_title = own(told) if told else None
