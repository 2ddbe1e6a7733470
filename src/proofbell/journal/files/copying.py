"""Writes whole files so that a reader sees the old one or the new one, never half; and copies a live database."""

from __future__ import annotations

import contextlib
import os
import secrets
import sqlite3
import stat
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO

from proofbell.journal.faults import JournalFault


class AlreadyThere(JournalFault):
    """A file of that name exists, and replacing it was not allowed."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} is already there and is left as it is", "choose another name, or say --overwrite")
        self.path = path


class NoFile(JournalFault):
    """Something else than a file has that name: a folder, a device, a pipe. It is never replaced."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"{path} is no file, and nothing is written to it", "give the name of a new file")
        self.path = path


@contextlib.contextmanager
def whole_file(path: Path, *, overwrite: bool) -> Iterator[IO[bytes]]:
    """Give a file to write; when the block ends well it takes the name ``path``, all at once and on the disk.

    Raises AlreadyThere: ``path`` exists and ``overwrite`` is False.
    """
    refuse_existing(path, overwrite=overwrite)
    temporary = temporary_beside(path)
    descriptor = os.open(temporary, os.O_CREAT | os.O_EXCL | os.O_WRONLY | getattr(os, "O_BINARY", 0), 0o600)
    try:
        with os.fdopen(descriptor, "wb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        put_in_place(temporary, path, overwrite=overwrite)
    except BaseException:
        with contextlib.suppress(OSError):
            temporary.unlink()
        raise


def copy_database(
    source: sqlite3.Connection, path: Path, *, overwrite: bool, check: Callable[[Path], None] | None = None
) -> None:
    """Copy a database that is in use, ``check`` the copy, and only then give it the name ``path``.

    Raises AlreadyThere: ``path`` exists and ``overwrite`` is False, or is no file; OSError, sqlite3.Error: it cannot be
    written. Nothing of it stays.
    """
    refuse_existing(path, overwrite=overwrite)
    temporary = temporary_beside(path)
    try:
        copied(source, temporary)
        if check is not None:
            check(temporary)
        put_in_place(temporary, path, overwrite=overwrite)
    finally:
        remove_unfinished(temporary)


class LeftOffError(Exception):
    """The copy was cancelled."""


def copied(source: sqlite3.Connection, to: Path, *, pages: int = 512, go_on: Callable[[], bool] = lambda: True) -> None:
    """Copy a database that is in use to a new file through SQLite's backup interface.

    So many pages go at a time, and writers are let in between ("SQLite Backup API", sqlite.org/backup.html). ``go_on``
    is asked on the way. Raises LeftOffError: ``go_on`` said no.
    """

    def look(*_: int) -> None:
        if not go_on():
            raise LeftOffError

    os.close(os.open(to, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    with contextlib.closing(sqlite3.connect(to, isolation_level=None)) as target:
        target.execute("PRAGMA synchronous = EXTRA")
        source.backup(target, pages=pages, progress=look, sleep=0.01)


def remove_unfinished(temporary: Path) -> None:
    """Take away what is left of a database that did not get its name."""
    for leftover in (temporary, temporary.with_name(temporary.name + "-journal")):
        with contextlib.suppress(OSError):
            leftover.unlink()


def refuse_existing(path: Path, *, overwrite: bool) -> None:
    """Raise AlreadyThere when ``path`` exists and may not be replaced; a folder or a device never may."""
    try:
        there = path.stat()
    except (FileNotFoundError, NotADirectoryError):
        return
    if not stat.S_ISREG(there.st_mode):
        raise NoFile(path)
    if not overwrite:
        raise AlreadyThere(path)


def temporary_beside(path: Path) -> Path:
    """An unused name in the same folder, so that the file can be renamed in one step."""
    return path.with_name(f".{path.name[:40]}.{secrets.token_hex(4)}.part")


def put_in_place(temporary: Path, path: Path, *, overwrite: bool) -> None:
    """Give ``temporary`` its name and make the folder remember it."""
    if overwrite:
        temporary.replace(path)
    else:
        _rename_without_replacing(temporary, path)
    sync_folder(path.parent)


def _rename_without_replacing(temporary: Path, path: Path) -> None:
    try:
        # A hard link fails when the name is taken, where a rename would replace it.
        path.hardlink_to(temporary)
    except FileExistsError as error:
        raise AlreadyThere(path) from error
    except OSError:
        # No hard links here (some memory cards): the check just before is the best there is.
        refuse_existing(path, overwrite=False)
        temporary.replace(path)
    else:
        temporary.unlink()


def sync_folder(folder: Path) -> None:
    """Put the folder's list of names on the disk, where the system can do that."""
    with contextlib.suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)
