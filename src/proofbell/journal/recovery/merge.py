"""Adds the bakes of another journal to this one. Only ever appends: nothing that is here is changed or taken out."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from proofbell.bake.record import Row
from proofbell.bake.stamp import Stamp
from proofbell.journal.faults import DiskFull, NotSaved
from proofbell.journal.files.disk_words import why_not_written
from proofbell.journal.recovery.parted import put_behind
from proofbell.journal.recovery.takeover import NoLetterLeft, settle_letter
from proofbell.journal.storage.rows import INSERT, values_of
from proofbell.journal.storage.schema import transaction
from proofbell.journal.storage.standing import letter_of
from proofbell.journal.storage.store import Journal


@dataclass(slots=True)
class Merged:
    """What became of the bakes of the other journal, by their ids.

    ``completed`` were here, and go on there. ``joined`` went on differently here and there: what is only there was put
    behind what is here. ``apart`` did so too, and cannot be joined: they stay as they are here.
    ``without_letter`` are live there, and no letter is free for them here. ``letters`` are those that got another one.
    """

    added: list[str] = field(default_factory=list)
    completed: list[str] = field(default_factory=list)
    joined: list[str] = field(default_factory=list)
    same: list[str] = field(default_factory=list)
    apart: list[str] = field(default_factory=list)
    without_letter: list[str] = field(default_factory=list)
    letters: dict[str, str] = field(default_factory=dict)
    events: int = 0

    @property
    def left_out(self) -> tuple[str, ...]:
        """The bakes of which something is there that is not here."""
        return (*self.apart, *self.without_letter)


def merge(journal: Journal, bakes: Iterable[Sequence[Row]], now: Stamp) -> Merged:
    """Take in what ``bakes`` have and ``journal`` has not, one bake after the other; each wholly or not at all.

    It can be done again after it was cut short. Raises DiskFull, NotSaved: what was added before stays; the rest is not
    here.
    """
    merged = Merged()
    for rows in bakes:
        try:
            with transaction(journal.connection):
                _take_in(journal, rows, now, merged)
        except NoLetterLeft:
            merged.without_letter.append(rows[0].bake)
        except sqlite3.Error as error:
            why = f"not everything was added: {why_not_written(error)}"
            kind = DiskFull if getattr(error, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_FULL else NotSaved
            raise kind(why, "fix that, then run it again: it continues where it stopped") from error
    return merged


def lacks(journal: Journal, rows: Sequence[Row]) -> tuple[Row, ...] | None:
    """What ``journal`` lacks of one bake; nothing when it has it all, None when the two went different ways."""
    ours = journal.rows_of(rows[0].bake)
    if any(one.digest != other.digest for one, other in zip(ours, rows, strict=False)):
        return None
    return tuple(rows[len(ours) :])


def to_add(journal: Journal, rows: Sequence[Row]) -> tuple[Row, ...] | None:
    """As `lacks`, and of two that went different ways what puts the one behind the other; None where nothing can."""
    missing = lacks(journal, rows)
    return put_behind(journal, rows) if missing is None else missing


def _take_in(journal: Journal, rows: Sequence[Row], now: Stamp, merged: Merged) -> None:
    if not rows:
        return
    bake = rows[0].bake
    missing, went_apart = to_add(journal, rows), lacks(journal, rows) is None
    if missing is None:
        merged.apart.append(bake)
        return
    if not missing:
        merged.same.append(bake)
        return
    before = letter_of(journal.connection, bake)
    journal.connection.executemany(INSERT, [values_of(row) for row in missing])
    letter = settle_letter(journal.connection, bake, before, now)
    kind = merged.joined if went_apart else merged.added if len(missing) == len(rows) else merged.completed
    kind.append(bake)
    merged.events += len(missing)
    if letter:
        merged.letters[bake] = letter
