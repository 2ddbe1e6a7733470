"""Backups that are made by themselves: three, the newest is number 1, in the folder ``backups`` beside the journal.

A new one is written and checked under another name first. Then the older ones move down one by one and it takes its
place; wherever this is cut off, at least the two newest of the older ones are there and whole.
"""

from __future__ import annotations

import contextlib
import shutil
import sqlite3
import threading
from collections.abc import Generator
from contextlib import closing
from pathlib import Path

from proofbell.frozen import dataclass
from proofbell.journal.faults import JournalFault
from proofbell.journal.files.copying import copied, put_in_place, remove_unfinished, sync_folder, temporary_beside
from proofbell.journal.files.disk_words import why_not_written
from proofbell.journal.files.lock import Lead
from proofbell.journal.recovery.verify import PAGES, file_problems, logs_in_steps
from proofbell.journal.storage.opening import Opened, connect
from proofbell.journal.storage.store import Journal
from proofbell.journal.storage.writer import Steps
from proofbell.private_folder import make_private_folder
from proofbell.words import counted

KEPT = 3
"""So many are kept."""

ROOM_LEFT_BYTES = 16 * 1024 * 1024
"""So much room a backup leaves for what the bench has to save."""

SLICE_S = 0.004
"""How long one step of the long work waits for the copy (s)."""


@dataclass(frozen=True, slots=True)
class Rotated:
    """What came of it: ``made`` is the new backup; without one ``words`` say why. ``failed``: it should have been."""

    made: Path | None
    words: str
    failed: bool = False


def backups_folder(journal: Path) -> Path:
    return journal.parent / "backups"


def backup_path(journal: Path, number: int) -> Path:
    """The backup of this number; 1 is the newest."""
    return backups_folder(journal) / f"{journal.stem}-backup-{number}.sqlite"


def rotate_in_steps(journal: Path) -> Steps[Rotated]:
    """Make a backup if anything was added since the newest one, in steps of some milliseconds.

    The copy is made and looked through in a thread beside; the steps wait for it, and then check the digests. It never
    raises: a backup that could not be made is told. The bench goes on without.
    """
    try:
        return (yield from _rotate(journal))
    except (OSError, sqlite3.Error) as error:
        return Rotated(None, f"No backup could be made: {why_not_written(error)}.", failed=True)
    except JournalFault as fault:
        return Rotated(None, f"No backup could be made: {fault.message}.", failed=True)


def _rotate(journal: Path) -> Steps[Rotated]:
    if not journal.is_file():
        return Rotated(None, "There is no journal yet.")
    folder, newest = backups_folder(journal), backup_path(journal, 1)
    last = _last_line(journal)
    if last is None:
        return Rotated(None, "There is nothing in the journal yet.")
    if last == _newest_copied(newest):
        return Rotated(None, "Nothing was added since the newest backup.")
    make_private_folder(folder)
    lock = Lead(folder / journal.stem)
    if not lock.take():
        return Rotated(None, "Another Proofbell is making a backup just now.")
    try:
        return (yield from _make(journal, newest))
    finally:
        lock.let_go()


def _make(journal: Path, newest: Path) -> Steps[Rotated]:
    _sweep(newest.parent)
    if shutil.disk_usage(newest.parent).free < 2 * journal.stat().st_size + ROOM_LEFT_BYTES:
        return Rotated(None, f"No backup was made: there is too little room left in {newest.parent}.", failed=True)
    temporary = temporary_beside(newest)
    try:
        problems = yield from _copy(journal, temporary)
        if problems:
            words = f"No backup was made: the journal is damaged ({problems[0]}). The older backups are kept."
            return Rotated(None, words, failed=True)
        with Journal(temporary, Opened(connect(temporary), reading_only="this is a copy being checked")) as copy:
            verdict = yield from logs_in_steps(copy)
        if verdict.problems:
            words = f"No backup was made: the journal is damaged ({verdict.problems[0]}). The older backups are kept."
            return Rotated(None, words, failed=True)
        _move_down(journal)
        put_in_place(temporary, newest, overwrite=True)
    finally:
        remove_unfinished(temporary)
    held = f"{counted(verdict.bakes, 'bake')}, {counted(verdict.events, 'event')}"
    return Rotated(newest, f"{held} copied to {newest} and checked.")


def _copy(journal: Path, temporary: Path) -> Generator[None, None, tuple[str, ...]]:
    """Copy the file beside this thread and look through the copy; what SQLite finds wrong with it."""
    over, left_off = threading.Event(), threading.Event()
    found: list[tuple[str, ...]] = []
    faults: list[Exception] = []

    def work() -> None:
        try:
            with closing(connect(journal)) as source:
                copied(source, temporary, pages=PAGES, go_on=lambda: not left_off.is_set())
            found.append(file_problems(temporary, lambda: not left_off.is_set()))
        except Exception as error:  # noqa: BLE001 - it is raised again where the steps are
            faults.append(error)
        finally:
            over.set()

    beside = threading.Thread(target=work, name="backup", daemon=True)
    beside.start()
    try:
        while not over.wait(SLICE_S):
            yield
    finally:
        left_off.set()
        beside.join()
    if faults:
        raise faults[0]
    return found[0]


def _last_line(path: Path) -> tuple[int, str] | None:
    """The number and digest of the newest event in a journal; None when there is none."""
    with closing(connect(path)) as connection:
        row = connection.execute("SELECT seq, digest FROM events ORDER BY seq DESC LIMIT 1").fetchone()
    return None if row is None else (int(row[0]), str(row[1]))


def _newest_copied(backup: Path) -> tuple[int, str] | None:
    """The newest event in a backup; None when there is no backup, or it cannot be read."""
    try:
        return _last_line(backup) if backup.is_file() else None
    except (sqlite3.Error, JournalFault, TypeError, ValueError):
        return None


def _move_down(journal: Path) -> None:
    """Free number 1. The oldest goes only when all places are taken."""
    free = next((number for number in range(1, KEPT) if not backup_path(journal, number).exists()), KEPT)
    for number in range(free - 1, 0, -1):
        backup_path(journal, number).replace(backup_path(journal, number + 1))
    sync_folder(backups_folder(journal))


def _sweep(folder: Path) -> None:
    """Take away what a backup that was cut off has left."""
    for leftover in folder.glob(".*.part*"):
        with contextlib.suppress(OSError):
            leftover.unlink()
