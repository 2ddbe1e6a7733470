"""Says something to a bake straight from the journal, for whoever has no bench open: decide, store, and try again.

Others say things to the same bake at the same time. Whoever comes second decides anew on what is there then.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.decisions.still_meant import still_meant
from proofbell.bake.events import Event
from proofbell.bake.fold import fold
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.clock import Retry
from proofbell.frozen import dataclass
from proofbell.journal.faults import KeptBusy, StaleDecision
from proofbell.journal.storage.store import Journal

T = TypeVar("T")

CHANGED_ELSEWHERE = Refused("Somebody else has changed this bake meanwhile.", "Look at it as it is now, then say it.")

WAIT_S = 2.0
"""How long SQLite itself waits for another program, before one waits for a time of chance length instead."""


@dataclass(frozen=True, slots=True)
class Said:
    """What was said is on the disk: the bake after it, and the events of the decision."""

    state: BakeState
    events: tuple[Event, ...]


def say(
    journal: Journal,
    bake: str,
    intent: Intent,
    now: Callable[[], Stamp],
    retry: Retry,
    *,
    seen: BakeState | None = None,
) -> Said | Refused:
    """Decide and store; when somebody else was first or keeps the file busy, decide anew for as long as ``retry`` says.

    ``seen``: what it is said of. Where the bake has moved on so that it would mean another thing, it is refused.

    Raises:
        StaleDecision, KeptBusy: others were first until there was no time left; nothing is stored.
        JournalFault: it cannot be read or stored, for another reason.
        ImpossibleError: the bake's events make no sense.
    """

    def once() -> Said | Refused:
        state = fold(journal.events_of(bake))
        if seen is not None and state.last != seen.last and not still_meant(seen, state, intent):
            return CHANGED_ELSEWHERE
        decision = decide(state, intent, now())
        if isinstance(decision, Refused):
            return decision
        journal.append(decision, state.last.number)
        return Said(decided(state, decision), decision)

    return patiently(once, retry)


def opened(path: Path, retry: Retry) -> Journal:
    """Open the journal, also where many do so at once. Raises CannotOpen, NotAJournal: as `Journal.open`."""
    return patiently(lambda: Journal.open(path, wait_s=WAIT_S), retry)


def patiently(job: Callable[[], T], retry: Retry) -> T:
    """Do a job again and again while nothing but other programs is in its way."""
    while True:
        try:
            return job()
        except (StaleDecision, KeptBusy):
            if not retry.again():
                raise
