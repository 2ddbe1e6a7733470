"""The tables of the journal, step by step from an empty file to today's version.

Step N takes a file from version N to N + 1, inside one transaction. Steps already released are never changed.
``events`` is append-only, by triggers. ``summaries`` can be made again from it at any time. ``liveness`` is one row
that says when the program last looked.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Callable, Iterator, Sequence

APPLICATION_ID = 0x50724265
"""Marks the file as a journal of this program (the letters PrBe)."""

Step = Callable[[sqlite3.Connection], None]

_TABLES = (
    """
    CREATE TABLE events (
        seq INTEGER PRIMARY KEY,
        id TEXT NOT NULL UNIQUE,
        bake TEXT NOT NULL,
        number INTEGER NOT NULL CHECK (number >= 1),
        decision INTEGER NOT NULL CHECK (decision BETWEEN 1 AND number),
        wall_us INTEGER NOT NULL,
        boot_us INTEGER NOT NULL,
        boot_id TEXT NOT NULL,
        offset_min INTEGER NOT NULL,
        name TEXT NOT NULL,
        schema INTEGER NOT NULL CHECK (schema >= 1),
        body TEXT NOT NULL,
        digest TEXT NOT NULL,
        UNIQUE (bake, number)
    ) STRICT
    """,
    # Which bakes are not closed is asked at every start; these keep the answer quick.
    "CREATE INDEX openings ON events (bake) WHERE number = 1",
    "CREATE INDEX closings ON events (bake, number) WHERE name = 'bake closed'",
    "CREATE INDEX corrections ON events (bake, number) WHERE name = 'corrected'",
    """
    CREATE TRIGGER events_are_never_changed BEFORE UPDATE ON events
    BEGIN SELECT RAISE(ABORT, 'the journal is append-only: an event is never changed'); END
    """,
    """
    CREATE TRIGGER events_are_never_removed BEFORE DELETE ON events
    BEGIN SELECT RAISE(ABORT, 'the journal is append-only: an event is never removed'); END
    """,
    # Also stops INSERT OR REPLACE from a tool that has recursive triggers switched off.
    """
    CREATE TRIGGER events_come_in_order BEFORE INSERT ON events
    WHEN NEW.number <> 1 + coalesce((SELECT max(number) FROM events WHERE bake = NEW.bake), 0)
        OR EXISTS (SELECT 1 FROM events WHERE id = NEW.id)
        OR EXISTS (SELECT 1 FROM events WHERE seq = NEW.seq)
    BEGIN SELECT RAISE(ABORT, 'the journal is append-only: this number or id is taken, or one is left out'); END
    """,
    """
    CREATE TABLE summaries (
        bake TEXT PRIMARY KEY,
        upto INTEGER NOT NULL,
        made_by INTEGER NOT NULL,
        opened_us INTEGER NOT NULL,
        body TEXT NOT NULL,
        evidence TEXT NOT NULL
    ) STRICT, WITHOUT ROWID
    """,
    "CREATE INDEX summaries_upto ON summaries (upto)",
    "CREATE INDEX summaries_opened ON summaries (opened_us) WHERE evidence <> ''",
    """
    CREATE TABLE liveness (
        one INTEGER PRIMARY KEY CHECK (one = 1),
        wall_us INTEGER NOT NULL,
        boot_us INTEGER NOT NULL,
        boot_id TEXT NOT NULL,
        offset_min INTEGER NOT NULL
    ) STRICT
    """,
)

TRIGGERS = ("events_are_never_changed", "events_are_never_removed", "events_come_in_order")
"""The safeguards that every journal must have; one that lacks them is opened for reading only."""


def first_tables(connection: sqlite3.Connection) -> None:
    """From an empty file to version 1."""
    for statement in _TABLES:
        connection.execute(statement)


STEPS: Sequence[Step] = (first_tables,)


def migrate(connection: sqlite3.Connection, steps: Sequence[Step] = STEPS) -> None:
    """Bring the file to the newest version, all of it or nothing.

    Another program may have done it a moment before: the version is read again inside the transaction, and is
    written last.
    """
    with transaction(connection):
        version = version_of(connection)
        for step in steps[version:]:
            step(connection)
        if version < len(steps):
            connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            connection.execute(f"PRAGMA user_version = {len(steps)}")


@contextlib.contextmanager
def transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """All of the block or nothing. It takes the right to write at once: a later upgrade could be refused half-way."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        with contextlib.suppress(sqlite3.Error):
            if connection.in_transaction:
                connection.execute("ROLLBACK")
        raise


def version_of(connection: sqlite3.Connection) -> int:
    """The version of the tables in this file; 0 when it has none yet."""
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def application_of(connection: sqlite3.Connection) -> int:
    """The mark of the program that made this file; 0 when none did."""
    return int(connection.execute("PRAGMA application_id").fetchone()[0])


def is_empty(connection: sqlite3.Connection) -> bool:
    """Whether nothing has been put into this file yet."""
    return connection.execute("SELECT 1 FROM sqlite_master LIMIT 1").fetchone() is None


def missing_triggers(connection: sqlite3.Connection) -> tuple[str, ...]:
    """The safeguards that somebody took away."""
    there = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")}
    return tuple(name for name in TRIGGERS if name not in there)
