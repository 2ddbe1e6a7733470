"""Ways to damage one bake in a journal's file, past every safeguard of the program and of the database."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

PAGE = 4096

Damage = Callable[[Path, str], None]


def _loosened(path: Path, change: Callable[[sqlite3.Connection], object]) -> None:
    """Run ``change`` with the table's own rules out of the way, and put them back."""
    rules = "SELECT sql FROM sqlite_master WHERE name = 'events_are_never_changed'"
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        (trigger,) = connection.execute(rules).fetchone()
        (table,) = connection.execute("SELECT sql FROM sqlite_master WHERE name = 'events'").fetchone()
        connection.execute("DROP TRIGGER events_are_never_changed")
        _table(connection, table.replace("NOT NULL", "").replace("STRICT", ""))
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        change(connection)
        _table(connection, table)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(trigger)


def _table(connection: sqlite3.Connection, sql: str) -> None:
    connection.execute("PRAGMA writable_schema = ON")
    connection.execute("UPDATE sqlite_master SET sql = ? WHERE name = 'events'", (sql,))
    connection.execute("PRAGMA writable_schema = OFF")


def put(column: str, value: str, number: int = 2) -> Damage:
    """Put an SQL value where an event of the bake has this column."""

    def damage(path: Path, bake: str) -> None:
        sql = f"UPDATE events SET {column} = {value} WHERE bake = ? AND number = ?"  # noqa: S608 - from these tests
        _loosened(path, lambda connection: connection.execute(sql, (bake, number)))

    return damage


def page_of(text: str) -> Damage:
    """Overwrite the page of the table on which a text of the bake's stands."""

    def damage(path: Path, bake: str) -> None:
        data = bytearray(path.read_bytes())
        at = data.index(f"{text} of {bake}".encode()) // PAGE * PAGE
        data[at : at + PAGE] = b"\xaa" * PAGE
        path.write_bytes(data)

    return damage


def index_of(name: str) -> Damage:
    """Overwrite the whole of an index."""

    def damage(path: Path, _bake: str) -> None:
        with closing(sqlite3.connect(path)) as connection:
            (root,) = connection.execute("SELECT rootpage FROM sqlite_master WHERE name = ?", (name,)).fetchone()
        data = bytearray(path.read_bytes())
        data[(root - 1) * PAGE : root * PAGE] = b"\xaa" * PAGE
        path.write_bytes(data)

    return damage


ROWS: dict[str, Damage] = {
    "text that is no text": put("body", "CAST(x'7b22fffe' AS TEXT)"),
    "a name that is no text": put("name", "CAST(x'ff' AS TEXT)"),
    "no body": put("body", "NULL"),
    "a body of bytes": put("body", "x'00ff'"),
    "a digest of bytes": put("digest", "x'00ff'", 3),
    "no time": put("wall_us", "NULL"),
    "a time in words": put("wall_us", "'noon'", 1),
    "no opening": put("body", "NULL", 1),
    "an opening that is no text": put("body", "CAST(x'7bff' AS TEXT)", 1),
    "a time beyond all clocks": put("wall_us", "9223372036854775807", 1),
    "a number that is none": put("number", "NULL", 3),
}
"""One row of the bake, each in another way."""

PAGES: dict[str, Damage] = {
    "the page of its beginning": page_of("begun"),
    "a page in the middle": page_of("middle"),
    "the page of its end": page_of("end"),
}
"""A page on which lines of the bake lie."""

INDEXES: dict[str, Damage] = {
    name: index_of(name) for name in ("sqlite_autoindex_events_2", "openings", "closings", "corrections")
}
"""An index, which is of no bake."""
