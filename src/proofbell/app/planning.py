"""The planner beside the screen: a sound plan at once, better ones as they come, in a thread of its own.

Each new question ends the search under way. The thread gives way to the screen between its steps, so that no key
and no frame waits for it.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from queue import SimpleQueue

from proofbell.bench.model import Plan, Problem, Times
from proofbell.bench.search import improve
from proofbell.clock import running_s

BETTER_FOR_S = 6.0
"""Looking for better plans ends after so long: what is found by then is good, and the fan stays quiet."""

GIVE_WAY_S = 0.0005


class Planning:
    """Asks for plans and hands them on, newest question first."""

    def __init__(self, tell: Callable[[int, Plan], None]) -> None:
        """``tell(question, plan)`` is called in the planner's thread, once for each better plan."""
        self._tell = tell
        self._asked: SimpleQueue[tuple[int, Problem, tuple[Times, ...] | None] | None] = SimpleQueue()
        self._newest = 0
        self._thread: threading.Thread | None = None

    def ask(self, problem: Problem, start: tuple[Times, ...] | None = None) -> int:
        """Ask for a plan, perhaps from a timetable to start with; returns the question's number."""
        self._newest += 1
        if self._thread is None:
            self._thread = threading.Thread(target=self._run, name="planner", daemon=True)
            self._thread.start()
        self._asked.put((self._newest, problem, start))
        return self._newest

    def close(self) -> None:
        """End the thread."""
        self._newest += 1
        self._asked.put(None)

    def _run(self) -> None:
        while (asked := self._asked.get()) is not None:
            number, problem, start = asked
            if number != self._newest:
                continue
            until = running_s() + BETTER_FOR_S
            for plan in improve(problem, start, self._stopper(number, until)):
                if number != self._newest:
                    break
                self._tell(number, plan)

    def _stopper(self, number: int, until: float) -> Callable[[], bool]:
        def should_stop() -> bool:
            time.sleep(GIVE_WAY_S)
            return number != self._newest or running_s() > until

        return should_stop
