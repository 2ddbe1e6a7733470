"""Paragraphs to be read: a number stays with its unit, and what runs over is set in below its first line."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.geometry import Size
from textual.widgets import Static

from proofbell.app.drawing.content import own, wrapped

SET_IN = 2


class Prose(Static):
    """Some paragraphs, wrapped anew whenever the width changes. Blanks before a paragraph set all of it in."""

    def __init__(self, paragraphs: Sequence[Content] = (), *, id: str | None = None) -> None:  # noqa: A002 - as in every widget
        super().__init__(id=id)
        self._paragraphs = tuple(paragraphs)

    def say(self, paragraphs: Sequence[Content]) -> None:
        self._paragraphs = tuple(paragraphs)
        self._fill()

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """As many lines as it takes at that width, whatever was drawn before: nothing of it is cut."""
        if not self._paragraphs:
            return super().get_content_height(container, viewport, width)
        return sum(len(set_in(paragraph, max(1, width))) for paragraph in self._paragraphs)

    def on_resize(self) -> None:
        self._fill()

    def _fill(self) -> None:
        width = self.content_size.width
        if width:
            lines = [line for paragraph in self._paragraphs for line in set_in(paragraph, width)]
            self.update(Content("\n").join(lines))


def set_in(paragraph: Content, width: int) -> list[Content]:
    """One paragraph in lines of at most ``width`` cells; the later ones two cells further in."""
    indent = len(paragraph.plain) - len(paragraph.plain.lstrip(" "))
    body = paragraph[indent:]
    first = (wrapped(body, max(1, width - indent)) or [Content("")])[0]
    rest = body[len(first.plain) :]
    rest = rest[len(rest.plain) - len(rest.plain.lstrip(" ")) :]
    later = wrapped(rest, max(1, width - indent - SET_IN)) if rest.plain else []
    return [own(" " * indent) + first, *(own(" " * (indent + SET_IN)) + part for part in later)]
