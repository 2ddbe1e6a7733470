"""The baker's own timers in the journal: kept until somebody has answered or stopped them, whichever window that is.

A timer has a name of its own, so that handing it in again, or ending it twice, changes nothing.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator

from proofbell.bake.asking.timer import Over, Timer
from proofbell.bake.stamp import Stamp
from proofbell.journal.faults import ReadingOnly
from proofbell.journal.storage.lines import passing
from proofbell.journal.storage.saving import not_saved
from proofbell.journal.storage.schema import transaction
from proofbell.journal.storage.store import Journal

_KINDS = [str, str, int, str, int, int, str, int]


def running(journal: Journal) -> tuple[Timer, ...]:
    """The timers that are not over, in the order in which they were set; a damaged line is left out.

    Raises CannotRead: nothing can be read just now.
    """
    try:
        rows = journal.connection.execute(
            "SELECT id, name, length_us, bake, wall_us, boot_us, boot_id, offset_min FROM timers WHERE over = '' "
            "ORDER BY wall_us, id"
        ).fetchall()
    except sqlite3.Error as error:
        if fault := passing(error):
            raise fault from error
        # An older journal that is open for reading only has no such table; where it is damaged, the bakes go on.
        return ()
    return tuple(
        Timer(row[0], row[1], row[2] / 1_000_000, Stamp(*row[4:]), row[3])
        for row in rows
        if [type(value) for value in row] == _KINDS
    )


def keep(journal: Journal, timer: Timer) -> None:
    """Return once the timer is on the disk. Raises NotSaved: it may be handed in again."""
    at = timer.set_at
    with _saving(journal):
        journal.connection.execute(
            "INSERT OR IGNORE INTO timers VALUES (?, ?, ?, ?, ?, ?, ?, ?, '', NULL)",
            (
                *(timer.id, timer.name, round(timer.length_s * 1_000_000), timer.bake),
                *(at.wall_us, at.boot_us, at.boot_id, at.offset_min),
            ),
        )


def end(journal: Journal, timer: Timer, how: Over, now: Stamp) -> bool:
    """Say that a timer is over; False when somebody else has said so before. Raises NotSaved: it may be said again."""
    with _saving(journal):
        said = journal.connection.execute(
            "UPDATE timers SET over = ?, over_wall_us = ? WHERE id = ? AND over = ''", (how, now.wall_us, timer.id)
        )
        return said.rowcount > 0


@contextlib.contextmanager
def _saving(journal: Journal) -> Iterator[None]:
    if journal.reading_only:
        raise ReadingOnly("not saved: " + journal.reading_only)
    try:
        with transaction(journal.connection):
            yield
    except sqlite3.Error as error:
        raise not_saved(error, journal.path, None) from error
