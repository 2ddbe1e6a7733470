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
from dataclasses import dataclass
from pathlib import Path

from proofbell.journal import schema
from proofbell.journal.copying import copy_database
from proofbell.journal.faults import CannotOpen, NotAJournal

WAIT_S = 10.0
"""How long one program waits for another that is writing."""

_SETTINGS: tuple[tuple[str, str, object], ...] = (
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


def open_file(path: Path, *, steps: Sequence[schema.Step] = schema.STEPS, read_only: bool = False) -> Opened:
    """Open or make the journal at ``path``.

    Raises:
        CannotOpen: the folder or file cannot be made or read, or a setting did not take.
        NotAJournal: the file belongs to another program, or is no database.
    """
    _make_file(path)
    connection = connect(path)
    try:
        opened = _prepare(connection, path, steps, read_only=read_only)
    except sqlite3.OperationalError as error:
        connection.close()
        raise CannotOpen(
            f"the journal {path} cannot be opened: {error}", "is the folder there, and is it yours to write to?"
        ) from error
    except sqlite3.DatabaseError as error:
        connection.close()
        raise NotAJournal(
            f"{path} is not a journal: {error}", "name another file with PROOFBELL_JOURNAL, or bring back a backup"
        ) from error
    except BaseException:
        connection.close()
        raise
    return opened


def connect(path: Path) -> sqlite3.Connection:
    """A bare connection that leaves transactions to us."""
    try:
        return sqlite3.connect(path, timeout=WAIT_S, isolation_level=None)
    except sqlite3.Error as error:
        raise CannotOpen(f"the journal {path} cannot be opened: {error}", "is it a file, and yours to read?") from error


def _prepare(connection: sqlite3.Connection, path: Path, steps: Sequence[schema.Step], *, read_only: bool) -> Opened:
    application = schema.application_of(connection)
    version = schema.version_of(connection)
    empty = schema.is_empty(connection)
    if application != schema.APPLICATION_ID and not (application == 0 and version == 0 and empty):
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
    if version < len(steps):
        if not empty:
            backup = path.with_name(f"{path.stem}-before-version-{len(steps)}{path.suffix}")
            copy_database(connection, backup, overwrite=True)
        schema.migrate(connection, steps)
    return Opened(connection, _why_reading_only(connection, asked=read_only), backup)


def _why_reading_only(connection: sqlite3.Connection, *, asked: bool) -> str:
    why = ""
    missing = schema.missing_triggers(connection)
    if asked:
        why = "this journal was opened for reading only"
    elif missing:
        why = (
            "the safeguards that keep this journal append-only are missing "
            f"({', '.join(missing)}): it is open for reading only; bring back a backup"
        )
    else:
        try:
            connection.execute("BEGIN IMMEDIATE")
            connection.execute("ROLLBACK")
        except sqlite3.OperationalError as error:
            # Busy only means that another program is saving just now.
            if error.sqlite_errorcode & 0xFF == sqlite3.SQLITE_READONLY:
                why = "this journal's file or folder is write-protected: it is open for reading only"
    if why:
        connection.execute("PRAGMA query_only = ON")
    return why


def apply_settings(connection: sqlite3.Connection) -> None:
    """Set what keeps an acknowledged event on the disk, and read each back.

    Raises:
        CannotOpen: a setting did not take; better no journal than one that may lose a bake.
    """
    for name, value, wanted in _SETTINGS:
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
    try:
        if not path.parent.is_dir():
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with contextlib.suppress(FileExistsError):
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    except OSError as error:
        if path.exists():
            return
        raise CannotOpen(
            f"the journal {path} cannot be made: {error.strerror}",
            "make its folder, or name another with PROOFBELL_JOURNAL",
        ) from error
