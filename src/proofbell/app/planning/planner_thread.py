"""The planner beside the screen: a sound plan at once, better ones as they come, in a thread of its own.

Each new question ends the search under way. The thread gives way to the screen between its steps, so that no key
and no frame waits for it; ``tests/benchmarks/keys_while_planning.py`` measures that.
"""

from __future__ import annotations

import math
import sys
import threading
import time
from collections.abc import Callable, Iterator
from queue import SimpleQueue

from proofbell.clock import running_s
from proofbell.planner.plan import Plan
from proofbell.planner.solver.branch_and_bound import Stop

BETTER_FOR_S = 15.0
"""Looking for better plans ends after so long: what is found by then is good, and the fan stays quiet."""

STALE_FOR_S = 3.0
"""It ends sooner when so long nothing better was found, unless something will be late."""

TAKE_TURNS_S = 0.001
"""The longest that the screen's thread waits for its turn when it has something to do."""

AT_WORK_S = 0.001
GIVE_WAY_S = 0.0005
"""After so long at work the planner's thread sleeps for so long."""

BUSY_S = 0.0014
STAND_BACK_S = 0.015
"""If waking took longer than this, the screen is at work: the planner stands back until it is done."""

Looking = Callable[[Stop], Iterator[Plan]]
"""A search that asks between its steps whether to stop, such as ``improve`` or ``replan`` with a question."""


def better_plans(
    look: Looking, wanted: Callable[[], bool], better_for_s: float | None = None, *, counted: bool = False
) -> Iterator[Plan]:
    """The plans of a search, for as long as they are wanted and time is not up. For a thread beside the screen's.

    ``counted``: the search counts its own steps, and no clock ends it: it comes to the same plan in every window.
    """
    sys.setswitchinterval(TAKE_TURNS_S)
    better_s = rested_s = running_s()
    until_s = better_s + (BETTER_FOR_S if better_for_s is None else better_for_s)
    stale_for_s = STALE_FOR_S

    def should_stop() -> bool:
        nonlocal rested_s
        now_s = running_s()
        if now_s - rested_s > AT_WORK_S:
            rested_s = give_way(now_s)
        return (not counted and now_s > min(until_s, better_s + stale_for_s)) or not wanted()

    for plan in look(should_stop):
        if not wanted():
            return
        better_s = running_s()
        stale_for_s = math.inf if plan.cost.late_s or plan.cost.violation_s else STALE_FOR_S
        yield plan


def give_way(now_s: float) -> float:
    """Let the screen's thread do what it has to do; returns the moment after that."""
    asked_s = GIVE_WAY_S
    while True:
        time.sleep(asked_s)
        woke_s = running_s()
        if woke_s - now_s < asked_s + BUSY_S - GIVE_WAY_S:
            return woke_s
        now_s, asked_s = woke_s, STAND_BACK_S


class Planning:
    """Asks for plans and hands them on, newest question first."""

    def __init__(
        self,
        tell: Callable[[int, Plan], None],
        rested: Callable[[int], None],
        failed: Callable[[int, Exception], None],
    ) -> None:
        """All are called in the planner's thread.

        ``tell(question, plan)`` for each better plan; ``rested(question)`` when nothing better will follow;
        ``failed(question, fault)`` when the planner broke down over it. It takes the next question all the same.
        """
        self._tell = tell
        self._rested = rested
        self._failed = failed
        self._asked: SimpleQueue[tuple[int, Looking] | None] = SimpleQueue()
        self._newest = 0
        self._thread: threading.Thread | None = None

    def ask(self, look: Looking) -> int:
        """Ask for plans; returns the question's number."""
        self._newest += 1
        if self._thread is None:
            self._thread = threading.Thread(target=self._run, name="planner", daemon=True)
            self._thread.start()
        self._asked.put((self._newest, look))
        return self._newest

    def close(self) -> None:
        """End the thread."""
        self._newest += 1
        self._asked.put(None)

    def _run(self) -> None:
        while (asked := self._asked.get()) is not None:
            number, look = asked
            try:
                for plan in better_plans(look, lambda number=number: number == self._newest, counted=True):  # type: ignore[misc]
                    self._tell(number, plan)
            except Exception as fault:  # noqa: BLE001 - whatever it is, the doughs on the bench go on
                self._failed(number, fault)
                continue
            if number == self._newest:
                self._rested(number)
