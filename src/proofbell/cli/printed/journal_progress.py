"""How far a command is that takes long, on standard error: nothing of it gets into what is printed."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator
from types import TracebackType
from typing import Self, TypeVar

from proofbell.cli.printed.printing import remark

T = TypeVar("T")

LONG = 500
"""With fewer bakes to go nothing is said: it is done before it could be read."""

EVERY = 50


class Progress:
    """A context manager. In a terminal one line counts; elsewhere one line says what is being done, once."""

    def __init__(self, what: str) -> None:
        self._what = what
        self._said = False
        self._counts = sys.stderr.isatty()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._said and self._counts:
            remark("\r\x1b[K", end="")

    def tell(self, done: int, of: int) -> None:
        """So many of so many are done."""
        if not self._said and of - done < LONG:
            return
        if self._counts:
            remark(f"\r{self._what}: {done:,} of {of:,} bakes", end="")
        elif not self._said:
            remark(f"proofbell: {self._what}: {of - done:,} bakes to go")
        self._said = True

    def through(self, items: Iterable[T], of: int) -> Iterator[T]:
        """Pass the items on and show how many of ``of`` are done."""
        for done, item in enumerate(items):
            if done % EVERY == 0:
                self.tell(done, of)
            yield item


FIRST_TIME = "reading the journal for the first time"
