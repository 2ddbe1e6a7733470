"""One thread that owns the journal, so that a slow disk never stops the screen.

Jobs run one at a time, in the order they were handed in. A future that is done without an error means: on the disk.
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import TypeVar

from proofbell.journal.store import Journal

T = TypeVar("T")


class JournalThread:
    """Hands jobs to the one thread in which the journal is open."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._threads = ThreadPoolExecutor(max_workers=1, thread_name_prefix="journal")
        self._journal: Journal | None = None
        self._closed = False

    def submit(self, job: Callable[[Journal], T]) -> Future[T]:
        """Run ``job(journal)`` in the journal's thread. The first job opens the journal; its future carries any fault.

        Raises:
            RuntimeError: the thread was closed.
        """
        return self._threads.submit(self._run, job)

    def _run(self, job: Callable[[Journal], T]) -> T:
        if self._journal is None:
            self._journal = Journal.open(self._path)
        return job(self._journal)

    def close(self) -> None:
        """Finish what was handed in, close the journal, end the thread. Closing twice is no fault."""
        if self._closed:
            return
        self._closed = True
        self._threads.submit(self._close)
        self._threads.shutdown(wait=True)

    def _close(self) -> None:
        if self._journal is not None:
            self._journal.close()
            self._journal = None
