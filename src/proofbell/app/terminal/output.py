"""Standard error as the writer's thread uses it."""

from __future__ import annotations

import contextlib
import threading
from typing import IO


class Output:
    """What cannot be written is dropped. ``titled``: the window's title is ours at present.

    The writer's queue is bounded: if its thread ended with the first fault, whoever writes next would wait for ever.
    """

    def __init__(self, file: IO[str]) -> None:
        self._file = file
        self._shut = False
        self.titled = False
        self.lent = False
        """Another program has the terminal: what the screens paint meanwhile is dropped before it comes here."""
        self._one_at_a_time = threading.Lock()

    def write(self, text: str) -> int:
        with self._one_at_a_time, contextlib.suppress(OSError, ValueError):
            if not self._shut:
                self._file.write(text)
        return len(text)

    def flush(self) -> None:
        with self._one_at_a_time, contextlib.suppress(OSError, ValueError):
            if not self._shut:
                self._file.flush()

    def fileno(self) -> int:
        return self._file.fileno()

    @property
    def is_shut(self) -> bool:
        """Whether everything is dropped."""
        return self._shut

    def shut(self) -> None:
        """Drop everything from now on; waits a moment for what is being written."""
        self._shut = True
        if self._one_at_a_time.acquire(timeout=0.2):
            self._one_at_a_time.release()
