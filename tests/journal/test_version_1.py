"""A journal of version 1, as the program of then wrote it, is brought up to date: whole, or not at all."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from proofbell.bake.fold import fold
from proofbell.journal import index
from proofbell.journal.recovery.verify import verify
from proofbell.journal.storage import schema
from proofbell.journal.storage.store import Journal
from tests.support.version_1 import (
    EVENING,
    MORNING,
    NIGHT,
    NOON,
    WINDOW,
    Events,
    events_in,
    version_in,
    write_version_1,
)

NEWEST = len(schema.STEPS)
BACKUP = f"journal-before-version-{NEWEST}.db"
LETTERS = {"A": MORNING, "B": NIGHT}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "journal.db"


def test_every_event_is_as_it_was_and_the_letters_are_there(path: Path) -> None:
    before = write_version_1(path)
    with Journal.open(path) as journal:
        assert journal.letters() == LETTERS
        assert journal.bake_ids() == [EVENING, NIGHT, MORNING, WINDOW, NOON]
        assert [fold(journal.events_of(bake)).letter for bake in journal.live_bakes()] == ["B", "A", "A"]
        assert verify(journal).problems == ()
        assert len(index.bakes(journal)) == 5
        assert "it is kept as" in journal.warning
    assert events_in(path) == before
    assert version_in(path) == NEWEST


def test_the_copy_made_before_is_the_old_journal(path: Path) -> None:
    before = write_version_1(path)
    with Journal.open(path) as journal:
        assert journal.backup_made == path.with_name(BACKUP)
    copy = path.with_name(BACKUP)
    assert version_in(copy) == 1
    assert events_in(copy) == before
    with Journal.open(path) as journal:
        assert journal.backup_made is None


def opened_or_not(path: Path) -> None:
    Journal.open(path).close()


def as_before_or_after(path: Path, before: Events) -> None:
    """Whatever happened: every event is there, and the tables are those of one version."""
    assert events_in(path) == before
    with closing(sqlite3.connect(path)) as connection:
        tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
        assert ("letters" in tables) == (version_in(path) == NEWEST)
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    with Journal.open(path) as journal:
        assert journal.letters() == LETTERS
    assert version_in(path) == NEWEST
    assert version_in(path.with_name(BACKUP)) == 1


class Stopping(sqlite3.Connection):
    """A connection that fails at one statement, counted from the opening."""

    left = 0
    kind: Callable[[str], Exception] = RuntimeError

    def execute(self, *args: object) -> sqlite3.Cursor:
        self._count(str(args[0]))
        return super().execute(*args)  # type: ignore[arg-type]

    def executemany(self, *args: object) -> sqlite3.Cursor:
        self._count(str(args[0]))
        return super().executemany(*args)  # type: ignore[arg-type]

    def _count(self, sql: str) -> None:
        Stopping.left -= 1
        # A rollback that fails too is as if the program had ended there.
        if Stopping.left == 0:
            raise Stopping.kind(f"stopped at {sql}")


def full(words: str) -> Exception:
    error = sqlite3.OperationalError(words)
    error.sqlite_errorcode = sqlite3.SQLITE_FULL
    return error


@pytest.mark.parametrize("kind", [RuntimeError, full])
def test_stopped_at_any_statement_it_is_done_the_next_time(
    path: Path, kind: Callable[[str], Exception], monkeypatch: pytest.MonkeyPatch
) -> None:
    connect = sqlite3.connect
    before = write_version_1(path)
    as_it_was = path.read_bytes()
    stopped = 0
    monkeypatch.setattr("proofbell.journal.files.ballast.lay_down", lambda _path: False)
    for at in range(1, 400):
        for file in path.parent.iterdir():
            file.unlink()
        path.write_bytes(as_it_was)
        Stopping.left, Stopping.kind = at, kind
        with monkeypatch.context() as patch:
            patch.setattr(
                "proofbell.journal.storage.opening.sqlite3.connect",
                lambda *args, **named: connect(*args, **named, factory=Stopping),
            )
            try:
                opened_or_not(path)
            except Exception:  # noqa: BLE001 - whatever it was, the journal is what counts
                stopped += 1
        over = Stopping.left > 0
        Stopping.left = 0
        as_before_or_after(path, before)
        if over:
            break
    else:
        raise AssertionError("it never came to its end")
    assert stopped > 20 or kind is full


KILLED = """
import os, sqlite3, sys
from pathlib import Path
from proofbell.journal.storage.store import Journal
left = int(sys.argv[2])
def count(*_):
    global left
    left -= 1
    if left == 0:
        os.kill(os.getpid(), 9)
    return 0
connect = sqlite3.connect
def counted(*args, **named):
    connection = connect(*args, **named)
    connection.set_progress_handler(count, 1)
    return connection
sqlite3.connect = counted
Journal.open(Path(sys.argv[1])).close()
print(left)
"""
"""Kills itself after so many of SQLite's own small steps."""


@pytest.mark.skipif(sys.platform == "win32", reason="no such signal there")
def test_killed_at_any_moment_it_is_done_the_next_time(path: Path) -> None:
    whole = path.with_name("whole.db")
    before = write_version_1(whole)

    def run(steps: int) -> subprocess.CompletedProcess[str]:
        path.with_name(BACKUP).unlink(missing_ok=True)
        shutil.copy(whole, path)
        return subprocess.run(
            [sys.executable, "-c", KILLED, str(path), str(steps)],
            capture_output=True, text=True, check=False, env={**os.environ},
        )  # fmt: skip

    needed = 10_000_000 - int(run(10_000_000).stdout)
    for number in range(12):
        ended = run(1 + needed * number // 12)
        assert ended.returncode == -9
        as_before_or_after(path, before)


def test_no_change_is_made_where_no_copy_can_be_made_first(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = write_version_1(path)

    def no_room(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("proofbell.journal.storage.opening.copy_database", no_room)
    with Journal.open(path) as journal:
        assert "No space left" in journal.reading_only
        assert journal.live_bakes() == [NIGHT, MORNING, WINDOW]
        assert journal.letters() == LETTERS
    assert events_in(path) == before
    assert version_in(path) == 1


def test_two_programs_at_once_keep_the_copy_of_before(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The slower one has seen the old version, and comes to copy when the other is through."""
    write_version_1(path)
    version_of = schema.version_of
    slow = threading.current_thread()
    came_between: list[int] = []

    def seen(connection: sqlite3.Connection) -> int:
        version = version_of(connection)
        if threading.current_thread() is slow and not came_between:
            came_between.append(version)
            other = threading.Thread(target=opened_or_not, args=(path,))
            other.start()
            other.join()
        return version

    monkeypatch.setattr(schema, "version_of", seen)
    with Journal.open(path) as journal:
        assert journal.letters() == LETTERS
    assert came_between == [1]
    assert version_in(path.with_name(BACKUP)) == 1


def test_for_reading_only_an_older_journal_is_left_as_it_is(path: Path) -> None:
    write_version_1(path)
    as_it_was = path.read_bytes()
    with Journal.open(path, read_only=True) as journal:
        assert journal.letters() == LETTERS
        assert len(index.bakes(journal)) == 5
    assert path.read_bytes() == as_it_was
    assert not path.with_name(BACKUP).exists()
