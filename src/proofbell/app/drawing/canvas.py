"""A few lines of cells to draw on: each with its own style, wide and combining characters kept whole."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.cells import get_character_cell_size

if TYPE_CHECKING:
    from textual.content import Content, Span


class Canvas:
    """``width`` × ``height`` cells. What is drawn outside is lost; a wide character that would be halved is a blank."""

    def __init__(self, width: int, height: int = 1) -> None:
        self.width = max(0, width)
        self.height = max(0, height)
        self._cells = [[" "] * self.width for _ in range(self.height)]
        self._styles = [[""] * self.width for _ in range(self.height)]

    def put(self, x: int, y: int, text: str, style: str = "") -> int:
        """Draw text from a cell on; returns the column after it."""
        for character in text:
            size = get_character_cell_size(character)
            if size == 0:
                if 0 < x <= self.width and 0 <= y < self.height:
                    self._cells[y][x - 1 if self._cells[y][x - 1] else x - 2] += character
                continue
            self._cell(x, y, character, size, style)
            x += size
        return x

    def _cell(self, x: int, y: int, character: str, size: int, style: str) -> None:
        if not (0 <= y < self.height and x >= 0 and x + size <= self.width):
            return
        for column in range(x, x + size):
            self._clear(column, y)
        self._cells[y][x] = character
        self._styles[y][x] = style
        if size == 2:
            self._cells[y][x + 1] = ""
            self._styles[y][x + 1] = style

    def _clear(self, x: int, y: int) -> None:
        """Leave no half of a wide character behind."""
        row = self._cells[y]
        if row[x] == "" and x > 0:
            row[x - 1] = " "
        if x + 1 < self.width and row[x + 1] == "":
            row[x + 1] = " "

    def fill(self, x: int, y: int, count: int, character: str, style: str = "") -> None:
        self.put(x, y, character * max(0, count), style)

    def at(self, x: int, y: int) -> str:
        """What stands in a cell; empty behind a wide character and outside."""
        return self._cells[y][x] if 0 <= x < self.width and 0 <= y < self.height else ""

    def plain(self, y: int) -> str:
        """One line without its styles."""
        return "".join(self._cells[y]).rstrip()

    def line(self, y: int) -> Content:
        """One line, runs of one style joined."""
        # A command that prints plain lines is not to wait for the screens' library.
        from textual.content import Content, Span

        cells, styles = self._cells[y], self._styles[y]
        spans: list[Span] = []
        at = begin = 0
        for x in range(self.width + 1):
            if x == self.width or (x and styles[x] != styles[x - 1]):
                if x and styles[x - 1]:
                    spans.append(Span(begin, at, styles[x - 1]))
                begin = at
            if x < self.width:
                at += len(cells[x])
        return Content("".join(cells), spans=spans)

    def content(self) -> Content:
        from textual.content import Content

        return Content("\n").join(self.line(y) for y in range(self.height))
