"""What is in a journal after it was cut off, beside what its baker was told."""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Sequence
from pathlib import Path

from proofbell.bake.events import Event
from proofbell.bake.stamp import Stamp
from proofbell.bake.steps import ImpossibleError
from proofbell.journal.faults import JournalFault
from proofbell.journal.storage.store import Journal
from tests.faults.baker import decision, live_states

Said = tuple[str, ...]
"""Events by their ids and digests: so no other may stand in for one."""

FAULTS = (AssertionError, JournalFault, ImpossibleError, sqlite3.Error, UnicodeDecodeError)
"""What ``look`` raises when something is wrong; the last comes from sqlite3 when it tells of a damaged name."""


def said(events: Sequence[Event]) -> Said:
    """These events, as they are compared."""
    return tuple(f"{event.id}:{event.digest}" for event in events)


def stored(journal: Journal) -> list[Event]:
    """Every event in the order in which it was stored, digests checked."""
    events = {event.id: event for bake in journal.bake_ids() for event in journal.events_of(bake)}
    ids = [row[0] for row in journal.connection.execute("SELECT id FROM events ORDER BY seq").fetchall()]
    assert sorted(events) == sorted(ids), "the table and its indexes differ"
    return [events[one] for one in ids]


def look(path: Path, before: Said, asked: Sequence[Said], acknowledged: int, now: Stamp) -> int:
    """Open the journal as the next start does, and go on with it; how many decisions more than acknowledged are there.

    ``before`` was there already, then ``asked`` was handed in, one decision after the other, and so many of those
    were acknowledged.

    Raises:
        FAULTS: something is lost, half there or out of order, or the bakes cannot be gone on with.
    """
    with Journal.open(path) as journal:
        assert not journal.reading_only, "it is open for reading only"
        events = stored(journal)
        found = said(events)
        for decisions in range(acknowledged, len(asked) + 1):
            if found == before + sum(asked[:decisions], ()):
                break
        else:
            owed = {*before, *sum(asked[:acknowledged], ())}
            raise AssertionError("acknowledged events are lost" if owed - {*found} else "half a decision is there")
        assert journal.connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)], "SQLite finds it damaged"
        more, last = decision(random.Random(len(found)), live_states(journal), now)
        journal.append(more, last)
        assert stored(journal) == [*events, *more], "it cannot be gone on with"
    return decisions - acknowledged
