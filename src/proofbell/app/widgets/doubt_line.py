"""The line that stands over a page until somebody has said how long the power was off."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from proofbell.app.drawing.content import own
from proofbell.app.drawing.sheet import Sheet
from proofbell.app.session.time_in_doubt import asked, doubt_words
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState


class DoubtLine(Sheet):
    """One line that is there only while it has something to say."""

    DEFAULT_CSS = """
    DoubtLine { height: 1; padding: 0 1; display: none; background: $panel; }
    DoubtLine.-shown { display: block; }
    DoubtLine.-doubt { background: $warning 30%; text-style: bold; }
    DoubtLine.-doubt:ansi { background: ansi_default; text-style: bold reverse; }
    """

    def __init__(self, *, where: str = "") -> None:
        super().__init__()
        self._where = where
        self._words: tuple[str, ...] = ()
        self._key = ""

    def show(self, words: Sequence[str], key: str = "") -> None:
        """Ever fewer words; ``key`` answers them, when there is something to answer, here or ``where`` it says."""
        self._words, self._key = tuple(words), key
        self.set_class(bool(words and key), "-doubt")
        if self.has_class("-shown") != bool(words):
            self.set_class(bool(words), "-shown")
            self.call_after_refresh(self.draw)  # It has no size before.
        self.draw()

    def drawn(self, width: int, height: int) -> Content:  # noqa: ARG002 - one line
        if not self._words:
            return Content("")
        answer = own(f"   {self._key} answer {self._where}".rstrip(), "bold") if self._key else own("")
        words = [own(f"? {one}" if self._key else one) for one in self._words]
        room = max(1, width - answer.cell_length)
        fits = next((one for one in words if one.cell_length <= room), words[-1])
        return fits.truncate(room, ellipsis=True) + answer

    def tell(self, states: Sequence[BakeState], now: Stamp, key: str) -> None:
        """Say which times are in doubt, while any are; ``key`` answers that."""
        found = asked([state for state in states if state.closed is None], now)
        self.show(() if found is None else doubt_words(found.outage), key)
