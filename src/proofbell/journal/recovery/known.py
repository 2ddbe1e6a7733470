"""A journal written from memory: what a bench knows of its bakes, when its own file cannot be written."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Sequence
from pathlib import Path

from proofbell.bake.events import Event
from proofbell.journal.faults import CannotOpen, JournalFault
from proofbell.journal.files.ballast import give_up
from proofbell.journal.files.copying import AlreadyThere
from proofbell.journal.recovery.merge import to_add
from proofbell.journal.storage.lines import lines_of
from proofbell.journal.storage.opening import connect
from proofbell.journal.storage.store import Journal


def holds_all_of(journal: Journal, file: Path) -> bool:
    """Whether every line of another journal is in this one. False where that cannot be told."""
    there = journal.connection
    try:
        with contextlib.closing(connect(file)) as other:
            ids = other.execute("SELECT id, bake FROM events").fetchall()
            found = "SELECT 1 FROM events WHERE id = ?"
            lacking = {bake for one, bake in ids if not there.execute(found, (one,)).fetchone()}
            # What was put behind other events has other numbers there, and other ids.
            return all(to_add(journal, lines_of(other, bake).rows) == () for bake in lacking)
    except (sqlite3.Error, JournalFault):
        return False


def write_known(path: Path, bakes: Sequence[Sequence[Event]]) -> None:
    """Make a sound journal at ``path`` that holds these bakes, each with all its events.

    Raises:
        AlreadyThere: something is at ``path``.
        JournalFault: it cannot be written there; nothing is left behind.
    """
    if path.exists():
        raise AlreadyThere(path)
    if not path.parent.is_dir():
        raise CannotOpen(f"there is no folder {path.parent}", "make it, or choose another place")
    try:
        with Journal.open(path) as journal:
            for events in bakes:
                journal.complete(events)
            _tidy(journal)
        # A file to be carried home needs no room to grow.
        give_up(path)
    except BaseException:
        for leftover in (path, path.with_name(path.name + "-journal")):
            with contextlib.suppress(OSError):
                leftover.unlink()
        give_up(path)
        raise


def _tidy(journal: Journal) -> None:
    """Take SQLite's own empty file away: TRUNCATE keeps it for the next time, of which there is none here.

    Going over to DELETE removes it ("PRAGMA journal_mode", sqlite.org/pragma.html); whoever opens the file again goes
    back. What was written is on the disk already, whatever comes of this.
    """
    with contextlib.suppress(sqlite3.Error):
        journal.connection.execute("PRAGMA journal_mode = DELETE")
