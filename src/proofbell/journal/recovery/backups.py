"""The backups that lie beside a journal, and what each of them holds."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from proofbell.journal.recovery.rotation import backups_folder


@dataclass(frozen=True, slots=True)
class Backup:
    """One backup. ``made_us`` is when its file was written, ``newest_us`` the moment of its newest event (both UTC).

    ``bakes`` is None when it cannot be read.
    """

    path: Path
    made_us: int
    bakes: int | None = None
    events: int = 0
    newest_us: int | None = None


def backups(journal: Path) -> list[Backup]:
    """The backups of this journal, the newest first: those made by themselves, and those made before a change."""
    found = [
        *backups_folder(journal).glob(f"{journal.stem}-*.sqlite"),
        *journal.parent.glob(f"{journal.stem}-before-version-*{journal.suffix}"),
    ]
    listed = [_looked_at(path) for path in found if path.is_file()]
    return sorted(listed, key=lambda one: (one.made_us, one.path.name), reverse=True)


def _looked_at(path: Path) -> Backup:
    made_us = path.stat().st_mtime_ns // 1000
    try:
        with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as connection:
            bakes = connection.execute("SELECT count(*) FROM events WHERE number = 1").fetchone()[0]
            events, newest_us = connection.execute("SELECT count(*), max(wall_us) FROM events").fetchone()
    except (sqlite3.Error, OSError):
        return Backup(path, made_us)
    return Backup(path, made_us, bakes, events, newest_us)
