"""The line for a formula's path: tab completes it, and what it might become stands below."""

from __future__ import annotations

import contextlib
import threading
from typing import ClassVar

from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Input, Static
from textual.worker import Worker, WorkerError

from proofbell.app.drawing.content import outside
from proofbell.app.fields.field import Field
from proofbell.app.fields.path_completion import Completion, listed, look
from proofbell.app.in_time import in_time
from proofbell.app.session.refusal_words import in_words
from proofbell.errors import Failure

PATIENCE_S = 3.0
"""So long a folder may take; a share that has gone away would never answer."""


class PathField(Field):
    """A field whose tab key completes. What was typed meanwhile is never written over."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("tab", "complete", "complete", show=False)]

    DEFAULT_CSS = """
    PathField > .path--names { display: none; height: auto; max-height: 4; padding: 0 1 0 14; color: $text-muted; }
    PathField.-choice > .path--names { display: block; }
    """

    def __init__(self, name: str, *, id: str, hint: str) -> None:  # noqa: A002 - as in every widget
        super().__init__(id=id, name=name, width=48, hint=hint, enter="open it", tab="complete", passing=True)
        self._looking: Worker[None] | None = None

    def compose(self) -> ComposeResult:
        yield from super().compose()
        yield Static(classes="path--names")

    async def looked(self) -> None:
        """Whatever is being completed is done: enter may come right behind tab."""
        if self._looking is not None:
            with contextlib.suppress(WorkerError):
                await self._looking.wait()

    def action_complete(self) -> None:
        """Complete what stands before the cursor, if that is all there is."""
        self._looking = self._complete(self.text)

    @on(Input.Changed)
    def _other(self) -> None:
        self._offer(())
        self.wrong("")

    def _offer(self, names: tuple[str, ...]) -> None:
        self.set_class(bool(names), "-choice")
        words = Content("   ").join(outside(name.replace(" ", "\u00a0")) for name in listed(names))
        self.query_one(".path--names", Static).update(words)

    @work(exclusive=True, exit_on_error=True)
    async def _complete(self, typed: str) -> None:
        left_off = threading.Event()
        words = ""
        found = Completion(typed)
        try:
            found = await in_time(lambda: look(typed, lambda: not left_off.is_set()), PATIENCE_S)
        except Failure as failure:
            words = in_words(failure)
        except TimeoutError:
            words = "that folder does not answer; type the whole path"
        finally:
            left_off.set()
        if self.text != typed:
            return
        if found.text != typed:
            with self.prevent(Input.Changed):
                self.input.value = found.text
            self.input.cursor_position = len(found.text)
        self._offer(found.names)
        self.wrong(words)
