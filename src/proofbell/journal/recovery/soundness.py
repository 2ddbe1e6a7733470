"""Whether a file is a journal that can be read to its end."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from proofbell.journal.faults import JournalFault, NotAJournal
from proofbell.journal.recovery.verify import file_problems
from proofbell.journal.storage import schema
from proofbell.journal.storage.opening import connect
from proofbell.journal.storage.store import Journal

_HEADLESS = (
    "SELECT 1 FROM events AS line WHERE NOT EXISTS (SELECT 1 FROM events WHERE bake = line.bake AND number = 1) LIMIT 1"
)


def is_sound(path: Path) -> bool:
    """Whether the journal at ``path`` is there, and can be read to its end.

    Raises NotAJournal: the file belongs to another program.
    """
    if not path.is_file() or path.stat().st_size == 0:
        return False
    _refuse_other_program(path)
    try:
        if file_problems(path):
            return False
        with Journal.open(path, read_only=True) as journal:
            if journal.connection.execute(_HEADLESS).fetchone():
                return False
            return not any(not problem.newer for _, _, problems in journal.each() for problem in problems)
    except (sqlite3.Error, JournalFault, TypeError, ValueError):
        return False


def is_readable(file: Path) -> bool:
    """Whether SQLite can open the file and it has the tables of a journal."""
    try:
        with closing(connect(file)) as connection:
            return schema.version_of(connection) > 0 and not schema.is_empty(connection)
    except (sqlite3.Error, JournalFault):
        return False


def _refuse_other_program(path: Path) -> None:
    try:
        with closing(connect(path)) as connection:
            application = schema.application_of(connection)
            ours = connection.execute("SELECT 1 FROM sqlite_master WHERE name = 'events'").fetchone()
    except sqlite3.Error:
        return
    if application != schema.APPLICATION_ID and ours is None and not (application == 0):
        raise NotAJournal(f"{path} belongs to another program", "name the journal's file with PROOFBELL_JOURNAL")
