"""One thread that owns the journal, so that a slow disk never stops the screen.

Jobs run one at a time, in the order they were handed in. A future that is done without an error means: on the disk.
Long work (reading ten thousand bakes, checking or exporting them) is handed in as steps of some milliseconds, which
run only while nobody waits: whatever is to be saved goes between two of them.
"""

from __future__ import annotations

import threading
from collections import deque
from collections.abc import Callable, Generator
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import Any, TypeVar

from proofbell.journal.storage.opening import WAIT_S
from proofbell.journal.storage.store import Journal

T = TypeVar("T")

Steps = Generator[None, None, T]
"""Long work: each ``next`` does a little of it; what it returns is the answer."""

TURN = 25
"""Steps of one long job before another long job has its turn."""


class JournalThread:
    """Hands jobs to the one thread in which the journal is open."""

    def __init__(self, path: Path, *, wait_s: float = WAIT_S) -> None:
        self._path = path
        self._wait_s = wait_s
        self._threads = ThreadPoolExecutor(max_workers=1, thread_name_prefix="journal")
        self._journal: Journal | None = None
        self._closed = False
        self._lock = threading.Lock()
        self._waiting = 0
        self._long: deque[tuple[Steps[Any], Future[Any]]] = deque()
        self.warning = ""
        """What should be known about the journal, once it is open; see ``Journal.warning``."""

    def submit(self, job: Callable[[Journal], T]) -> Future[T]:
        """Run ``job(journal)`` in the journal's thread. The first job opens the journal; its future carries any fault.

        Raises RuntimeError: the thread was closed.
        """
        with self._lock:
            self._waiting += 1
        try:
            answer = self._threads.submit(self._run, job)
        except RuntimeError:
            self._begun()
            raise
        # One that nobody waits for any more never begins.
        answer.add_done_callback(lambda it: self._begun() if it.cancelled() else None)
        return answer

    def submit_long(self, job: Callable[[Journal], Steps[T]]) -> Future[T]:
        """Run a long job step by step, each only when no other job waits. A cancelled future ends it.

        Raises RuntimeError: the thread was closed.
        """
        answer: Future[T] = Future()

        def steps() -> Steps[T]:
            return (yield from job(self._opened()))

        with self._lock:
            self._long.append((steps(), answer))
            first = len(self._long) == 1
        if first:
            self._threads.submit(self._go_on)
        return answer

    def is_wanted(self) -> bool:
        """Whether a job waits for which long work should make room."""
        return self._waiting > 0

    def _opened(self) -> Journal:
        if self._journal is None:
            self._journal = Journal.open(self._path, wait_s=self._wait_s)
        return self._journal

    def forget(self) -> None:
        """Close the file; the next job opens what is at its path then."""
        self._threads.submit(self._close)

    def _begun(self) -> None:
        with self._lock:
            self._waiting -= 1

    def _run(self, job: Callable[[Journal], T]) -> T:
        self._begun()
        try:
            return job(self._opened())
        finally:
            self._look()

    def _look(self) -> None:
        if self._journal is not None:
            self.warning = self._journal.warning

    def _go_on(self) -> None:
        """Do some steps of the next long job, then put it back in the queue."""
        steps, answer = self._long[0]
        over = False
        for done in range(TURN):
            if self._closed or answer.cancelled():
                answer.cancel()
                steps.close()
                over = True
            elif done and self.is_wanted():
                break
            else:
                over = _one(steps, answer)
            if over:
                break
        self._look()
        with self._lock:
            self._long.popleft()
            if not over:
                self._long.append((steps, answer))
            more = bool(self._long)
        if more and not self._closed:
            self._again()

    def _again(self) -> None:
        try:
            self._threads.submit(self._go_on)
        except RuntimeError:
            # Closed a moment ago.
            self._leave_off()

    def _leave_off(self) -> None:
        while self._long:
            steps, answer = self._long.popleft()
            answer.cancel()
            steps.close()

    def close(self) -> None:
        """Finish the jobs that were handed in, leave off long ones, close the journal. Closing twice is no fault."""
        if self._closed:
            return
        self._closed = True
        self._threads.submit(self._close)
        self._threads.shutdown(wait=True)

    def _close(self) -> None:
        self._leave_off()
        if self._journal is not None:
            self._journal.close()
            self._journal = None


def _one(steps: Steps[T], answer: Future[T]) -> bool:
    """Do one step of a long job. True when it was the last."""
    try:
        next(steps)
    except StopIteration as end:
        if answer.set_running_or_notify_cancel():
            answer.set_result(end.value)
    except BaseException as error:  # noqa: BLE001 - it belongs to whoever waits for the answer
        if answer.set_running_or_notify_cancel():
            answer.set_exception(error)
    else:
        return False
    return True


def to_the_end(steps: Steps[T]) -> T:
    """Do long work in one go, where nothing else is waiting."""
    while True:
        try:
            next(steps)
        except StopIteration as end:
            answer: T = end.value
            return answer
