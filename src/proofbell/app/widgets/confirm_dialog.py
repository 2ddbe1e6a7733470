"""One question, yes or no. The one instance is used again and again."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import Static

from proofbell.app.drawing.content import outside, own
from proofbell.app.widgets.host import TROUBLE_KEY, Host, HostedModal
from proofbell.bench.board import Board

Words = str | Callable[[], str]
"""A question; one with minutes in it is worded anew each second."""


class ConfirmDialog(HostedModal[bool]):
    """Enter or y says yes; esc or n says no. Space never does: it is the bench's key for what is done next.

    After a digit enter says nothing: it was meant for a reading that is not open.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        ("enter", "enter", "yes"),
        ("y", "answer(True)", "yes"),
        ("escape,n", "answer(False)", "no"),
        TROUBLE_KEY,
    ]
    AUTO_FOCUS: ClassVar[str | None] = ""

    def __init__(self) -> None:
        super().__init__()
        self._title, self._shown, self._number = "", "", False
        self._words: Words = ""
        self._still: Callable[[], bool] = lambda: True

    def ask(self, title: str, words: Words, still: Callable[[], bool]) -> None:
        """What to ask, and for how long it is a question; before the dialog opens."""
        self._title, self._words, self._still = title, words, still

    def compose(self) -> ComposeResult:
        with Vertical(classes="dialog"):
            yield Static(id="question")
            yield Static(id="keys", classes="keys")

    def on_screen_resume(self) -> None:
        self.query_one(".dialog").border_title = outside(self._title, most=50)
        self._shown = ""
        self._take_number(typed=False)
        self._say()

    def _say(self) -> None:
        words = self._words if isinstance(self._words, str) else self._words()
        if words != self._shown:
            self._shown = words
            self.query_one("#question", Static).update(outside(words, most=600))

    def moment(self, board: Board, *, lit: bool = False) -> None:  # noqa: ARG002 - only whether it is a question still
        """What was answered elsewhere is asked no more; minutes in the question go on."""
        if not self.is_current:
            return
        if self._still():
            self._say()
        else:
            self.dismiss(result=False)

    def action_trouble(self) -> None:
        """All that stands wrong, in place of the question: what is done there may make it another."""
        self.dismiss(result=False)
        super().action_trouble()

    def on_key(self, event: events.Key) -> None:
        """A digit is no answer, and what follows it is none either."""
        if event.character is not None and event.character in "0123456789":
            event.stop()
            self._take_number(typed=True)

    def _take_number(self, *, typed: bool) -> None:
        self._number = typed
        keys = "y yes   esc no: a number is no answer here" if typed else "enter yes   esc no"
        self.query_one("#keys", Static).update(own(keys))

    def action_enter(self) -> None:
        if not self._number:
            self.dismiss(result=True)

    def action_answer(self, yes: bool) -> None:  # noqa: FBT001 - what an action is handed
        self.dismiss(yes)


def ask_first(
    host: Host, title: str, words: Words, then: Callable[[], object], still: Callable[[], bool] = lambda: True
) -> bool:
    """Ask yes or no; ``then`` is called on yes. The question goes by itself when it is ``still`` no more.

    Returns:
        Whether it is asked: not while another question is.
    """
    if host.is_open(ConfirmDialog):
        return False
    dialog = host.dialog(ConfirmDialog)
    dialog.ask(title, words, still)

    def closed(yes: bool | None) -> None:  # noqa: FBT001 - what a dialog answers
        if yes:
            then()

    host.go(dialog, closed)
    return True
