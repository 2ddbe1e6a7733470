"""A note in the baker's own words."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import Input, Static

from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.line_input import LineInput
from proofbell.app.widgets.host import HostedModal


class NoteDialog(HostedModal[str]):
    """Enter writes it, esc leaves it."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "leave", "leave")]

    def __init__(self) -> None:
        super().__init__()
        self._title = ""

    def ask(self, title: str) -> None:
        """Which bake it is for, before the dialog opens."""
        self._title = title

    def compose(self) -> ComposeResult:
        """One line to type."""
        with Vertical(classes="dialog"):
            yield Static(own("Note for the log"))
            yield LineInput(id="note", max_length=2000, compact=True)
            yield Static(own("enter save   esc cancel"), classes="keys")

    def on_screen_resume(self) -> None:
        """An empty line."""
        self.query_one(".dialog").border_title = outside(self._title, most=50)
        note = self.query_one("#note", Input)
        note.value = ""
        note.focus()

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        self.dismiss(event.value.strip())

    def action_leave(self) -> None:
        """Nothing is written."""
        self.dismiss("")
