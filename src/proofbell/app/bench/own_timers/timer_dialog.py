"""A timer of the baker's own: a name and minutes; or the number of one that runs, to stop it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input, Static

from proofbell.app.bench.time_dialog import LengthField
from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.line_input import LineInput
from proofbell.app.fields.typed import typed_length_s
from proofbell.app.widgets.host import HostedModal
from proofbell.bake.asking.timer import LONGEST_S, MOST_NAME, Timer, timer_name, timer_refused
from proofbell.bake.stamp import Stamp
from proofbell.bench.board import Board
from proofbell.quantities import QuantityError
from proofbell.words import countdown

Wanted = tuple[str, float] | Timer
"""A name and a length (s) to set, or one that is to be stopped."""


class TimerDialog(HostedModal[Wanted]):
    """Enter sets it, esc leaves it."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "leave", "leave")]
    DEFAULT_CSS = """
    TimerDialog { align: center middle; }
    TimerDialog .line { height: 1; }
    TimerDialog .label { width: 10; }
    TimerDialog Input { width: 20; }
    TimerDialog .hint { width: 1fr; padding: 0 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._title = ""
        self._runs: Callable[[], Sequence[Timer]] = tuple
        self._listed: tuple[Timer, ...] = ()

    def ask(self, title: str, running: Callable[[], Sequence[Timer]]) -> None:
        """Whose log it goes into, and what runs; before it opens."""
        self._title, self._runs = title, running

    def compose(self) -> ComposeResult:
        """What runs, a line for each answer, what is wrong with it."""
        with Vertical(classes="dialog"):
            yield Static(id="running")
            with Horizontal(classes="line"):
                yield Static(own("Name"), classes="label")
                yield LineInput(id="name", max_length=MOST_NAME, compact=True)
                yield Static(id="hint", classes="hint")
            with Horizontal(classes="line"):
                yield Static(own("Minutes"), classes="label")
                yield LengthField(id="minutes", max_length=20, compact=True)
                yield Static(own("12, 90 s or 1 h 20", "$quiet"), classes="hint")
            yield Static(id="wrong")
            yield Static(own("enter set   tab next line   esc cancel"), classes="keys")

    def on_screen_resume(self) -> None:
        """Empty lines; the numbers stay with the timers that they were given to."""
        self._listed = tuple(self._runs())
        self.query_one(".dialog").border_title = outside(self._title, most=50)
        for field in self.query(Input):
            field.value = ""
        hint = "a number above stops it" if self._listed else "a word or three"
        self.query_one("#hint", Static).update(own(hint, "$quiet"))
        self.query_one("#wrong", Static).update(own(""))
        self.query_one("#name", Input).focus()
        self._show(self.host.live.clock.stamp())

    def moment(self, board: Board, *, lit: bool = False) -> None:  # noqa: ARG002 - as in every screen
        """Count down."""
        self._show(board.now)

    def _show(self, now: Stamp) -> None:
        runs = {timer.id for timer in self._runs()}
        lines = [
            own(f"{number}  ", "bold") + outside(f"{countdown(timer.left_s(now))}  {timer.name}")
            for number, timer in enumerate(self._listed, 1)
            if timer.id in runs
        ]
        running = self.query_one("#running", Static)
        running.display = bool(lines)
        running.update(Content("\n").join(lines))

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        name, typed = self.query_one("#name", Input).value, self.query_one("#minutes", Input).value.strip()
        if not typed:
            stopped = self._numbered(name.strip())
            if stopped is not None:
                self.dismiss(stopped)
            elif event.input.id == "name":
                self.query_one("#minutes", Input).focus()
            else:
                self._tell("Say how many minutes.")
            return
        try:
            length_s = typed_length_s(typed, LONGEST_S) or 0.0
        except QuantityError as error:
            self._tell(str(error))
            return
        refused = timer_refused(timer_name(name), length_s, len(self._runs()))
        if refused is None:
            self.dismiss((name, length_s))
        else:
            self._tell(f"{refused.message} {refused.remedy}".strip())

    def _numbered(self, typed: str) -> Timer | None:
        if typed.isascii() and typed.isdecimal() and 1 <= int(typed) <= len(self._listed):
            return self._listed[int(typed) - 1]
        return None

    def _tell(self, words: str) -> None:
        self.query_one("#wrong", Static).update(outside(words, most=200).stylize("bold $warning"))

    def action_leave(self) -> None:
        """Nothing is set."""
        self.dismiss(None)
