"""Reads from the journal what its newest bakes show."""

from __future__ import annotations

from proofbell.journal.index import catch_up
from proofbell.journal.learning.habits import Habits
from proofbell.journal.learning.kept import evidence_from
from proofbell.journal.store import Journal
from proofbell.kitchen.model import Kitchen

NEWEST = 120
"""Older bakes are left out: ovens, flours and hands change. Common practice, no source."""


def habits(journal: Journal, kitchen: Kitchen) -> Habits:
    """What this kitchen does, by its newest bakes; the kitchen's own ``learn`` is asked where it is used."""
    catch_up(journal)
    rows = journal.connection.execute(
        "SELECT evidence FROM summaries WHERE evidence <> '' ORDER BY opened_us DESC LIMIT ?", (NEWEST,)
    ).fetchall()
    return Habits((evidence_from(row[0]) for row in reversed(rows)), kitchen)
