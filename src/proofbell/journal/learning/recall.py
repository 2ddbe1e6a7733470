"""Reads from the journal what its newest bakes show."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Sequence
from pathlib import Path

from proofbell.bake.fold import fold
from proofbell.bake.steps import ImpossibleError
from proofbell.formula.model import Formula
from proofbell.journal.faults import JournalFault
from proofbell.journal.files.place import is_there
from proofbell.journal.learning.evidence import BakeEvidence, evidence
from proofbell.journal.learning.habits import Habits
from proofbell.journal.learning.kept import evidence_from
from proofbell.journal.learning.use import Use, use
from proofbell.journal.reviews.summary import made_by
from proofbell.journal.storage.lines import passing
from proofbell.journal.storage.store import Journal
from proofbell.journal.storage.writer import Steps, to_the_end
from proofbell.kitchen.model import Kitchen

NEWEST = 120
"""Older bakes are left out: ovens, flours and hands change. Common practice, no source."""


LOOKED_AT = 3 * NEWEST
"""No more bakes than this are looked through for those that show something."""


def habits(journal: Journal, kitchen: Kitchen) -> Habits:
    """What this kitchen does, by its newest bakes; the kitchen's own ``learn`` is asked where it is used."""
    return to_the_end(habits_in_steps(journal, kitchen))


def habits_in_steps(journal: Journal, kitchen: Kitchen) -> Steps[Habits]:
    """As :func:`habits`, in steps of some milliseconds. No other bake needs to be read for it."""
    found: list[BakeEvidence] = []
    for bake in _newest(journal):
        if len(found) == NEWEST:
            break
        shown = _shown(journal, bake)
        if shown is not None and shown.items:
            found.append(shown)
        yield
    return Habits(reversed(found), kitchen)


def _newest(journal: Journal) -> list[str]:
    try:
        opened = journal.connection.execute(
            "SELECT bake FROM events WHERE number = 1 ORDER BY wall_us DESC, bake LIMIT ?", (LOOKED_AT,)
        ).fetchall()
    except (sqlite3.Error, MemoryError) as error:
        if isinstance(error, sqlite3.Error) and (fault := passing(error)):
            raise fault from error
        # Somewhere a page cannot be read: by the order in which they were stored, which is nearly the same.
        return journal.bake_ids()[: -LOOKED_AT - 1 : -1]
    return [bake for (bake,) in opened if isinstance(bake, str)]


def _shown(journal: Journal, bake: str) -> BakeEvidence | None:
    """What one bake shows: as it is kept beside its summary, or by its events when that is not up to date."""
    try:
        kept = journal.connection.execute(
            "SELECT evidence FROM summaries WHERE bake = :bake AND made_by = :made_by "
            "AND upto >= (SELECT max(seq) FROM events WHERE bake = :bake)",
            {"bake": bake, "made_by": made_by()},
        ).fetchone()
        if kept is not None:
            return evidence_from(kept[0]) if kept[0] else None
    except (sqlite3.Error, MemoryError, ValueError, TypeError) as error:
        if isinstance(error, sqlite3.Error) and (fault := passing(error)):
            raise fault from error
        _forget(journal, bake)
    events, problems = journal.read(bake)
    try:
        return None if problems else evidence(fold(events))
    except ImpossibleError:
        return None


def _forget(journal: Journal, bake: str) -> None:
    """Throw away what is kept of a bake, so that it is made again with the list."""
    if not journal.reading_only:
        with contextlib.suppress(sqlite3.Error, MemoryError):
            journal.connection.execute("DELETE FROM summaries WHERE bake = ?", (bake,))


def recalled(path: Path, kitchen: Kitchen, formula: Formula) -> Use:
    """What to reckon with for a formula, by the journal at ``path``.

    Without a journal, with one that cannot be read, or when the kitchen's ``learn`` is off, nothing is changed: a
    weigh-out must not fail for it.
    """
    return recalled_all(path, kitchen, (formula,))[0]


def recalled_all(path: Path, kitchen: Kitchen, formulas: Sequence[Formula]) -> list[Use]:
    """As :func:`recalled`, for several formulas."""
    try:
        if kitchen.learn and is_there(path):
            with Journal.open(path) as journal:
                known = habits(journal, kitchen)
            return [use(known, kitchen, formula) for formula in formulas]
    except (JournalFault, sqlite3.Error):
        pass
    return [Use(formula, kitchen, formula, None, ()) for formula in formulas]
