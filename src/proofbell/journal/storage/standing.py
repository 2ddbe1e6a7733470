"""Which bakes are on the bench, and by which letters, as the stored events say; read past whatever is damaged."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable

from proofbell.bake.events import BakeOpened, Corrected, LetterGiven
from proofbell.bake.record import Row, from_row
from proofbell.journal.storage.lines import HIGHEST_SEQ, ids, lines_of, passing
from proofbell.plain import PlainError

DECIDING = frozenset({"bake opened", "bake closed", "corrected", "letter given"})
"""The events that say whether a bake is on the bench, and by which letter."""

# By the small indexes alone: of ten thousand bakes nearly all are closed.
_CLOSED = "FROM events AS closing INDEXED BY closings WHERE name = 'bake closed' AND closing.bake"
_FIRST = f"coalesce((SELECT min(seq) FROM events WHERE bake = found.bake), {HIGHEST_SEQ})"  # noqa: S608 - no outside text
_NOT_CLOSED = f"""
    SELECT bake, seq FROM events AS found INDEXED BY openings
    WHERE number = 1 AND NOT EXISTS (SELECT 1 {_CLOSED} = found.bake)
"""  # noqa: S608 - no outside text
# Closed and corrected later; or known by its letter alone, because its first line is lost.
_DOUBTFUL = f"""
    SELECT bake, {_FIRST} FROM (
        SELECT bake, max(number) AS number FROM events INDEXED BY corrections WHERE name = 'corrected' GROUP BY bake
    ) AS found WHERE number > (SELECT min(number) {_CLOSED} = found.bake)
    UNION SELECT bake, {_FIRST} FROM letters AS found
"""  # noqa: S608 - no outside text


def live_bakes(connection: sqlite3.Connection) -> list[str]:
    """The bakes that are not closed, or whose closing was taken back, in the order of opening.

    One of which it cannot be told is among them: better asked about once too often than missing on the bench. Raises
    CannotRead: another program keeps the file busy, or it cannot be reached.
    """
    try:
        found = dict(connection.execute(_NOT_CLOSED).fetchall())
        doubtful = dict(connection.execute(_DOUBTFUL).fetchall())
    except (sqlite3.Error, MemoryError) as error:
        if isinstance(error, sqlite3.Error) and (fault := passing(error)):
            raise fault from error
        # Without these indexes and letters every log is asked.
        return [bake for bake in ids(connection) if letter_of(connection, bake) is not None]
    for bake in doubtful.keys() - found.keys():
        if letter_of(connection, bake) is not None:
            found[bake] = doubtful[bake]
    return sorted((bake for bake in found if isinstance(bake, str)), key=lambda bake: found[bake])


def letter_of(connection: sqlite3.Connection, bake: str) -> str | None:
    """The letter by which a bake is on the bench; None when it is closed or unknown, "" when its log does not tell."""
    lines = lines_of(connection, bake)
    if not lines.rows and lines.damage is None:
        return None
    return letter_by(row for row in lines.rows if row.name in DECIDING)


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
