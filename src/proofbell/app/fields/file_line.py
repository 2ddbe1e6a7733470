"""One line that takes something away into a file: it says how far it is, and asks before a file is replaced."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path

from textual import on, work
from textual.message import Message
from textual.widgets import Input

from proofbell.app.fields.field import Field
from proofbell.app.session.refusal_words import in_words
from proofbell.errors import Failure
from proofbell.journal.files.copying import AlreadyThere
from proofbell.places import path_to_write


class FileLine(Field):
    """Hidden until it is opened. Esc puts it away, also while it writes: nothing is left behind then."""

    class Closed(Message):
        """It is over; ``words`` say what was written, or nothing."""

        def __init__(self, words: str) -> None:
            super().__init__()
            self.words = words

    def __init__(self, name: str, *, id: str, how: str) -> None:  # noqa: A002 - as in every widget
        super().__init__(name, id=id, width=36, note=how, enter="write it", passing=True)
        self._how = how
        self._asked: Path | None = None
        self._busy = False

    async def take_away(self, path: Path, said: Callable[[int, int], None], *, overwrite: bool) -> str:
        """Write the file; returns what came of it. ``said`` may be told how many are done, of how many.

        Raises AlreadyThere: the file is there and may not be replaced; Failure: it cannot be written.
        """
        raise NotImplementedError

    def show(self, name: str) -> None:
        self._asked = None
        self.ask(name, self._how)

    def close(self, words: str = "") -> None:
        """Put it away; what is being written is left off."""
        if self._busy:
            self.workers.cancel_node(self)
            words = words or "Stopped; nothing was written."
        self._busy = False
        self.display = False
        self.post_message(self.Closed(words))

    @on(Input.Changed)
    def _changed(self, event: Input.Changed) -> None:
        event.stop()
        if self._asked is not None:
            self._asked = None
            self.say(self._how)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        if not self._busy:
            self._write(event.value.strip())

    def _far(self, done: int, of: int) -> None:
        if self._busy and of > 1:
            self.say(f"{done:,} of {of:,} … esc stops it")

    @work(exclusive=True, exit_on_error=True)
    async def _write(self, typed: str) -> None:
        if not typed:
            self.wrong("type a name for the file; esc closes this line")
            return
        self._busy = True
        path: Path | None = None
        try:
            path = await asyncio.to_thread(path_to_write, typed)
            words = await self.take_away(path, self._far, overwrite=self._asked == path)
        except AlreadyThere:
            self._busy = False
            self._asked = path
            self.wrong("already exists: enter again replaces it, esc cancels")
        except Failure as failure:
            self._busy = False
            self.wrong(in_words(failure))
        else:
            self._busy = False
            self.close(words)
