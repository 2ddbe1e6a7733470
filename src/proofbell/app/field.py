"""One line to type into, with its name before it and what is wrong with it behind."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Input, Static

from proofbell.app.content import outside, own


class Field(Horizontal):
    """A name, an input and room for a word on what was typed."""

    DEFAULT_CSS = """
    Field {
        height: 1;
        & > .field--name { width: 13; }
        & > Input { width: 14; border: none; height: 1; padding: 0 1; background: $panel; }
        & > Input:focus { background: $primary 30%; }
        & > .field--note { width: 1fr; padding: 0 1; color: $text-muted; text-wrap: nowrap; text-overflow: ellipsis; }
        & > .field--note.-wrong { color: $text-error; text-style: bold; text-wrap: wrap; }
        &.-wrong { height: auto; max-height: 2; }
    }
    """

    def __init__(self, name: str, *, id: str, value: str = "", hint: str = "", note: str = "", width: int = 14) -> None:  # noqa: A002 - as in every widget
        super().__init__(id=f"{id}-field")
        self._words = name
        self._note = note
        self.input = Input(value=value, placeholder=hint, id=id, compact=True, select_on_focus=True, max_length=500)
        self.input.styles.width = width

    def compose(self) -> ComposeResult:
        """Name, input, note."""
        yield Static(own(self._words), classes="field--name")
        yield self.input
        yield Static(own(self._note), classes="field--note")

    @property
    def text(self) -> str:
        """What stands in it."""
        return self.input.value

    def wrong(self, words: str) -> None:
        """Say what is wrong with what was typed; nothing when it is right."""
        note = self.query_one(".field--note", Static)
        note.set_class(bool(words), "-wrong")
        self.set_class(bool(words), "-wrong")
        note.update(outside(f"✗ {words}" if words else self._note))

    def say(self, words: str) -> None:
        """A quiet word behind the input."""
        self._note = words
        self.wrong("")
