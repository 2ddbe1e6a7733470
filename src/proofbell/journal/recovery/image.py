"""The bytes of a damaged journal, all at one moment, without a change to the file.

They are taken through SQLite, with its locks, as long as it can open the file at all ("Serialize a Database",
sqlite.org/c3ref/serialize.html). A file whose beginning is damaged is read directly, and only when no other Proofbell
has it open.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from proofbell.journal.faults import CannotOpen, JournalFault, NotAJournal
from proofbell.journal.files.lock import Lead
from proofbell.journal.storage import schema
from proofbell.journal.storage.lines import BUSY, code_of
from proofbell.journal.storage.opening import WAIT_S

_BLOCK = 64 * 1024
_APPLICATION_AT = 68
"""Where the file's header keeps the mark of the program that made it ("Database File Format", 1.3)."""


class InUse(JournalFault):
    """Another Proofbell has the journal open."""

    def __init__(self, path: Path) -> None:
        super().__init__(f"Proofbell is open with {path}", "close it everywhere, then try again")


def image_of(path: Path, *, is_alone: bool = False) -> bytes:
    """The bytes of the file at ``path``. ``is_alone``: it is made sure already that no other Proofbell has it open.

    Raises:
        CannotOpen: there is none, or it cannot be read.
        NotAJournal: it belongs to another program.
        InUse: it can only be read directly, and another Proofbell has it open.
    """
    try:
        size = path.stat().st_size
    except OSError as error:
        raise CannotOpen(f"the journal {path} cannot be read: {error.strerror}", "is the name right?") from error
    if not path.is_file():
        raise CannotOpen(f"{path} is no file", "name the journal's file")
    try:
        image = _through_sqlite(path)
    except sqlite3.OperationalError as error:
        if code_of(error) in BUSY:
            raise CannotOpen(f"another program keeps {path} busy", "try again in a moment") from error
        image = b""
    except (sqlite3.Error, MemoryError, OverflowError):
        image = b""
    if len(image) >= size:
        return image
    # The header says less than there is, or cannot be read.
    with contextlib.nullcontext() if is_alone else alone(path):
        direct = _directly(path)
    return direct if len(direct) > len(image) else image


def refuse_foreign(image: bytes, path: Path) -> None:
    mark = int.from_bytes(image[_APPLICATION_AT : _APPLICATION_AT + 4], "big")
    # A turned bit in the mark is no other program.
    if (mark ^ schema.APPLICATION_ID).bit_count() > 8:
        raise NotAJournal(f"{path} was not made by Proofbell", "name the journal's file, or a backup of it")


@contextlib.contextmanager
def alone(path: Path) -> Iterator[None]:
    """Make sure that no other Proofbell has the bench of this journal open, and that none opens it meanwhile.

    Raises InUse: one has.
    """
    lead = Lead(path)
    if not lead.take():
        raise InUse(path)
    try:
        yield
    finally:
        lead.let_go()


def _through_sqlite(path: Path) -> bytes:
    # For reading and writing, so that what a crash left half-written can be taken back; query_only keeps out the rest.
    try:
        return _serialized(path, "rw")
    except sqlite3.OperationalError as error:
        if code_of(error) not in {sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM}:
            raise
        return _serialized(path, "ro")


def _serialized(path: Path, mode: str) -> bytes:
    where = f"{path.resolve().as_uri()}?mode={mode}"
    with closing(sqlite3.connect(where, uri=True, timeout=WAIT_S, isolation_level=None)) as connection:
        connection.execute("PRAGMA query_only = ON")
        # Lets damaged definitions of tables, and a file that was cut off, be opened all the same.
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute("BEGIN")
        # Takes the lock that readers share: if a writer is at work this waits, and says so when it waited too long.
        connection.execute("PRAGMA user_version").fetchone()
        return connection.serialize()


def _directly(path: Path) -> bytes:
    """The file's bytes; blocks that the disk does not give become zeros."""
    pieces: list[bytes] = []
    try:
        with path.open("rb", buffering=0) as file:
            size = os.fstat(file.fileno()).st_size
            for begin in range(0, size, _BLOCK):
                most = min(_BLOCK, size - begin)
                pieces.append(_block(file.fileno(), begin, most))
    except OSError as error:
        raise CannotOpen(f"{path} cannot be read: {error.strerror}", "is it yours to read?") from error
    return b"".join(pieces)


def _block(descriptor: int, begin: int, most: int) -> bytes:
    try:
        os.lseek(descriptor, begin, os.SEEK_SET)
        return os.read(descriptor, most).ljust(most, b"\x00")
    except OSError:
        return bytes(most)
