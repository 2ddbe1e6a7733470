"""Adds the bakes of another journal to this one. Only ever appends: nothing that is here is changed or taken out."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from proofbell.bake.decisions.decide import decide
from proofbell.bake.events import LETTERS
from proofbell.bake.fold import fold
from proofbell.bake.intents import Refused, TakeLetter
from proofbell.bake.record import Row, from_row, to_row
from proofbell.bake.stamp import Stamp
from proofbell.bake.steps import ImpossibleError
from proofbell.journal.faults import DiskFull, LetterTaken, NotSaved
from proofbell.journal.files.disk_words import why_not_written
from proofbell.journal.recovery.parted import put_behind
from proofbell.journal.storage import letters
from proofbell.journal.storage.lines import code_of, lines_of
from proofbell.journal.storage.rows import INSERT, values_of
from proofbell.journal.storage.schema import transaction
from proofbell.journal.storage.standing import letter_of
from proofbell.journal.storage.store import Journal
from proofbell.plain import PlainError


class NoLetterLeft(Exception):  # noqa: N818 - it is no mistake of anybody
    """The bake is live, and no letter is free for it."""


def settle_letter(connection: sqlite3.Connection, bake: str, before: str | None, now: Stamp) -> str:
    """Give a bake whose events were just put in a letter of its own, inside the same transaction.

    ``before`` is the letter that it had before. Returns the letter that it goes by from now on, if that is another than
    its events said; nothing as a rule. Raises NoLetterLeft: all are taken; what was put in has to be taken out again.
    """
    try:
        letters.move(connection, bake, before)
    except LetterTaken as taken:
        free = next((letter for letter in LETTERS if letter not in taken.taken), None)
        if free is None:
            raise NoLetterLeft from taken
        _say(connection, bake, TakeLetter(free, f"{taken.letter} was taken"), now)
        letters.move(connection, bake, before)
        return free
    return ""


def _say(connection: sqlite3.Connection, bake: str, intent: TakeLetter, now: Stamp) -> None:
    try:
        decision = decide(fold(map(from_row, lines_of(connection, bake).rows)), intent, now)
    except (PlainError, ImpossibleError) as error:
        # A newer Proofbell wrote to it: its letter can only be settled by that one.
        raise NoLetterLeft from error
    if isinstance(decision, Refused):
        raise NoLetterLeft(decision.message)
    connection.executemany(INSERT, [values_of(to_row(event)) for event in decision])


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
            kind = DiskFull if code_of(error) == sqlite3.SQLITE_FULL else NotSaved
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
