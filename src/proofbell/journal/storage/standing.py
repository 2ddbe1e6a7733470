"""Which bakes are on the bench, and by which letters, as the stored events say; read past whatever is damaged."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable

from proofbell.bake.events import BakeOpened, Corrected, LetterGiven
from proofbell.bake.record import Row, from_row
from proofbell.journal.storage.lines import ids, lines_of, passing
from proofbell.plain import PlainError

_DECIDING = frozenset({"bake opened", "bake closed", "corrected", "letter given"})
"""The events that say whether a bake is on the bench, and by which letter."""


def live_bakes(connection: sqlite3.Connection) -> list[str]:
    """The bakes that are not closed, or whose closing was taken back, in the order of opening.

    One of which it cannot be told is among them: better asked about once too often than missing on the bench. Raises
    CannotRead: another program keeps the file busy, or it cannot be reached.
    """
    known = ids(connection)
    try:
        closed = dict(
            connection.execute(
                "SELECT bake, min(number) FROM events INDEXED BY closings WHERE name = 'bake closed' GROUP BY bake"
            ).fetchall()
        )
        corrected = dict(
            connection.execute(
                "SELECT bake, max(number) FROM events INDEXED BY corrections WHERE name = 'corrected' GROUP BY bake"
            ).fetchall()
        )
        doubtful = {bake for bake, number in closed.items() if _is_after(corrected.get(bake), number)}
    except (sqlite3.Error, MemoryError) as error:
        if isinstance(error, sqlite3.Error) and (fault := passing(error)):
            raise fault from error
        # Without the index every log is asked.
        closed = dict.fromkeys(known, 0)
        doubtful = set(known)
    return [
        bake for bake in known if bake not in closed or (bake in doubtful and letter_of(connection, bake) is not None)
    ]


def _is_after(correction: object, closing: object) -> bool:
    if not isinstance(closing, int):
        return True
    return isinstance(correction, int) and correction > closing


def letter_of(connection: sqlite3.Connection, bake: str) -> str | None:
    """The letter by which a bake is on the bench; None when it is closed or unknown, "" when its log does not tell."""
    lines = lines_of(connection, bake)
    if not lines.rows and lines.damage is None:
        return None
    return letter_by(row for row in lines.rows if row.name in _DECIDING)


def letter_by(rows: Iterable[Row]) -> str | None:
    """As :func:`letter_of`, by the rows of its log in order."""
    letter = ""
    closings: set[int] = set()
    undone: set[int] = set()
    for row in rows:
        if row.name == "bake closed":
            closings.add(row.number)
            continue
        try:
            body = from_row(row).body
        except PlainError:
            if row.name == "corrected":
                # It may be the one that took a closing back.
                undone |= closings
            continue
        if isinstance(body, BakeOpened | LetterGiven):
            letter = body.letter
        elif isinstance(body, Corrected) and body.undone:
            undone.update(body.events)
    return None if closings - undone else letter
