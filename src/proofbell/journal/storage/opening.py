"""Opens the journal's file: whose it is, which version, the settings that keep it safe, and a backup before a change.

The settings (journal_mode TRUNCATE, synchronous EXTRA) lost nothing in simulated power cuts, where the stdlib's
defaults lost the last acknowledged event in about a third of them. The meaning of each is described in "PRAGMA
Statements", sqlite.org/pragma.html; they hold for one connection, so each is read back at every opening.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from proofbell.frozen import dataclass
from proofbell.journal.faults import BusyOpening, CannotOpen, FileDamaged, JournalFault, NotAJournal
from proofbell.journal.files.copying import copy_database
from proofbell.journal.files.place import is_there
from proofbell.journal.storage import schema
from proofbell.journal.storage.lines import BUSY, code_of, text_of
from proofbell.private_folder import make_private_folder

WAIT_S = 10.0
"""How long one program waits for another that is writing."""

SETTINGS: tuple[tuple[str, str, object], ...] = (
    ("journal_mode", "TRUNCATE", "truncate"),
    ("synchronous", "EXTRA", 3),
    ("fullfsync", "ON", 1),
    ("foreign_keys", "ON", 1),
    ("recursive_triggers", "ON", 1),
    ("trusted_schema", "OFF", 0),
    ("cell_size_check", "ON", 1),
    ("mmap_size", "0", 0),
)


@dataclass(frozen=True, slots=True)
class Opened:
    """An open file: why it is for reading only (empty: it is not), and the backup made before it was changed."""

    connection: sqlite3.Connection
    reading_only: str = ""
    backup: Path | None = None
    protected: bool = False
    """Whether it is for reading only because file or folder are write-protected, which may end."""


def open_file(
    path: Path, *, steps: Sequence[schema.Step] = schema.STEPS, read_only: bool = False, wait_s: float = WAIT_S
) -> Opened:
    """Open or make the journal at ``path``. ``wait_s``: how long to wait for another program that is writing.

    Raises:
        BusyOpening: another program did not let go of it for so long.
        CannotOpen: the folder or file cannot be made or read, or a setting did not take.
        FileDamaged: it is a journal that is damaged where its tables are listed.
        NotAJournal: the file belongs to another program, or is no database.
    """
    _make_file(path)
    connection = connect(path, wait_s)
    try:
        return _prepare(connection, path, steps, read_only=read_only)
    except sqlite3.Error as error:
        connection.close()
        raise _cannot_open(path, error) from error
    except BaseException:
        connection.close()
        raise


def _cannot_open(path: Path, error: sqlite3.Error) -> JournalFault:
    code = code_of(error)
    if code in BUSY:
        return BusyOpening(
            f"the journal {path} cannot be opened yet: another program keeps it busy", "try again in a moment"
        )
    if code == sqlite3.SQLITE_CORRUPT:
        return FileDamaged(
            f"the journal {path} is damaged and cannot be opened: {error}", "keep the file, and bring back a backup"
        )
    if isinstance(error, sqlite3.OperationalError):
        return CannotOpen(
            f"the journal {path} cannot be opened: {error}", "is the folder there, and is it yours to write to?"
        )
    return NotAJournal(
        f"{path} is not a journal: {error}", "name another file with PROOFBELL_JOURNAL, or bring back a backup"
    )


def connect(path: Path, wait_s: float = WAIT_S) -> sqlite3.Connection:
    """A bare connection that leaves transactions to us, and reads damaged text as far as it goes."""
    try:
        connection = sqlite3.connect(path, timeout=wait_s, isolation_level=None)
    except (sqlite3.Error, ValueError) as error:
        raise CannotOpen(f"the journal {path} cannot be opened: {error}", "is it a file, and yours to read?") from error
    connection.text_factory = text_of
    return connection


def is_busy(path: Path) -> bool:
    """Whether another program keeps the file at ``path`` to itself just now, for reading or for writing.

    Only that: whatever else is wrong with it is said by `open_file`. Nothing is made and nothing is changed.
    """
    if not is_there(path):
        return False
    try:
        with contextlib.closing(connect(path, wait_s=0.0)) as connection:
            connection.execute("BEGIN IMMEDIATE")
            connection.execute("ROLLBACK")
    except sqlite3.Error as error:
        return code_of(error) in BUSY
    except CannotOpen:
        pass
    return False


def _looked_at(connection: sqlite3.Connection) -> tuple[int, int, bool]:
    """Whose the file is, its version, and whether nothing is in it yet."""
    return schema.application_of(connection), schema.version_of(connection), schema.is_empty(connection)


def _is_ours(application: int, version: int, *, empty: bool) -> bool:
    return application == schema.APPLICATION_ID or (application == 0 and version == 0 and empty)


def _prepare(connection: sqlite3.Connection, path: Path, steps: Sequence[schema.Step], *, read_only: bool) -> Opened:
    application, version, empty = _looked_at(connection)
    if not _is_ours(application, version, empty=empty):
        # Another program may have made the journal between two of those looks.
        application, version, empty = _looked_at(connection)
    if not _is_ours(application, version, empty=empty):
        raise NotAJournal(
            f"{path} belongs to another program", "name another file with PROOFBELL_JOURNAL; this one is left as it is"
        )
    if version > len(steps):
        connection.execute("PRAGMA query_only = ON")
        return Opened(
            connection,
            f"this journal was written by a newer Proofbell (journal version {version}, this program knows "
            f"{len(steps)}): it is open for reading only; install the newer program to go on with it",
        )
    apply_settings(connection)
    backup = None
    if version < len(steps) and (empty or not read_only):
        if not empty and _is_protected(connection):
            return replace(_for_reading(connection, PROTECTED), protected=True)
        try:
            backup = None if empty else _copy_before(connection, path, version, len(steps))
            schema.migrate(connection, steps)
        except (OSError, sqlite3.DatabaseError) as error:
            if empty or code_of(error) in BUSY:
                raise
            why = (
                f"this journal is an older Proofbell's and could not be copied and brought up to date ({error}): it is "
                "open for reading only; is there room on the disk? proofbell journal verify says whether it is damaged"
            )
            return _for_reading(connection, why)
    missing = schema.missing_triggers(connection)
    if read_only:
        return _for_reading(connection, "this journal was opened for reading only", backup)
    if missing:
        why = (
            "the safeguards that keep this journal append-only are missing "
            f"({', '.join(missing)}): it is open for reading only; bring back a backup"
        )
        return _for_reading(connection, why, backup)
    if _is_protected(connection):
        return replace(_for_reading(connection, PROTECTED, backup), protected=True)
    if schema.letter_table in steps:
        schema.mend_caches(connection)
    return Opened(connection, "", backup)


class _UpToDateError(Exception):
    """Another program has brought the journal up to date meanwhile."""


def _copy_before(connection: sqlite3.Connection, path: Path, version: int, newest: int) -> Path | None:
    """Copy the file as it is before it is changed; None when another program has just done both."""
    backup = path.with_name(f"{path.stem}-before-version-{newest}{path.suffix}")

    def check(copy: Path) -> None:
        with contextlib.closing(connect(copy)) as copied:
            if schema.version_of(copied) != version:
                raise _UpToDateError

    try:
        copy_database(connection, backup, overwrite=True, check=check)
    except _UpToDateError:
        return None
    return backup


PROTECTED = "this journal's file or folder is write-protected: it is open for reading only"


def _for_reading(connection: sqlite3.Connection, why: str, backup: Path | None = None) -> Opened:
    connection.execute("PRAGMA query_only = ON")
    return Opened(connection, why, backup)


def _is_protected(connection: sqlite3.Connection) -> bool:
    """Ask by writing something that changes nothing and is taken back: only then does SQLite need the folder too.

    Permissions would not tell: some may write to everything, and some disks take nothing from anybody.
    """
    protected = False
    try:
        connection.execute("BEGIN IMMEDIATE")
        connection.execute(f"PRAGMA user_version = {schema.version_of(connection)}")
    except sqlite3.OperationalError as error:
        # Busy only means that another program is saving just now.
        protected = code_of(error) in {sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN}
    if connection.in_transaction:
        connection.execute("ROLLBACK")
    return protected


def apply_settings(connection: sqlite3.Connection) -> None:
    """Set what keeps an acknowledged event on the disk, and read each back.

    Raises CannotOpen: a setting did not take; better no journal than one that may lose a bake.
    """
    for name, value, wanted in SETTINGS:
        connection.execute(f"PRAGMA {name} = {value}")
        row = connection.execute(f"PRAGMA {name}").fetchone()
        # Some builds of SQLite leave out a setting altogether; it then gives no row.
        found = row[0] if row is not None else wanted
        if found != wanted:
            raise CannotOpen(
                f"the journal cannot be kept safe here: the setting {name} stays {found}, {wanted} is needed",
                "is it on a network or synchronised folder? Keep it on this computer's own disk",
            )


def _make_file(path: Path) -> None:
    """Make the folder and an empty file that only their owner may read. An existing file is never touched."""
    if is_there(path):
        return
    try:
        make_private_folder(path.parent)
        with contextlib.suppress(FileExistsError):
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    except (OSError, ValueError) as error:
        raise CannotOpen(
            f"the journal {path} cannot be made: {getattr(error, 'strerror', error)}",
            "make its folder, or name another with PROOFBELL_JOURNAL",
        ) from error
