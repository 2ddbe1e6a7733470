"""The tables of the journal, step by step from an empty file to today's version.

Step N takes a file from version N to N + 1, inside one transaction. Steps already released are never changed.
``events`` is append-only, by triggers. ``summaries`` and ``letters`` can be made again from it at any time.
``liveness`` is one row that says when the program last looked; ``timers`` are the baker's own, which no bake has.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Callable, Iterator, Sequence

from proofbell.journal.faults import JournalFault
from proofbell.journal.storage import letters

APPLICATION_ID = 0x50724265
"""Marks the file as a journal of this program (the letters PrBe)."""

Step = Callable[[sqlite3.Connection], None]

_SUMMARIES = (
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
)

_LIVENESS = """
    CREATE TABLE liveness (
        one INTEGER PRIMARY KEY CHECK (one = 1),
        wall_us INTEGER NOT NULL,
        boot_us INTEGER NOT NULL,
        boot_id TEXT NOT NULL,
        offset_min INTEGER NOT NULL
    ) STRICT
    """

_LETTERS = """
    CREATE TABLE letters (
        letter TEXT PRIMARY KEY CHECK (letter IN ('A', 'B', 'C', 'D', 'E', 'F', 'G', 'H', 'I', 'J', 'K', 'L')),
        bake TEXT NOT NULL UNIQUE
    ) STRICT, WITHOUT ROWID
    """

_TIMERS = """
    CREATE TABLE IF NOT EXISTS timers (
        id TEXT PRIMARY KEY,
        name TEXT NOT NULL,
        length_us INTEGER NOT NULL,
        bake TEXT NOT NULL,
        wall_us INTEGER NOT NULL,
        boot_us INTEGER NOT NULL,
        boot_id TEXT NOT NULL,
        offset_min INTEGER NOT NULL,
        over TEXT NOT NULL CHECK (over IN ('', 'answered', 'stopped')),
        over_wall_us INTEGER
    ) STRICT, WITHOUT ROWID
    """

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
    *_SUMMARIES,
    _LIVENESS,
)

TRIGGERS = ("events_are_never_changed", "events_are_never_removed", "events_come_in_order")
"""The safeguards that every journal must have; one that lacks them is opened for reading only."""


def first_tables(connection: sqlite3.Connection) -> None:
    """From an empty file to version 1."""
    for statement in _TABLES:
        connection.execute(statement)


def letter_table(connection: sqlite3.Connection) -> None:
    """From version 1 to 2: the letters of the live bakes, each held once."""
    connection.execute(_LETTERS)
    letters.fill(connection)


def timer_table(connection: sqlite3.Connection) -> None:
    """From version 2 to 3: the baker's own timers, those that run and those that are over."""
    connection.execute(_TIMERS)


STEPS: Sequence[Step] = (first_tables, letter_table, timer_table)


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


def _summaries_again(connection: sqlite3.Connection) -> None:
    for statement in _SUMMARIES:
        connection.execute(statement)


def _liveness_again(connection: sqlite3.Connection) -> None:
    connection.execute(_LIVENESS)


_MADE_AGAIN: dict[str, tuple[Step, tuple[str, ...]]] = {
    "summaries": (_summaries_again, ("bake", "upto", "made_by", "opened_us", "body", "evidence")),
    "letters": (letter_table, ("letter", "bake")),
    "liveness": (_liveness_again, ("one", "wall_us", "boot_us", "boot_id", "offset_min")),
    "timers": (
        timer_table,
        (
            *("id", "name", "length_us", "bake", "wall_us", "boot_us", "boot_id", "offset_min"),
            *("over", "over_wall_us"),
        ),
    ),
}


def mend_caches(connection: sqlite3.Connection) -> None:
    """Make those tables again that are not there or not ours; no bake loses anything, for they follow from the events.

    Where the file does not let it happen they stay as they are, and are done without.
    """
    for name, (_, columns) in _MADE_AGAIN.items():
        with contextlib.suppress(sqlite3.Error, JournalFault):
            if columns_of(connection, name) != columns:
                make_again(connection, name)


def make_again(connection: sqlite3.Connection, name: str) -> None:
    """Throw away one of the tables beside the events, and rebuild it; timers that it held are gone."""
    with transaction(connection):
        kinds = connection.execute("SELECT type FROM sqlite_master WHERE name = ?", (name,)).fetchall()
        for (kind,) in kinds:
            connection.execute(f"DROP {'VIEW' if kind == 'view' else 'TABLE'} {name}")
        _MADE_AGAIN[name][0](connection)


def columns_of(connection: sqlite3.Connection, name: str) -> tuple[str, ...]:
    """The names of a table's columns; none when there is no such table."""
    return tuple(row[0] for row in connection.execute("SELECT name FROM pragma_table_info(?)", (name,)))


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
    return connection.execute("SELECT 1 FROM sqlite_master LIMIT 1").fetchone() is None


def missing_triggers(connection: sqlite3.Connection) -> tuple[str, ...]:
    """Names of the append-only triggers that this file lacks."""
    there = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'")}
    return tuple(name for name in TRIGGERS if name not in there)
