"""One line that takes bakes away into a file, and asks before one is replaced."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from textual import on, work
from textual.message import Message
from textual.widgets import Input

from proofbell.app.field import Field
from proofbell.app.live import Live
from proofbell.app.looking_back import export
from proofbell.formula.fault import Refusal
from proofbell.journal.copying import AlreadyThere

HOW = "enter writes it; .md, .csv, .json or .svg (a picture)"


class ExportLine(Field):
    """Hidden until it is opened."""

    class Closed(Message):
        """It is over; ``words`` say what was written, or nothing."""

        def __init__(self, words: str) -> None:
            super().__init__()
            self.words = words

    def __init__(self, live: Live) -> None:
        super().__init__("Export to", id="export", width=36, note=HOW, enter="write it", passing=True)
        self.live = live
        self._bakes: tuple[str, ...] = ()
        self._asked: Path | None = None

    def on_mount(self) -> None:
        """Not yet."""
        self.display = False

    def open(self, bakes: Sequence[str], stem: str) -> None:
        """Ask where to."""
        self._bakes, self._asked = tuple(bakes), None
        self.display = True
        self.input.value = f"{stem}.md"
        self.say(HOW)
        self.input.focus()

    def close(self, words: str = "") -> None:
        """Put it away."""
        self.display = False
        self.post_message(self.Closed(words))

    @on(Input.Changed)
    def _changed(self, event: Input.Changed) -> None:
        event.stop()
        if self._asked is not None:
            self._asked = None
            self.say(HOW)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        self._write(event.value.strip())

    @work(exclusive=True, exit_on_error=True)
    async def _write(self, typed: str) -> None:
        if not typed:
            self.close()
            return
        path = Path(typed).expanduser()
        try:
            await export(self.live, self._bakes, path, overwrite=self._asked == path)
        except AlreadyThere:
            self._asked = path
            self.wrong("is there already: enter again replaces it, esc leaves it")
        except Refusal as refusal:
            self.wrong(f"{refusal.message} {refusal.remedy}".strip())
        else:
            self.close(f"Written: {path.absolute()}")
