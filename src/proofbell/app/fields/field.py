"""One line to type into, with its name before it and what is wrong with it on lines of its own below."""

from __future__ import annotations

from typing import Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Input, Static

from proofbell.app.drawing.content import outside, own
from proofbell.app.fields.line_input import FigureInput, LineInput
from proofbell.app.fields.typed import quantity
from proofbell.errors import Failure
from proofbell.quantities import Dimension, QuantityError
from proofbell.visible import visible

NAME_WIDE = 12
"""Cells for a field's name, and one between it and the edge."""


class Field(Vertical):
    """A name, an input between brackets, so that its edges are seen without colour, and room for a word on it.

    ``held`` is the value that holds while it is empty, ``hint`` a mere example. ``enter`` and ``tab`` say on the
    key row what those keys do here. A ``passing`` field is there only while it is used: `ask` shows it, esc puts it
    away. A ``figure`` takes numbers with their unit. Esc is an action of the screen, ``leave_field``.
    """

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "screen.leave_field", "out of the field", show=False)]

    DEFAULT_CSS = """
    Field {
        height: auto;
        & > .field--line { height: 1; }
        & .field--name { width: 13; }
        & .field--edge { width: 1; }
        & Input { width: 14; border: none; height: 1; padding: 0; background: $panel; }
        & Input:focus { background: $primary 30%; }
        & Input:focus:ansi { background: ansi_default; text-style: underline; }
        & .field--note { width: 1fr; padding: 0 1; color: $text-muted; text-wrap: nowrap; text-overflow: ellipsis; }
        & > .field--fault { display: none; height: auto; padding: 0 1; color: $text-error; text-style: bold; }
        &.-wrong > .field--fault { display: block; }
        & Input>.input--placeholder { color: $quiet; text-style: italic; }
        &.-holds Input>.input--placeholder { color: $foreground; text-style: none; }
        &:focus-within .field--name, &:focus-within .field--edge { text-style: bold; }
    }
    """

    def __init__(
        self,
        name: str,
        *,
        id: str,  # noqa: A002 - as in every widget
        value: str = "",
        hint: str = "",
        held: str = "",
        note: str = "",
        width: int = 14,
        enter: str = "next field",
        tab: str = "",
        passing: bool = False,
        figure: bool = False,
    ) -> None:
        super().__init__(id=f"{id}-field")
        self._words = name
        self._note = note
        self.enter = enter
        self.tab = tab
        self.passing = passing
        self.display = not passing
        self.set_class(bool(held), "-holds")
        self.input = (FigureInput if figure else LineInput)(
            value=value, placeholder=visible(held or hint), id=id, compact=True, select_on_focus=True, max_length=500
        )
        self.input.styles.width = width

    def compose(self) -> ComposeResult:
        with Horizontal(classes="field--line"):
            yield Static(self._label(), classes="field--name")
            yield Static(own("["), classes="field--edge")
            yield self.input
            yield Static(own("]"), classes="field--edge")
            yield Static(own(self._note), classes="field--note")
        yield Static(classes="field--fault")

    @property
    def text(self) -> str:
        return self.input.value

    @property
    def called(self) -> str:
        return self._words

    def ask(self, value: str | None = None, words: str | None = None) -> None:
        """Show it and type into it: what it had, or ``value``; with a word behind it."""
        self.display = True
        if value is not None:
            self.input.value = value
        if words is not None:
            self.say(words)
        # At once, not by way of the message queue: keys may be under way already.
        self.screen.set_focus(self.input)

    @property
    def leaving(self) -> str:
        """What the esc key does here, for the key row."""
        return "put it away" if self.passing else "out of the field"

    def call_it(self, words: str) -> None:
        """Give it another name; one that is typed into a file may be too long for its place."""
        self._words = words
        if self.is_mounted:
            self.query_one(".field--name", Static).update(self._label())

    def _label(self) -> Content:
        return outside(self._words).truncate(NAME_WIDE, ellipsis=True)

    def holds(self, words: str, note: str) -> None:
        """Show the value that holds while nothing is typed, and in ``note`` whose it is."""
        self.input.placeholder = visible(words)
        self.add_class("-holds")
        self.say(note)
        self._tell_what_holds(self.text)

    def example(self, words: str) -> None:
        """Show what could be typed; nothing holds while it is empty."""
        self.input.placeholder = visible(f"such as {words}") if words else ""
        self.remove_class("-holds")
        self.say("")

    def quantity(self, dimension: Dimension, least: float, most: float) -> float | None:
        """What is typed as °C, g, s and so on; raises QuantityError where it is none, and says it here."""
        try:
            value = quantity(self.text, dimension, least, most)
        except QuantityError as error:
            self.refuse(error)
            raise
        self.wrong("")
        return value

    def refuse(self, error: Failure | QuantityError) -> None:
        """Say why what was typed cannot be, and how to put it right."""
        self.wrong(f"{error.message} {error.remedy}".strip())

    def wrong(self, words: str) -> None:
        """Say what is wrong with what was typed; nothing when it is right."""
        if bool(words) != self.has_class("-wrong"):
            self.set_class(bool(words), "-wrong")
            # The fault may come to stand below what is in sight.
            self.call_after_refresh(self.scroll_visible, animate=False)
        self.query_one(".field--fault", Static).update(outside(f"✗ {words}" if words else "", most=500))

    def say(self, words: str) -> None:
        """A quiet word behind the input."""
        self._note = words
        if self.is_mounted:
            self.query_one(".field--note", Static).update(outside(words))
            self.wrong("")

    @on(Input.Changed)
    def _held_no_more(self, event: Input.Changed) -> None:
        """What is typed takes the place of what held; the note must not go on speaking of that."""
        self._tell_what_holds(event.value)

    def _tell_what_holds(self, typed: str) -> None:
        if self.has_class("-holds") and self.is_mounted:
            other = typed.strip() not in ("", self.input.placeholder)
            note = f"instead of {self.input.placeholder}" if other else self._note
            self.query_one(".field--note", Static).update(outside(note))


def field_with_focus(screen: Screen[Any]) -> Field | None:
    """The field that is typed into now, if any."""
    focused = screen.focused
    return None if focused is None else next((one for one in focused.ancestors if isinstance(one, Field)), None)
