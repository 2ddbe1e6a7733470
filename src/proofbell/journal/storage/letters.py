"""The letters of the live bakes: each has one of its own, and the file itself holds no letter twice.

The table follows the events, inside the transaction that stores them. A live bake may have no row in it only when an
older journal, which did not know the table, had given its letter twice.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence

from proofbell.bake.events import is_letter
from proofbell.bake.record import Row
from proofbell.journal.faults import LetterTaken
from proofbell.journal.storage.standing import DECIDING, letter_of, live_bakes


def are_moved_by(rows: Sequence[Row]) -> bool:
    """Whether these rows may take a letter or give one back."""
    return any(row.name in DECIDING for row in rows)


def move(connection: sqlite3.Connection, bake: str, before: str | None) -> None:
    """Bring the table up to date with what was just stored of ``bake``, which had the letter ``before``.

    Raises LetterTaken: it would take a letter that another live bake has.
    """
    after = letter_of(connection, bake)
    if after in {before, ""}:
        return
    if after is None:
        _give_back(connection, bake)
        return
    if not is_letter(after):
        _give_back(connection, bake)
        return
    holder = _holder(connection, after)
    if holder not in {None, bake}:
        if letter_of(connection, str(holder)) in {after, ""}:
            raise LetterTaken(bake, after, frozenset(kept(connection)))
        connection.execute("DELETE FROM letters WHERE letter = ?", (after,))
    _give_back(connection, bake)
    connection.execute("INSERT OR REPLACE INTO letters (letter, bake) VALUES (?, ?)", (after, bake))


def kept(connection: sqlite3.Connection) -> dict[str, str]:
    return dict(connection.execute("SELECT letter, bake FROM letters ORDER BY letter").fetchall())


def worked_out(connection: sqlite3.Connection) -> dict[str, str]:
    """Letter to bake, as the events have them; of two that have one letter the earlier opened has it."""
    found: dict[str, str] = {}
    for bake in live_bakes(connection):
        letter = letter_of(connection, bake)
        if letter is not None and is_letter(letter):
            found.setdefault(letter, bake)
    return dict(sorted(found.items()))


def fill(connection: sqlite3.Connection) -> None:
    """Put into the empty table what the events say."""
    connection.executemany("INSERT INTO letters (letter, bake) VALUES (?, ?)", list(worked_out(connection).items()))


def in_use(connection: sqlite3.Connection) -> dict[str, str]:
    """Letter to bake; by the events where the table is not there or cannot be read."""
    try:
        return kept(connection)
    except sqlite3.Error:
        return worked_out(connection)


def _holder(connection: sqlite3.Connection, letter: str) -> str | None:
    row = connection.execute("SELECT bake FROM letters WHERE letter = ?", (letter,)).fetchone()
    return None if row is None else str(row[0])


def _give_back(connection: sqlite3.Connection, bake: str) -> None:
    """Free the letter of ``bake``; a live bake that had to share it has it from now on."""
    row = connection.execute("SELECT letter FROM letters WHERE bake = ?", (bake,)).fetchone()
    if row is None:
        return
    connection.execute("DELETE FROM letters WHERE bake = ?", (bake,))
    placed = set(kept(connection).values())
    for other in live_bakes(connection):
        if other not in placed and other != bake and letter_of(connection, other) == row[0]:
            connection.execute("INSERT INTO letters (letter, bake) VALUES (?, ?)", (row[0], other))
            return
