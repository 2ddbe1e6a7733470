"""One line to type or paste into: it keeps what came, and shows nothing of it that a terminal would obey or hide."""

from __future__ import annotations

from rich.cells import cell_len, get_character_cell_size
from rich.text import Text
from textual.widgets import Input

from proofbell.visible import harmful_places

STANDS_FOR = "\ufffd"
"""In place of a character that is not to be shown: U+FFFD REPLACEMENT CHARACTER, as in the Unicode Standard, 23.8."""


def shown_as(value: str) -> str:
    """What an input shows of its value: one character for each, so that cursor and marks stay where they are."""
    if value.isascii() and value.isprintable():
        return value
    harmful = {index for index, _ in harmful_places(value)}
    return "".join(STANDS_FOR if index in harmful else character for index, character in enumerate(value))


class LineInput(Input):
    """An input whose value may hold anything; the log needs a note as it was written."""

    @property
    def _value(self) -> Text:
        return Text(shown_as(self.value), no_wrap=True, overflow="ignore", end="")

    def _position_to_cell(self, position: int) -> int:
        return cell_len(shown_as(self.value)[:position])

    def _cell_offset_to_index(self, offset: int) -> int:
        """The character that a click on that cell means."""
        left = offset + self.scroll_offset.x
        shown = shown_as(self.value)
        for index, character in enumerate(shown):
            left -= get_character_cell_size(character)
            if left < 0:
                return index
        return len(shown)
