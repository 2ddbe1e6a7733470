"""Why the file did not take an event: what SQLite says of it, in classes and in words.

Meanings of the codes: "Result and Error Codes", sqlite.org/rescode.html.
"""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path

from proofbell.journal.faults import Busy, DiskFault, DiskFull, FileGone, NotSaved, WriteProtected
from proofbell.journal.storage.lines import BUSY, code_of

_PROTECTED = frozenset({sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM, sqlite3.SQLITE_CANTOPEN})
_FAULTY = frozenset({sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB})

Identity = tuple[int, int]
"""Which file it is, whatever its name: the device and the number on it."""


def identity(path: Path) -> Identity | None:
    """Which file has this name; None when there is none. The file itself is not opened."""
    try:
        found = os.stat(path)  # noqa: PTH116 - one look, no more
    except (OSError, ValueError):
        return None
    return found.st_dev, found.st_ino


def gone_words(path: Path, known: Identity | None) -> str:
    """What has become of the file that was opened; empty while it is where it was."""
    now = identity(path)
    if now is not None:
        return "" if known is None or now == known else "another file has taken its place"
    return "it was removed" if identity(path.parent) is not None else "its folder is gone"


def not_saved(error: sqlite3.Error, path: Path, known: Identity | None) -> NotSaved:
    """The fault for a failed write of which it is certain that nothing was stored."""
    code = code_of(error)
    gone = gone_words(path, known)
    if gone or getattr(error, "sqlite_errorcode", 0) == sqlite3.SQLITE_READONLY_DBMOVED:
        return file_gone(path, gone or "it was removed or replaced")
    if code == sqlite3.SQLITE_FULL:
        return disk_full(path)
    if code in BUSY:
        return Busy("not saved: another program keeps the journal busy", "try again in a moment")
    if code in _PROTECTED:
        return write_protected(path)
    if code in _FAULTY:
        return DiskFault(f"not saved: the disk failed where {path} lies ({error})", "check the disk, and make a backup")
    return NotSaved(f"not saved: {error}", "run proofbell journal verify to see more")


def file_gone(path: Path, what: str) -> FileGone:
    """The file that was opened is not the one that has its name."""
    return FileGone(f"not saved: the journal {path} is gone: {what}", "put it back, or plug its disk in again")


def disk_full(path: Path) -> DiskFull:
    """No room is left, not even the reserve."""
    return DiskFull(f"not saved: the disk with {path} is full", "free some room on it")


def write_protected(path: Path) -> WriteProtected:
    """The file or its folder may be read only."""
    return WriteProtected(f"not saved: {path} or its folder is write-protected", "make both writable")
