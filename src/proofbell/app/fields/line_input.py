"""One line to type or paste into: it keeps what came, and shows nothing of it that a terminal would obey or hide."""

from __future__ import annotations

from proofbell.app.terminal.textual_private import MaskedInput
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
