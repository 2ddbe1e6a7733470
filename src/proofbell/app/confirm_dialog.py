"""One question, yes or no. The one instance is used again and again."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from proofbell.app.content import outside, own


class ConfirmDialog(ModalScreen[bool]):
    """Enter or y says yes; esc or n says no. A click on the words does the same."""

    BINDINGS: ClassVar[list[BindingType]] = [
        ("enter,y,space", "answer(True)", "yes"),
        ("escape,n", "answer(False)", "no"),
    ]
    AUTO_FOCUS: ClassVar[str | None] = ""

    def __init__(self) -> None:
        super().__init__()
        self._title, self._words = "", ""

    def ask(self, title: str, words: str) -> None:
        """What to ask, before the dialog opens."""
        self._title, self._words = title, words

    def compose(self) -> ComposeResult:
        """Question and keys."""
        with Vertical(classes="dialog"):
            yield Static(id="question")
            yield Static(own("enter yes   esc no"), classes="keys")

    def on_screen_resume(self) -> None:
        """Fill in the question."""
        self.query_one(".dialog").border_title = outside(self._title, most=50)
        self.query_one("#question", Static).update(outside(self._words, most=300))

    def action_answer(self, yes: bool) -> None:  # noqa: FBT001 - what an action is handed
        """Answer and close."""
        self.dismiss(yes)
