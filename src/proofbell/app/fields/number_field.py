"""The field of a reading: takes what can become a number and its unit, and lets other keys go past."""

from __future__ import annotations

from collections.abc import Callable

from textual import events

from proofbell.app.fields.line_input import LineInput
from proofbell.bake.readings import may_become
from proofbell.formula.model import ReadingKind


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
