"""A damaged journal as far as it reads: what can be saved of it, to be looked at and taken away like any other."""

from __future__ import annotations

import contextlib
import tempfile
from collections.abc import Iterator
from pathlib import Path

from proofbell.bake.events import Event
from proofbell.journal.faults import Problem
from proofbell.journal.recovery.damage import Damage, Saved, ranges
from proofbell.journal.recovery.rescue import fill, salvage
from proofbell.journal.storage.opening import Opened, connect
from proofbell.journal.storage.store import Journal
from proofbell.words import counted


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
