"""Makes a sound journal of a damaged one: every bake as far as its digests hold, and what is lost said in words.

What follows a break in a bake cannot be joined on as events; it stands in a note at the end of that bake instead, and
in the report. A bake that such events show to be over is closed again, so that it does not come back to the bench.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing
from dataclasses import replace
from pathlib import Path

from proofbell.bake import events as kinds
from proofbell.bake.events import Event
from proofbell.bake.intents import MOST_NOTE, said
from proofbell.bake.record import Row, make_event, to_row
from proofbell.bake.stamp import Stamp
from proofbell.frozen import dataclass
from proofbell.journal.faults import CannotOpen, Damaged, Problem
from proofbell.journal.files.copying import put_in_place, refuse_existing, remove_unfinished, temporary_beside
from proofbell.journal.files.disk_words import why_not_written
from proofbell.journal.recovery.carving import carve
from proofbell.journal.recovery.damage import Damage, Saved, closing_of, damage_of, ranges, state_of
from proofbell.journal.recovery.image import image_of, refuse_foreign
from proofbell.journal.recovery.merge import NoLetterLeft, settle_letter
from proofbell.journal.recovery.salvage import Log, Salvaged, put_together
from proofbell.journal.recovery.verify import file_problems
from proofbell.journal.reviews.moments import clock, day, local
from proofbell.journal.storage import letters, schema
from proofbell.journal.storage.opening import Opened, apply_settings, connect
from proofbell.journal.storage.rows import INSERT, values_of
from proofbell.journal.storage.standing import live_bakes
from proofbell.journal.storage.store import Journal
from proofbell.words import counted


@dataclass(frozen=True, slots=True)
class Rescued:
    """What was read of a damaged journal, and that in words."""

    salvaged: Salvaged
    damage: Damage


def salvage(path: Path, *, is_alone: bool = False) -> Rescued:
    """Read the journal at ``path`` past its damage; the file stays as it is. ``is_alone``: see `image_of`.

    Raises:
        CannotOpen: there is none, or nothing of it can be read.
        NotAJournal: it was made by another program.
        InUse: it has to be read directly, and another Proofbell has it open.
    """
    image = image_of(path, is_alone=is_alone)
    salvaged = put_together(carve(image))
    if not salvaged.logs and not salvaged.unplaced:
        refuse_foreign(image, path)
    return Rescued(salvaged, damage_of(salvaged))


def rescue(path: Path, to: Path, now: Stamp) -> Damage:
    """Write a sound journal to ``to`` with all that can be saved of the one at ``path``.

    Raises:
        AlreadyThere: ``to`` exists.
        CannotOpen, NotAJournal, InUse: see `salvage`; or ``to`` cannot be written.
    """
    try:
        refuse_existing(to, overwrite=False)
    except OSError as error:
        raise CannotOpen(f"{to} cannot be written: {why_not_written(error)}", "choose another name") from error
    found = salvage(path)
    given = write_journal(to, amended(found.salvaged.logs, now), now)
    return replace(found.damage, letters=given)


def amended(logs: Iterable[Log], now: Stamp) -> list[Sequence[Row]]:
    """The lines of each bake of which something is left, with a closing note on those that are cut short."""
    return [(*log.rows, *amendment(log, now)) for log in logs if log.rows]


def amendment(log: Log, now: Stamp) -> tuple[Row, ...]:
    """What is said at the end of a bake that lost its end: a note, a mark, and its closing if it is known to be over.

    Nothing for one that is whole, and for one that only a newer Proofbell can read.
    """
    state = state_of(log)
    if log.whole or state is None or state.last.number != len(log.rows):
        return ()
    bodies: list[kinds.Body] = [kinds.NoteAdded(_note(log, now))]
    if state.typical:
        bodies.append(kinds.BakeMarked(typical=False, why="a part of its log was lost"))
    over = closing_of(log) if state.closed is None else None
    if over is not None:
        row, body = over
        now = _after(log.rows[-1], row)
        bodies.append(kinds.BakeClosed(body.outcome, said(f"{body.why} (as the damaged journal says)".strip())))
    events = []
    number, digest = len(log.rows), log.rows[-1].digest
    first = number + 1
    for body_ in bodies:
        number += 1
        event = make_event(log.bake, number, first, now, body_, digest)
        events.append(event)
        digest = event.digest
    return tuple(map(to_row, events))


def _after(last: Row, row: Row) -> Stamp:
    """The moment of ``row``, or of ``last`` where that one cannot be true."""
    told = row if row.wall_us >= last.wall_us else last
    return Stamp(told.wall_us, told.boot_us, told.boot_id, told.offset_min)


def _note(log: Log, now: Stamp) -> str:
    moment = local(now.wall_us, now.offset_min)
    saved = damage_of(Salvaged((log,))).bakes[0]
    lines = [f"The journal was damaged; this bake was rescued on {day(moment)} at {clock(moment)}."]
    if log.lost:
        lines.append(f"Lost: {ranges(log.lost)}.")
    if saved.not_joined:
        lines.append("Said after that:")
    text = "\n".join((*lines, *saved.not_joined))
    return said(text if len(text) <= MOST_NOTE else text[: MOST_NOTE - 1] + "…", MOST_NOTE)


def write_journal(to: Path, bakes: Iterable[Sequence[Row]], now: Stamp) -> dict[str, str]:
    """Write a new journal that holds these bakes, and check it before it gets its name.

    Returns the letters that were given to live bakes whose own another live one has.

    Raises:
        AlreadyThere: the file exists.
        CannotOpen: it cannot be written.
        Damaged: what was written does not read as it should; nothing is left of it.
    """
    try:
        temporary = temporary_beside(to)
        try:
            os.close(os.open(temporary, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
            given = fill(temporary, list(bakes), now)
            put_in_place(temporary, to, overwrite=False)
        finally:
            remove_unfinished(temporary)
    except (OSError, sqlite3.Error) as error:
        raise CannotOpen(f"{to} cannot be written: {why_not_written(error)}", "choose another place") from error
    return given


def fill(path: Path, bakes: Sequence[Sequence[Row]], now: Stamp | None) -> dict[str, str]:
    """Put bakes into the empty journal at ``path``, and read them back. Returns as `write_journal`.

    Without ``now`` nothing is added to them, and of two live ones that share a letter only one has it. Raises Damaged:
    they do not read as they should.
    """
    with closing(connect(path)) as connection:
        apply_settings(connection)
        schema.migrate(connection)
        with schema.transaction(connection):
            for rows in bakes:
                connection.executemany(INSERT, [values_of(row) for row in rows])
            letters.fill(connection)
            given = {} if now is None else _letters_of_their_own(connection, now)
    with Journal(path, Opened(connect(path), reading_only="this is a copy being checked")) as written:
        problems = list(file_problems(path))
        problems += [
            f"bake {rows[0].bake}" for rows in bakes if written.rows_of(rows[0].bake)[: len(rows)] != list(rows)
        ]
    if problems:
        raise Damaged("copy", problems)
    return given


def _letters_of_their_own(connection: sqlite3.Connection, now: Stamp) -> dict[str, str]:
    """Two live bakes may have one letter now, where it was lost that one of them is over, or got another."""
    given: dict[str, str] = {}
    for bake in live_bakes(connection):
        if bake not in letters.kept(connection).values():
            # With no letter left it goes without: better than not to be there.
            with contextlib.suppress(NoLetterLeft):
                letter = settle_letter(connection, bake, None, now)
                given.update({bake: letter} if letter else {})
    return given


class PartialJournal(Journal):
    """For reading only. A bake that lost its end says so wherever its log is read."""

    def __init__(self, path: Path, damage: Damage) -> None:
        super().__init__(path, Opened(connect(path), reading_only="the journal is damaged"))
        self.damage = damage
        self._cut = {bake.bake: _problem(bake) for bake in damage.bakes if not bake.whole}

    def read(self, bake: str) -> tuple[tuple[Event, ...], tuple[Problem, ...]]:
        """As in any journal, and what is lost of the bake's end."""
        events, problems = super().read(bake)
        cut = self._cut.get(bake)
        return events, problems if cut is None else (*problems, cut)


def _problem(bake: Saved) -> Problem:
    words = [f"{ranges(bake.lost)} cannot be read"] if bake.lost else []
    if bake.not_joined:
        words.append(f"{counted(len(bake.not_joined), 'later event')} cannot be joined on")
    return Problem("; ".join(words))


@contextlib.contextmanager
def as_far_as_it_reads(path: Path) -> Iterator[PartialJournal]:
    """What can be read of the damaged journal at ``path``; the file stays as it is.

    Raises CannotOpen, NotAJournal, InUse: nothing of it can be read.
    """
    found = salvage(path)
    with tempfile.TemporaryDirectory(prefix="proofbell-") as folder:
        copy = Path(folder) / "salvaged.sqlite"
        fill(copy, [log.rows for log in found.salvaged.logs if log.rows], None)
        with PartialJournal(copy, found.damage) as journal:
            yield journal
