"""The journal that the program wrote at version 1, put on the disk from its text."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

DUMP = Path(__file__).with_suffix(".sql")

DUMP_2 = DUMP.with_stem("version_2")
"""The journal that it wrote at version 2."""

EVENING, NIGHT, MORNING, WINDOW, NOON = (
    "20260314-0700-knots-evening",
    "20260314-1030-knots-night",
    "20260314-1100-knots-morning",
    "20260314-1100-knots-window",
    "20260314-1200-knots-noon",
)
"""Finished as A; given up as B and taken back; live as A; live as A too; given up as C, taken back, given up again."""

Events = list[tuple[object, ...]]


def write_version_1(path: Path, dump: Path = DUMP) -> Events:
    """Write the file; returns every line of its events."""
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript(dump.read_text(encoding="utf-8"))
    return events_in(path)


def events_in(path: Path) -> Events:
    """Every line of the events, as it lies in the file."""
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute("SELECT * FROM events ORDER BY seq").fetchall()


def version_in(path: Path) -> int:
    """The version of the file's tables."""
    with closing(sqlite3.connect(path)) as connection:
        return int(connection.execute("PRAGMA user_version").fetchone()[0])
