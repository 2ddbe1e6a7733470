"""The store of every bake: one transaction for one decision, and nothing acknowledged that is not on the disk.

A journal belongs to the thread that opened it (see ``writer``). The file is touched through SQLite only: closing any
other handle of it would drop the locks that keep two programs apart.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Self

from proofbell.bake.events import Event
from proofbell.bake.record import Row, to_row
from proofbell.bake.stamp import Stamp
from proofbell.journal.faults import DiskFault, JournalFault, ReadingOnly, SavingUnknown, StaleDecision, unreadable
from proofbell.journal.files import ballast
from proofbell.journal.files.place import place_warning
from proofbell.journal.storage import letters, schema
from proofbell.journal.storage.lines import BUSY, code_of
from proofbell.journal.storage.opening import WAIT_S, Opened, open_file
from proofbell.journal.storage.reader import JournalReader
from proofbell.journal.storage.rows import INSERT, refuse_unchained, refuse_unfit, values_of
from proofbell.journal.storage.saving import file_gone, gone_words, identity, not_saved, write_protected
from proofbell.journal.storage.schema import transaction
from proofbell.journal.storage.standing import letter_of

_OF_DECISION = "SELECT 1 FROM events WHERE id = ? AND digest = ?"


class Journal(JournalReader):
    """An open journal. Close it, or use it as a context manager."""

    def __init__(self, path: Path, opened: Opened, steps: Sequence[schema.Step] = schema.STEPS) -> None:
        super().__init__(path, opened.connection)
        self.warning = opened.reading_only or place_warning(path) or _brought_up(opened.backup)
        """Something the baker should see for as long as this journal is open; empty when all is well."""
        self._steps = steps
        self.reading_only = opened.reading_only
        """Why nothing can be written; empty when it can."""
        self._protected = opened.protected
        self.backup_made = opened.backup
        """The copy made before an older journal was brought up to date."""
        self._identity = identity(path)
        self._unsure = False
        self._reserve_used = False
        self._wait_s = WAIT_S

    @classmethod
    def open(
        cls, path: Path, *, steps: Sequence[schema.Step] = schema.STEPS, read_only: bool = False, wait_s: float = WAIT_S
    ) -> Self:
        """Open the journal at ``path``, make it if there is none, bring an older one up to date (backup first).

        ``wait_s`` is how long this journal waits, now and at every later step, for another program that is writing.
        Raises CannotOpen, NotAJournal: in plain words, with what to do. BusyOpening among them may be tried again.
        """
        journal = cls(path, open_file(path, steps=steps, read_only=read_only, wait_s=wait_s), steps)
        journal._wait_s = wait_s
        if not journal.reading_only:
            ballast.lay_down(path)
        return journal

    # -- writing -------------------------------------------------------------------------------------------------

    def append(self, events: Sequence[Event], expected_last: int) -> None:
        """Store the events of one decision about one bake; on return they are on the disk.

        ``expected_last`` is the number of the bake's last event when the decision was made (0 for a new bake). The
        same events handed in once more are not stored twice.

        Raises:
            StaleDecision: somebody else appended to this bake meanwhile.
            LetterTaken: the bake would have a letter that another live one has; nothing is stored.
            NotSaved: the events are certainly not stored; its subclasses say why. After FileGone, close this journal
                and open it anew: that begins another file where there is none, and `complete` fills it.
            SavingUnknown: the disk cannot say.
        """
        if events:
            rows = [to_row(event) for event in events]
            refuse_unfit(rows, expected_last)
            self._save(rows, lambda: rows if self._is_new(rows, expected_last) else ())

    def complete(self, events: Sequence[Event]) -> int:
        """Store what the file does not have yet of a bake whose events, all of them from the first, are handed in.

        For whoever went on deciding while nothing could be saved. What the file has must be the beginning of
        ``events``. It may be said again at any time. Returns how many events of the bake are stored now.

        Raises:
            StaleDecision: the file has other events of this bake, or more; ``found`` says how many.
            LetterTaken, NotSaved, SavingUnknown: as `append`.
        """
        if events:
            rows = [to_row(event) for event in events]
            refuse_unfit(rows, 0)
            self._save(rows, lambda: self._rest(rows))
        return len(events)

    def _save(self, rows: Sequence[Row], missing: Callable[[], Sequence[Row]]) -> None:
        """Store those ``rows`` that are ``missing``, which is asked inside the transaction."""
        self._writable(rows[0].bake)
        try:
            self._store(missing)
        except sqlite3.Error as error:
            self._settle(rows, missing, error)
        gone = gone_words(self.path, self._identity)
        if gone:
            raise file_gone(self.path, gone)

    def _writable(self, bake: str) -> None:
        """Make sure that writing can be tried. Raises ReadingOnly, WriteProtected: it cannot."""
        if self._unsure or self._protected:
            # What stood in the way may be over by now.
            gone = gone_words(self.path, self._identity)
            if gone:
                raise file_gone(self.path, gone)
            try:
                self._open_again(bake)
            except (sqlite3.Error, JournalFault) as error:
                raise DiskFault(f"not saved: the journal cannot be opened again ({error})", "check the disk") from error
        if self._protected:
            raise write_protected(self.path)
        if self.reading_only:
            raise ReadingOnly("not saved: " + self.reading_only)

    def _store(self, missing: Callable[[], Sequence[Row]]) -> None:
        with transaction(self._connection):
            rows = missing()
            if not rows:
                return
            bake = rows[0].bake
            moved = letters.are_moved_by(rows)
            before = letter_of(self._connection, bake) if moved else None
            self._connection.executemany(INSERT, [values_of(row) for row in rows])
            if moved:
                letters.move(self._connection, bake, before)

    def _is_new(self, rows: Sequence[Row], expected_last: int) -> bool:
        """Whether the rows follow the last event; False when they are stored already."""
        last, digest = self._last(rows[0].bake)
        if last != expected_last:
            if self._has(rows):
                return False
            raise StaleDecision(rows[0].bake, expected_last, last)
        refuse_unchained(rows, digest)
        return True

    def _rest(self, rows: Sequence[Row]) -> Sequence[Row]:
        """Those of a bake's rows that are not stored yet."""
        bake = rows[0].bake
        stored = self._connection.execute(
            "SELECT number, digest FROM events WHERE bake = ? ORDER BY number", (bake,)
        ).fetchall()
        if stored != [(row.number, row.digest) for row in rows[: len(stored)]]:
            raise StaleDecision(bake, len(rows), max(len(stored), stored[-1][0]))
        refuse_unchained(rows, "")
        return rows[len(stored) :]

    def _settle(self, rows: Sequence[Row], missing: Callable[[], Sequence[Row]], error: sqlite3.Error) -> None:
        """After a failed commit nothing is known: look the events up by their ids, and only then say what happened."""
        gone = gone_words(self.path, self._identity)
        if gone:
            # A look into the file that was opened would say nothing of the one that will be opened next.
            raise file_gone(self.path, gone) from error
        code = code_of(error)
        try:
            if code in {sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CORRUPT}:
                self._open_again(rows[0].bake)
            stored = self._has(rows)
        except (sqlite3.Error, JournalFault) as second:
            if code in BUSY:
                # The file was never had to write in, nor is it now to look in: nothing was stored.
                raise not_saved(error, self.path, self._identity) from error
            self._unsure = True
            raise SavingUnknown(
                f"the disk failed while saving ({error}); whether it was saved cannot be told ({second})",
                "check the disk, open the bake again and look at its last line before saying it once more",
            ) from error
        if stored:
            return
        if code == sqlite3.SQLITE_FULL and ballast.give_up(self.path):
            self.warning = f"the disk is nearly full: free some room where {self.path} lies"
            self._reserve_used = True
            self._store_once_more(rows, missing)
            return
        raise not_saved(error, self.path, self._identity) from error

    def _store_once_more(self, rows: Sequence[Row], missing: Callable[[], Sequence[Row]]) -> None:
        try:
            self._store(missing)
        except sqlite3.Error as error:
            if not self._has(rows):
                raise not_saved(error, self.path, self._identity) from error

    def _open_again(self, bake: str) -> None:
        """After a failed sync the pages in memory may not be those on the disk: start from a fresh connection."""
        self._unsure = True
        self._connection.close()
        opened = open_file(self.path, steps=self._steps, wait_s=self._wait_s)
        self._connection = opened.connection
        self._identity = identity(self.path)
        if self._protected and not opened.protected:
            self.warning = ""
        elif not self._protected:
            self.warning = "the disk reported a fault while saving: make a backup, and check the disk"
        self.reading_only, self._protected, self._unsure = opened.reading_only, opened.protected, False
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

    def is_where_it_was(self) -> bool:
        """Whether the file that was opened still has its name. When not, close this journal and open it again."""
        return not gone_words(self.path, self._identity)

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
        if self._reserve_used and ballast.lay_down(self.path):
            self._reserve_used, self.warning = False, place_warning(self.path)


def _brought_up(backup: Path | None) -> str:
    return "" if backup is None else f"this journal was brought up to date; as it was before, it is kept as {backup}"
