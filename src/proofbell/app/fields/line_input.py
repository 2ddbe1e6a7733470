"""One line to type or paste into: it keeps what came, and shows nothing of it that a terminal would obey or hide."""

from __future__ import annotations

from collections.abc import Callable

from textual import events

from proofbell.app.terminal.textual_private import MaskedInput
from proofbell.bake.readings import may_become
from proofbell.formula.model import ReadingKind
from proofbell.visible import harmful_places

STANDS_FOR = "\ufffd"
"""In place of a character that is not to be shown: U+FFFD REPLACEMENT CHARACTER, as in the Unicode Standard, 23.8."""


def shown_as(value: str) -> str:
    """What an input shows of its value: one character for each, so that cursor and marks stay where they are."""
    if value.isascii() and value.isprintable():
        return value
    harmful = {index for index, _ in harmful_places(value)}
    return "".join(STANDS_FOR if index in harmful else character for index, character in enumerate(value))


class LineInput(MaskedInput):
    """An input whose value may hold anything; the log needs a note as it was written."""

    def shown(self) -> str:
        """Its value, harmless."""
        return shown_as(self.value)


class FigureInput(LineInput):
    """For a number with its unit. A letter that comes before any digit is none: ``not_a_figure`` has it."""

    not_a_figure: Callable[[str], None] = staticmethod(lambda _letter: None)

    def on_key(self, event: events.Key) -> None:
        low, high = sorted(self.selection)
        before = self.value[:low] + self.value[high:]
        letter = event.character if event.is_printable else None
        if letter is not None and letter.isalpha() and not any(each.isdigit() for each in before):
            event.stop()
            event.prevent_default()
            self.not_a_figure(letter)


class NumberField(LineInput):
    """Takes what can become a number and its unit. Other keys go past it; while deaf, only digits count."""

    what: ReadingKind = "dough temperature"
    deaf: Callable[[], bool] = staticmethod(lambda: False)

    def fits(self, character: str) -> bool:
        """Whether the number can still become one with this character at the cursor."""
        low, high = sorted(self.selection)
        return may_become(self.what, self.value[:low] + character + self.value[high:])

    def check_consume_key(self, key: str, character: str | None) -> bool:
        if character is not None and character.isprintable() and not self.fits(character):
            return False
        return super().check_consume_key(key, character)

    def on_key(self, event: events.Key) -> None:
        """Keep from the line what is not for it."""
        # A digit is no bench key: whoever types one means the reading.
        if self.deaf() and not (event.character or "").isdigit():
            event.stop()
            event.prevent_default()
        elif event.is_printable and event.character is not None and not self.fits(event.character):
            event.prevent_default()
