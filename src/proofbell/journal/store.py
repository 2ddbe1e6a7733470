"""The store of every bake: one transaction for one decision, and nothing acknowledged that is not on the disk.

A journal belongs to the thread that opened it (see ``writer``). The file is touched through SQLite only: closing any
other handle of it would drop the locks that keep two programs apart.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator, Sequence
from pathlib import Path
from types import TracebackType
from typing import Self

from proofbell.bake.events import Corrected, Event
from proofbell.bake.record import NewerError, Row, chained_digest, from_row, to_row
from proofbell.bake.stamp import Stamp
from proofbell.journal import ballast, schema
from proofbell.journal.faults import (
    Damaged,
    DiskFull,
    NewerLog,
    NotSaved,
    Problem,
    ReadingOnly,
    SavingUnknown,
    StaleDecision,
    unreadable,
)
from proofbell.journal.opening import Opened, open_file
from proofbell.journal.place import place_warning
from proofbell.journal.schema import transaction
from proofbell.plain import PlainError

COLUMNS = "id, bake, number, decision, wall_us, boot_us, boot_id, offset_min, name, schema, body, digest"
"""The columns of a Row, in its order."""

INSERT = f"INSERT INTO events ({COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"  # noqa: S608 - no outside text
_OF_BAKE = f"SELECT {COLUMNS} FROM events WHERE bake = ? ORDER BY number"  # noqa: S608
_OF_CLOSING = f"SELECT {COLUMNS} FROM events WHERE bake = ? AND name IN ('bake closed', 'corrected')"  # noqa: S608
_OF_DECISION = "SELECT 1 FROM events WHERE id = ? AND digest = ?"


class Journal:
    """An open journal. Close it, or use it as a context manager."""

    def __init__(self, path: Path, opened: Opened, steps: Sequence[schema.Step] = schema.STEPS) -> None:
        self.path = path
        self.warning = opened.reading_only or place_warning(path) or _brought_up(opened.backup)
        """Something the baker should see for as long as this journal is open; empty when all is well."""
        self._steps = steps
        self._connection = opened.connection
        self.reading_only = opened.reading_only
        """Why nothing can be written; empty when it can."""
        self.backup_made = opened.backup
        """The copy made before an older journal was brought up to date."""

    @classmethod
    def open(cls, path: Path, *, steps: Sequence[schema.Step] = schema.STEPS, read_only: bool = False) -> Self:
        """Open the journal at ``path``, make it if there is none, bring an older one up to date (backup first).

        Raises:
            CannotOpen, NotAJournal: in plain words, with what to do.
        """
        journal = cls(path, open_file(path, steps=steps, read_only=read_only), steps)
        if not journal.reading_only:
            ballast.lay_down(path)
        return journal

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @property
    def connection(self) -> sqlite3.Connection:
        """The connection, for the other files of this room."""
        return self._connection

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()

    # -- writing -------------------------------------------------------------------------------------------------

    def append(self, events: Sequence[Event], expected_last: int) -> None:
        """Store the events of one decision about one bake; on return they are on the disk.

        ``expected_last`` is the number of the bake's last event when the decision was made (0 for a new bake). The
        same events handed in once more are not stored twice.

        Raises:
            StaleDecision: somebody else appended to this bake meanwhile.
            NotSaved, DiskFull: the events are certainly not stored.
            SavingUnknown: the disk cannot say.
            ReadingOnly: this journal cannot be written to.
        """
        if not events:
            return
        if self.reading_only:
            raise ReadingOnly("nothing was saved: " + self.reading_only)
        rows = [to_row(event) for event in events]
        _refuse_unfit(rows, expected_last)
        try:
            self._store(rows, expected_last)
        except sqlite3.Error as error:
            self._settle(rows, expected_last, error)

    def _store(self, rows: Sequence[Row], expected_last: int) -> None:
        with transaction(self._connection):
            if self._is_new(rows, expected_last):
                self._connection.executemany(INSERT, [values_of(row) for row in rows])

    def _is_new(self, rows: Sequence[Row], expected_last: int) -> bool:
        """Whether the rows follow the last event; False when they are stored already."""
        last, digest = self._last(rows[0].bake)
        if last != expected_last:
            if self._has(rows):
                return False
            raise StaleDecision(rows[0].bake, expected_last, last)
        for row in rows:
            if chained_digest(digest, row) != row.digest:
                raise ValueError(f"event {row.number} is not chained to the one before")
            digest = row.digest
        return True

    def _settle(self, rows: Sequence[Row], expected_last: int, error: sqlite3.Error) -> None:
        """After a failed commit nothing is known: look the events up by their ids, and only then say what happened."""
        code = error.sqlite_errorcode
        try:
            if code == sqlite3.SQLITE_IOERR_FSYNC or code & 0xFF in {sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CORRUPT}:
                self._open_again(rows[0].bake)
            stored = self._has(rows)
        except (sqlite3.Error, Damaged, NewerLog) as second:
            raise SavingUnknown(
                f"the disk failed while saving ({error}); whether it was saved cannot be told ({second})",
                "check the disk, open the bake again and look at its last line before saying it once more",
            ) from error
        if stored:
            return
        primary = code & 0xFF
        if primary == sqlite3.SQLITE_FULL:
            if ballast.give_up(self.path):
                self.warning = f"the disk is full: free some room where {self.path} lies"
                self._store_once_more(rows, expected_last)
                return
            raise DiskFull(
                f"not saved: the disk with {self.path} is full", "free some room there, then say it again"
            ) from error
        if primary in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}:
            raise NotSaved("not saved: another program keeps the journal busy", "try again in a moment") from error
        raise NotSaved(f"not saved: {error}", "check the disk, then say it again") from error

    def _store_once_more(self, rows: Sequence[Row], expected_last: int) -> None:
        """Try once more, now that the reserve is free."""
        try:
            self._store(rows, expected_last)
        except sqlite3.Error as error:
            if self._has(rows):
                return
            raise DiskFull(
                f"not saved: the disk with {self.path} is full", "free some room there, then say it again"
            ) from error

    def _open_again(self, bake: str) -> None:
        """After a failed sync the pages in memory may not be those on the disk: start from a fresh connection."""
        self._connection.close()
        opened = open_file(self.path, steps=self._steps)
        self._connection = opened.connection
        self.warning = "the disk reported a fault while saving: make a backup, and check the disk"
        problems = self.read(bake)[1]
        if problems:
            raise unreadable(bake, problems)

    def _last(self, bake: str) -> tuple[int, str]:
        row = self._connection.execute(
            "SELECT number, digest FROM events WHERE bake = ? ORDER BY number DESC LIMIT 1", (bake,)
        ).fetchone()
        return (row[0], row[1]) if row else (0, "")

    def _has(self, rows: Sequence[Row]) -> bool:
        return all(self._connection.execute(_OF_DECISION, (row.id, row.digest)).fetchone() for row in rows)

    def saw(self, stamp: Stamp) -> None:
        """Keep the moment at which the program last looked; the only thing in the journal that is overwritten."""
        if self.reading_only:
            return
        # A missed stamp only widens what is said about the gap later, so a busy or full disk is no matter here.
        with contextlib.suppress(sqlite3.Error):
            self._connection.execute(
                "INSERT INTO liveness VALUES (1, ?, ?, ?, ?) ON CONFLICT (one) DO UPDATE SET "
                "wall_us = excluded.wall_us, boot_us = excluded.boot_us, "
                "boot_id = excluded.boot_id, offset_min = excluded.offset_min",
                (stamp.wall_us, stamp.boot_us, stamp.boot_id, stamp.offset_min),
            )

    # -- reading -------------------------------------------------------------------------------------------------

    def last_seen(self) -> Stamp | None:
        """When the program last looked, or None if it never did."""
        row = self._connection.execute("SELECT wall_us, boot_us, boot_id, offset_min FROM liveness").fetchone()
        return Stamp(*row) if row else None

    def rows_of(self, bake: str) -> list[Row]:
        """The stored lines of one bake, in order, as they are."""
        return [Row(*values) for values in self._connection.execute(_OF_BAKE, (bake,)).fetchall()]

    def read(self, bake: str) -> tuple[tuple[Event, ...], tuple[Problem, ...]]:
        """The events of one bake as far as they can be trusted and read, and what is wrong with the rest.

        The digests are checked to the end, also behind an event that cannot be read.
        """
        events: list[Event] = []
        problems: list[Problem] = []
        digest = ""
        for number, row in enumerate(self.rows_of(bake), start=1):
            if row.number != number:
                problems.append(Problem(f"event {number} is missing"))
                break
            if chained_digest(digest, row) != row.digest:
                problems.append(Problem(f"event {number} was changed after it was written, or one before it was"))
                break
            if not problems:
                try:
                    events.append(from_row(row))
                except NewerError as error:
                    problems.append(Problem(f"event {number} {error}", newer=True))
                except PlainError as error:
                    problems.append(Problem(f"event {number} cannot be read: {error}"))
            digest = row.digest
        return tuple(events), tuple(problems)

    def events_of(self, bake: str) -> tuple[Event, ...]:
        """The events of one bake, digests checked.

        Raises:
            Damaged: one of them was changed, is missing or cannot be read; ``read`` gives those before it.
            NewerLog: a newer Proofbell has written to it.
        """
        events, problems = self.read(bake)
        if problems:
            raise unreadable(bake, problems)
        return events

    def bake_ids(self) -> list[str]:
        """Every bake, in the order in which they were opened."""
        return [row[0] for row in self._connection.execute("SELECT bake FROM events WHERE number = 1 ORDER BY seq")]

    def count(self) -> int:
        """How many bakes there are."""
        return int(self._connection.execute("SELECT count(*) FROM events WHERE number = 1").fetchone()[0])

    def matching(self, beginning: str) -> list[str]:
        """The bakes whose id begins with ``beginning``."""
        end = beginning + "\U0010ffff"
        rows = self._connection.execute(
            "SELECT bake FROM events WHERE number = 1 AND bake >= ? AND bake < ? ORDER BY bake", (beginning, end)
        )
        return [row[0] for row in rows]

    def live_bakes(self) -> list[str]:
        """The bakes that are not closed, or whose closing was taken back, in the order of opening."""
        candidates = self._connection.execute(
            """
            SELECT bake FROM events AS opening WHERE number = 1 AND (
                NOT EXISTS (SELECT 1 FROM events WHERE bake = opening.bake AND name = 'bake closed')
                OR EXISTS (
                    SELECT 1 FROM events WHERE bake = opening.bake AND name = 'corrected'
                    AND number > (SELECT min(number) FROM events WHERE bake = opening.bake AND name = 'bake closed')
                )
            ) ORDER BY seq
            """
        ).fetchall()
        return [row[0] for row in candidates if not self._is_closed(row[0])]

    def _is_closed(self, bake: str) -> bool:
        """Whether a closing stands: a correction may have taken it back.

        One whose corrections cannot be read is not: better asked about once too often than missing on the bench.
        """
        rows = [Row(*values) for values in self._connection.execute(_OF_CLOSING, (bake,)).fetchall()]
        try:
            bodies = [from_row(row).body for row in rows if row.name == "corrected"]
        except PlainError:
            return False
        undone = {number for body in bodies if isinstance(body, Corrected) and body.undone for number in body.events}
        return any(row.name == "bake closed" and row.number not in undone for row in rows)

    def data_version(self) -> int:
        """A number that changes when another program has written; costs no read of the tables."""
        return int(self._connection.execute("PRAGMA data_version").fetchone()[0])

    def each(self) -> Iterator[tuple[str, tuple[Event, ...], tuple[Problem, ...]]]:
        """Every bake with its events and what is wrong with it, one after the other.

        Each bake is a short read of its own, so that saving elsewhere never waits for a long export.
        """
        for bake in self.bake_ids():
            events, problems = self.read(bake)
            yield bake, events, problems


def values_of(row: Row) -> tuple[object, ...]:
    """A row's columns in the order of ``COLUMNS``, for ``INSERT``."""
    return (
        row.id, row.bake, row.number, row.decision, row.wall_us, row.boot_us, row.boot_id, row.offset_min,
        row.name, row.schema, row.body, row.digest,
    )  # fmt: skip


def _brought_up(backup: Path | None) -> str:
    return "" if backup is None else f"this journal was brought up to date; as it was before, it is kept as {backup}"


def _refuse_unfit(rows: Sequence[Row], expected_last: int) -> None:
    """Raise ValueError for rows that no decision could have made: a fault of the program, not of the baker."""
    for number, row in enumerate(rows, start=expected_last + 1):
        if row.bake != rows[0].bake or row.number != number:
            raise ValueError(f"event {row.number} of bake {row.bake} does not follow {number - 1}")
