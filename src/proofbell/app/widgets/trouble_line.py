"""What stands wrong, on lines of its own under the title of every page: what rings is never covered by it."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from proofbell.app.drawing.content import outside, own, wrapped
from proofbell.app.drawing.sheet import Sheet
from proofbell.app.session.troubles import Trouble

MOST_LINES = 3
"""Lines of the screen that it takes at the most; all of it stands under its key."""


class TroubleLine(Sheet):
    """Draws the gravest trouble whole where it can, and the key where there is more to read, or something to do."""

    DEFAULT_CSS = """
    TroubleLine { height: 1; padding: 0 1; background: $error; color: $background; text-style: bold; display: none; }
    TroubleLine:ansi { background: ansi_default; color: ansi_default; text-style: bold reverse; }
    TroubleLine.-shown { display: block; }
    """

    def __init__(self, *, most_lines: int = MOST_LINES) -> None:
        super().__init__()
        self._most_lines = most_lines
        self._troubles: tuple[Trouble, ...] = ()
        self._key = "!"

    def show(self, troubles: Sequence[Trouble], key: str) -> int:
        """Show these from now on; ``key`` opens all of them. Returns how many lines that takes."""
        self._troubles, self._key = tuple(troubles), key
        self.set_class(bool(troubles), "-shown")
        lines = len(self._lines(max(1, self.app.size.width - 2))) if troubles else 0
        if lines and (self.styles.height is None or self.styles.height.value != lines):
            self.styles.height = lines
        self.draw()
        return lines

    def drawn(self, width: int, height: int) -> Content:
        return Content("\n").join(self._lines(width)[:height])

    def _lines(self, width: int) -> list[Content]:
        if not self._troubles:
            return []
        more = len(self._troubles) - 1
        lines = wrapped(outside(f"{self._troubles[0].sign} {self._troubles[0].text}", most=600), width)
        cut = len(lines) > self._most_lines
        lines = lines[: self._most_lines]
        behind = f"all {more + 1}" if more else "more" if cut else self._troubles[0].deed
        if not behind:
            return lines
        foot = own(f"   {self._key} {behind}")
        room = max(1, width - foot.cell_length)
        last = lines[-1]
        if cut or last.cell_length > room:
            if not cut and len(lines) < self._most_lines:
                return [*lines, foot]
            last = last.truncate(room - 2, ellipsis=False) + own(" …")
        lines[-1] = last + foot
        return lines
