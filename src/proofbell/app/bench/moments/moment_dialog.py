"""Where the dough stands and since when, or how long ago a stage ended: short answers at the bench, typed."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, Static

from proofbell.app.bench.time_dialog import LengthField
from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.line_input import LineInput
from proofbell.app.fields.typed import typed_length_s
from proofbell.app.widgets.host import HostedModal
from proofbell.quantities import QuantityError
from proofbell.words import temperature

Take = Callable[[str, float], Awaitable[str]]
"""Takes what was typed of the place (empty: no place was asked for), how long ago it was (s); says what is wrong."""


class MomentDialog(HostedModal[None]):
    """Enter takes what stands there, esc leaves it. What is refused stays, with the reason below it."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "leave", "leave")]
    DEFAULT_CSS = """
    MomentDialog .line { height: 1; }
    MomentDialog .label { width: 14; }
    MomentDialog Input { width: 20; }
    MomentDialog .hint { width: 1fr; padding: 0 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._title = ""
        self._places: tuple[tuple[str, float], ...] = ()
        self._take: Take | None = None
        self._saving = False

    def ask(self, title: str, take: Take, places: Sequence[tuple[str, float]] = ()) -> None:
        """For which bake; with ``places`` (°C) it is asked where the dough stands, too."""
        self._title, self._take, self._places = title, take, tuple(places)

    def compose(self) -> ComposeResult:
        """The places, a line for each answer, what is wrong with it."""
        with Vertical(classes="dialog"):
            yield Static(id="places")
            with Horizontal(classes="line", id="where-line"):
                yield Static(own("It stands in"), classes="label")
                yield LineInput(id="where", max_length=60, compact=True)
                yield Static(own(f"number, name, or {temperature(12.0, 0)}", "$quiet"), classes="hint")
            with Horizontal(classes="line"):
                yield Static(own("How long ago"), classes="label")
                yield LengthField(id="ago", max_length=20, compact=True)
                yield Static(own("20 is minutes; empty: now", "$quiet"), classes="hint")
            yield Static(id="wrong")
            yield Static(own("enter save   tab next line   esc cancel"), classes="keys")

    def on_screen_resume(self) -> None:
        """Empty lines; the first that is asked for has the cursor."""
        self.query_one(".dialog").border_title = outside(self._title, most=50)
        listed = "   ".join(f"{number} {name} {temperature(c, 0)}" for number, (name, c) in enumerate(self._places, 1))
        self.query_one("#places", Static).update(outside(listed, most=400))
        for part in ("#places", "#where-line"):
            self.query_one(part).display = bool(self._places)
        for field in self.query(Input):
            field.value = ""
        self.query_one("#wrong", Static).update(own(""))
        self.query_one("#where" if self._places else "#ago", Input).focus()

    @on(Input.Submitted)
    def _entered(self) -> None:
        where = self.query_one("#where", Input).value.strip()
        if self._places and not where:
            self._tell("Say where it stands: a number from the list, a name, or a temperature.")
            return
        if where.isdigit() and 1 <= int(where) <= len(self._places):
            where = self._places[int(where) - 1][0]
        try:
            ago_s = typed_length_s(self.query_one("#ago", Input).value) or 0.0
        except QuantityError as error:
            self._tell(str(error))
            return
        if self._take is not None and not self._saving:
            self._saving = True
            self.host.in_background(self._taking(self._take, where, ago_s))

    async def _taking(self, take: Take, where: str, ago_s: float) -> None:
        try:
            wrong = await take(where, ago_s)
        finally:
            self._saving = False
        if wrong:
            self._tell(wrong)
        elif self.app.screen is self:
            self.dismiss(None)

    def _tell(self, words: str) -> None:
        self.query_one("#wrong", Static).update(outside(words, most=200).stylize("bold $warning"))

    def action_leave(self) -> None:
        """Nothing is said."""
        self.dismiss(None)
