"""Reads from the journal what its newest bakes show."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from pathlib import Path

from proofbell.formula.model import Formula
from proofbell.journal.faults import JournalFault
from proofbell.journal.index import catch_up
from proofbell.journal.learning.habits import Habits
from proofbell.journal.learning.kept import evidence_from
from proofbell.journal.learning.use import Use, use
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


def recalled(path: Path, kitchen: Kitchen, formula: Formula) -> Use:
    """What to reckon with for a formula, by the journal at ``path``.

    Without a journal, with one that cannot be read, or when the kitchen's ``learn`` is off, nothing is changed: a
    weigh-out must not fail for it.
    """
    return recalled_all(path, kitchen, (formula,))[0]


def recalled_all(path: Path, kitchen: Kitchen, formulas: Sequence[Formula]) -> list[Use]:
    """As :func:`recalled`, for several formulas."""
    if kitchen.learn and path.exists():
        try:
            with Journal.open(path) as journal:
                known = habits(journal, kitchen)
        except (JournalFault, sqlite3.Error):
            pass
        else:
            return [use(known, kitchen, formula) for formula in formulas]
    return [Use(formula, kitchen, formula, None, ()) for formula in formulas]
