"""Reading the bakes of a journal: their events as far as they can be trusted, and what is wrong with the rest."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import Self

from proofbell.bake.events import Event
from proofbell.bake.record import NewerError, Row, chained_digest, from_row
from proofbell.bake.stamp import Stamp
from proofbell.journal.faults import CannotRead, Problem, unreadable
from proofbell.journal.storage import letters
from proofbell.journal.storage.lines import Lines, ids, lines_of, passing
from proofbell.journal.storage.standing import live_bakes
from proofbell.plain import PlainError


class JournalReader:
    """What an open journal is read by. Close it, or use it as a context manager."""

    def __init__(self, path: Path, connection: sqlite3.Connection) -> None:
        self.path = path
        self._connection = connection

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
        self._connection.close()

    def last_seen(self) -> Stamp | None:
        """When the program last looked, or None if it never did, or what it left cannot be read."""
        try:
            row = self._connection.execute("SELECT wall_us, boot_us, boot_id, offset_min FROM liveness").fetchone()
        except sqlite3.Error as error:
            if fault := passing(error):
                raise fault from error
            return None
        if row is None or [type(value) for value in row] != [int, int, str, int]:
            return None
        return Stamp(*row)

    def rows_of(self, bake: str) -> list[Row]:
        """The stored lines of one bake, in order, as they are; without those that are damaged."""
        return list(lines_of(self._connection, bake).rows)

    def read(self, bake: str) -> tuple[tuple[Event, ...], tuple[Problem, ...]]:
        """The events of one bake as far as they can be trusted and read, and what is wrong with the rest.

        The digests are checked to the end, also behind an event that cannot be read. Damage anywhere in the file is a
        problem of the bakes that lie there, and of no other. Raises CannotRead: nothing can be read just now, as when
        another program keeps the file busy.
        """
        lines = lines_of(self._connection, bake)
        events: list[Event] = []
        problems: list[Problem] = []
        digest = ""
        for number, row in enumerate(lines.rows, start=1):
            if row.number != number:
                problems.append(_gap(lines, number))
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
        if lines.damage is not None and all(problem.newer for problem in problems):
            problems.append(_gap(lines, len(lines.rows) + 1))
        return tuple(events), tuple(problems)

    def events_of(self, bake: str) -> tuple[Event, ...]:
        """The events of one bake, digests checked.

        Raises:
            Damaged: one of them was changed, is missing or cannot be read; ``read`` gives those before it.
            NewerLog: a newer Proofbell has written to it.
            CannotRead: as `read`.
        """
        events, problems = self.read(bake)
        if problems:
            raise unreadable(bake, problems)
        return events

    def bake_ids(self) -> list[str]:
        """Every bake, in the order in which they were opened."""
        return ids(self._connection)

    def count(self) -> int:
        return len(self.bake_ids())

    def matching(self, beginning: str) -> list[str]:
        return sorted(bake for bake in self.bake_ids() if bake.startswith(beginning))

    def live_bakes(self) -> list[str]:
        """The bakes that are not closed, or whose closing was taken back, in the order of opening.

        One of which it cannot be told is among them: better asked about once too often than missing on the bench.
        """
        return live_bakes(self._connection)

    def letters(self) -> dict[str, str]:
        """Letter to bake, for the live bakes; of two that share one, from an older journal, the one opened first."""
        return letters.in_use(self._connection)

    def data_version(self) -> int:
        """A number that changes when another program has written; costs no read of the tables.

        Raises CannotRead: as `read`.
        """
        try:
            return int(self._connection.execute("PRAGMA data_version").fetchone()[0])
        except sqlite3.Error as error:
            raise passing(error) or CannotRead(f"the journal cannot be read: {error}", "check the disk") from error

    def each(self) -> Iterator[tuple[str, tuple[Event, ...], tuple[Problem, ...]]]:
        """Every bake with its events and what is wrong with it, one after the other.

        Each bake is a short read of its own, so that saving elsewhere never waits for a long export.
        """
        for bake in self.bake_ids():
            events, problems = self.read(bake)
            yield bake, events, problems


def _gap(lines: Lines, number: int) -> Problem:
    if number in lines.spoilt:
        return Problem(f"event {number} cannot be read: its line is damaged")
    if lines.damage is not None:
        return Problem(f"event {number} cannot be read: {lines.damage}")
    return Problem("its first event is missing" if number == 1 else f"event {number} is missing")
