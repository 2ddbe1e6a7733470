"""Backups that are made by themselves."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
import threading
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from proofbell.bake import events as kinds
from proofbell.journal.files import copying
from proofbell.journal.files.lock import Lead
from proofbell.journal.recovery import rotation
from proofbell.journal.recovery.backup import backups
from proofbell.journal.recovery.rotation import Rotated, backup_path, backups_folder, rotate_in_steps
from proofbell.journal.recovery.soundness import is_sound
from proofbell.journal.storage.store import Journal
from proofbell.journal.storage.writer import JournalThread, to_the_end
from tests.support.making import chain, first_events


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "journal.sqlite"
    with Journal.open(path) as journal:
        journal.append(first_events("quay", 2), 0)
    return path


def go_on(path: Path, note: str) -> None:
    with Journal.open(path) as journal:
        before = journal.events_of("quay")
        at = 10.0 * len(before)
        journal.append(chain("quay", [(at, kinds.NoteAdded(note))], before), len(before))


def rotate(path: Path) -> Rotated:
    return to_the_end(rotate_in_steps(path))


def events_in(path: Path) -> int:
    with closing(sqlite3.connect(path)) as connection:
        return int(connection.execute("SELECT count(*) FROM events").fetchone()[0])


def held(path: Path) -> list[int]:
    """How many events each backup holds, the newest first."""
    return [events_in(backup_path(path, number)) for number in (1, 2, 3, 4) if backup_path(path, number).exists()]


def test_three_are_kept_the_newest_first_and_all_are_sound(path: Path) -> None:
    for note in ("one", "two", "three", "four"):
        done = rotate(path)
        assert done.made == backup_path(path, 1), done
        go_on(path, note)
    assert held(path) == [6, 5, 4]
    assert all(is_sound(backup_path(path, number)) for number in (1, 2, 3))
    assert backup_path(path, 1).stat().st_mode & 0o777 == 0o600
    assert backups_folder(path).stat().st_mode & 0o777 == 0o700
    assert [(one.bakes, one.events) for one in backups(path)] == [(1, 6), (1, 5), (1, 4)]


def test_none_is_made_when_nothing_was_added(path: Path) -> None:
    assert rotate(path).made
    again = rotate(path)
    assert (again.made, again.failed) == (None, False)
    assert held(path) == [3]


def test_a_damaged_journal_never_takes_the_place_of_a_sound_backup(path: Path) -> None:
    for note in ("one", "two", "three"):
        rotate(path)
        go_on(path, note)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        named = "SELECT sql FROM sqlite_master WHERE name = 'events_are_never_changed'"
        (trigger,) = connection.execute(named).fetchone()
        connection.execute("DROP TRIGGER events_are_never_changed")
        connection.execute("UPDATE events SET wall_us = wall_us + 1 WHERE number = 2")
        # So that only the digests tell.
        connection.execute(trigger)
    done = rotate(path)
    assert done.failed
    assert "is damaged" in done.words
    assert held(path) == [5, 4, 3]


_CUT_OFF = """
import os, sys
from pathlib import Path
from proofbell.journal.files import copying
from proofbell.journal.recovery import rotation
from proofbell.journal.storage.writer import to_the_end
left = int(sys.argv[2])
def dying(real):
    def call(*args, **more):
        global left
        if left == 0:
            os._exit(9)
        left -= 1
        return real(*args, **more)
    return call
Path.replace = dying(Path.replace)
rotation.put_in_place = dying(rotation.put_in_place)
rotation.copied = dying(rotation.copied)
print(to_the_end(rotation.rotate_in_steps(Path(sys.argv[1]))).words)
"""


@pytest.mark.parametrize("steps", range(5))
def test_cut_off_anywhere_the_two_newest_older_ones_are_there(path: Path, steps: int) -> None:
    for note in ("one", "two", "three"):
        rotate(path)
        go_on(path, note)
    ended = subprocess.run([sys.executable, "-c", _CUT_OFF, str(path), str(steps)], check=False, capture_output=True)
    assert ended.returncode == (9 if steps < 5 else 0), ended.stderr
    assert [count for count in held(path) if count in {5, 4}] == [5, 4]
    assert all(is_sound(backup_path(path, n)) for n in (1, 2, 3) if backup_path(path, n).exists())
    # The next one is made as if nothing had been, and clears away what was left.
    assert rotate(path).made or held(path)[0] == 6
    assert held(path)[:3] == [6, 5, 4]
    assert list(backups_folder(path).glob(".*.part*")) == []


def test_one_that_cannot_be_made_is_told_and_not_raised(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    backups_folder(path).write_text("a file where the folder should be")
    done = rotate(path)
    assert done.failed
    assert "No backup could be made" in done.words
    backups_folder(path).unlink()
    monkeypatch.setattr(rotation, "ROOM_LEFT_BYTES", shutil.disk_usage(path.parent).total)
    assert "too little room" in rotate(path).words
    assert rotate(path.with_name("none.sqlite")).made is None
    assert not path.with_name("none.sqlite").exists()


def test_two_programs_do_not_make_one_at_the_same_time(path: Path) -> None:
    backups_folder(path).mkdir()
    other = Lead(backups_folder(path) / path.stem)
    assert other.take()
    assert "Another Proofbell" in rotate(path).words
    other.let_go()
    assert rotate(path).made


def test_a_save_does_not_wait_for_it(path: Path) -> None:
    """As long work in the journal's thread it stands back whenever something is to be saved."""
    thread = JournalThread(path)
    try:
        making = thread.submit_long(lambda journal: rotate_in_steps(journal.path))
        seen = [thread.submit(lambda journal: journal.count()).result(timeout=60) for _ in range(20)]
        assert seen == [1] * 20
        assert making.result(timeout=60).made == backup_path(path, 1)
    finally:
        thread.close()


def test_the_copy_goes_on_beside_the_steps(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A step comes back while the copy is still being made."""
    asked, real = threading.Event(), copying.copied

    def slow(source: sqlite3.Connection, to: Path, *, pages: int, go_on: Callable[[], bool]) -> None:
        waited.append(asked.wait(20))
        real(source, to, pages=pages, go_on=go_on)

    waited: list[bool] = []
    monkeypatch.setattr(rotation, "copied", slow)
    steps = rotate_in_steps(path)
    next(steps)
    asked.set()
    assert to_the_end(steps).made
    assert waited == [True]


def test_left_off_half_way_nothing_is_left_behind(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real, told = copying.copied, threading.Event()

    def long(source: sqlite3.Connection, to: Path, *, pages: int, go_on: Callable[[], bool]) -> None:
        for _ in range(20_000):
            if not go_on():
                told.set()
                break
            threading.Event().wait(0.001)
        real(source, to, pages=pages, go_on=go_on)

    monkeypatch.setattr(rotation, "copied", long)
    steps = rotate_in_steps(path)
    next(steps)
    steps.close()
    assert told.is_set()
    assert held(path) == []
    assert list(backups_folder(path).glob(".*.part*")) == []
