"""A disk below the journals of a test that does something of its own where a decision is committed."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import cast

import pytest

from proofbell.journal.storage.opening import Opened, open_file

Commit = Callable[[sqlite3.Connection], object]
"""Stands in for a commit on that connection."""


class _Connection:
    """A connection whose commits another can stand in for."""

    def __init__(self, real: sqlite3.Connection) -> None:
        self._real = real
        self.commit: Commit | None = None

    def execute(self, sql: str, *values: object) -> object:
        if sql == "COMMIT" and self.commit is not None:
            return self.commit(self._real)
        return self._real.execute(sql, *values)  # type: ignore[arg-type]

    def __getattr__(self, name: str) -> object:
        return getattr(self._real, name)


class MeddledDisk:
    """Sound until a test says otherwise."""

    def __init__(self) -> None:
        self._open: list[_Connection] = []

    def commits_by(self, commit: Commit) -> None:
        """Have ``commit`` stand in for each commit on what is open now; a file that is opened later is sound."""
        for connection in self._open:
            connection.commit = commit

    def open_file(self, path: Path, **how: object) -> Opened:
        opened = open_file(path, **how)  # type: ignore[arg-type]
        self._open.append(connection := _Connection(opened.connection))
        return replace(opened, connection=cast("sqlite3.Connection", connection))


def meddled_disk(patch: pytest.MonkeyPatch) -> MeddledDisk:
    """Put such a disk below every journal that is opened from now on."""
    disk = MeddledDisk()
    patch.setattr("proofbell.journal.storage.store.open_file", disk.open_file)
    return disk


def reports(code: int, *, having_done: str = "") -> Commit:
    """Report this fault of the disk, ``having_done`` a COMMIT, a ROLLBACK or nothing."""
    return partial(_report, code, having_done)


def _report(code: int, having_done: str, real: sqlite3.Connection) -> None:
    if having_done:
        real.execute(having_done)
    error = sqlite3.OperationalError("disk I/O error")
    error.sqlite_errorcode = code
    raise error
