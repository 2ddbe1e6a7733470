"""All that stands wrong, each with how it is put right; and a way to write down what only memory holds."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from pathlib import Path
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.widgets import Static

from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.file_line import FileLine
from proofbell.app.session.troubles import Trouble
from proofbell.app.widgets.host import HostedModal
from proofbell.app.widgets.prose import Prose

KEYS = "esc back"
KEYS_UNSAVED = "w write what is known to another file   esc back"

Write = Callable[[Path], Awaitable[str]]
"""Writes every bake that is known to a file; returns what was written, in words."""


class KnownLine(FileLine):
    """Writes what memory holds into a journal of its own."""

    def __init__(self) -> None:
        super().__init__("Write to", id="known", how="a new file")
        self.write: Write | None = None

    async def take_away(self, path: Path, said: Callable[[int, int], None], *, overwrite: bool) -> str:  # noqa: ARG002 - quick
        return "" if self.write is None else await self.write(path)


class TroubleDialog(HostedModal[None]):
    """Lists the troubles. One instance is used again and again."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape,enter,space,q", "back", "back"), ("w", "write", "write")]
    AUTO_FOCUS: ClassVar[str | None] = ""

    DEFAULT_CSS = """
    TroubleDialog { align: center middle; }
    TroubleDialog > VerticalScroll {
        width: 76; max-width: 98%; height: auto; max-height: 96%; background: $surface; border: round $error;
        padding: 0 1;
    }
    TroubleDialog Static { height: auto; }
    TroubleDialog .keys { color: $text-muted; margin-top: 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._troubles: tuple[Trouble, ...] = ()
        self._write: Write | None = None
        self._suggested = ""

    def show(self, troubles: Sequence[Trouble], write: Write | None, suggested: str) -> None:
        """What to list, before it opens. ``write`` is there while anything is unsaved; ``suggested`` is where to."""
        self._troubles, self._write, self._suggested = tuple(troubles), write, suggested

    def compose(self) -> ComposeResult:
        with VerticalScroll(can_focus=False):
            yield Prose(id="troubles")
            yield KnownLine()
            yield Static(id="written")
            yield Static(classes="keys")

    def on_screen_resume(self) -> None:
        self.query_one(VerticalScroll).border_title = own("What is wrong" if self._troubles else "Nothing is wrong")
        lines = [outside(trouble.text, most=600) for trouble in self._troubles] or [own("All is well.")]
        self.query_one(Prose).say([line for words in lines for line in (words, own(""))][:-1])
        self.query_one(KnownLine).write = self._write
        self.query_one("#written", Static).update(own(""))
        self.query_one(".keys", Static).update(own(KEYS_UNSAVED if self._write else KEYS))

    def action_write(self) -> None:
        if self._write is not None:
            self.query_one(KnownLine).show(self._suggested)

    @on(FileLine.Closed)
    def _written(self, event: FileLine.Closed) -> None:
        self.query_one("#written", Static).update(outside(event.words, most=400))
        self.set_focus(None)

    def action_leave_field(self) -> None:
        """Esc on the line: put it away."""
        self.set_focus(None)
        self.query_one(KnownLine).close()

    def action_back(self) -> None:
        """Back; what was only to be read is read."""
        self.dismiss(None)
