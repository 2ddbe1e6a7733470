"""A copy of the journal that was checked before it got its name."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing
from pathlib import Path

from proofbell.frozen import dataclass
from proofbell.journal.faults import CannotOpen, Damaged
from proofbell.journal.files.copying import copy_database
from proofbell.journal.files.disk_words import why_not_written
from proofbell.journal.recovery.rotation import backups_folder
from proofbell.journal.recovery.verify import Verdict, verify
from proofbell.journal.storage.opening import Opened, connect
from proofbell.journal.storage.store import Journal


class NotSound(Damaged):
    """The copy shows that the journal is damaged; it was not kept."""

    def __init__(self, problems: Sequence[str]) -> None:
        super().__init__("copy", problems)
        self.args = (f"no backup was made, since the journal is damaged: {problems[0]}",)
        self.message = self.args[0]
        self.remedy = "run proofbell journal backup FILE --as-far-as-it-reads to save all that can be read"


def back_up(
    journal: Journal, path: Path, *, overwrite: bool = False, said: Callable[[int, int], None] | None = None
) -> Verdict:
    """Copy the journal to ``path`` while it is in use, check the copy whole, and only then give it its name.

    ``said`` is called now and then with how many bakes of the copy are checked, of how many.

    Raises:
        AlreadyThere: ``path`` exists and ``overwrite`` is False.
        NotSound: the copy shows faults; it is not kept, and an older file of that name stays.
        CannotOpen: the place cannot be written to.
    """
    verdicts: list[Verdict] = []

    def check(copy: Path) -> None:
        with Journal(copy, Opened(connect(copy), reading_only="this is a copy being checked")) as copied:
            verdict = verify(copied, said)
        if verdict.problems:
            raise NotSound(verdict.problems)
        verdicts.append(verdict)

    try:
        copy_database(journal.connection, path, overwrite=overwrite, check=check)
    except (OSError, sqlite3.Error) as error:
        why = f"no backup could be written to {path}: {why_not_written(error)}"
        raise CannotOpen(why, "choose another place, or free some room there") from error
    return verdicts[0]


@dataclass(frozen=True, slots=True)
class Backup:
    """One backup. ``made_us`` is when its file was written, ``newest_us`` the moment of its newest event (both UTC).

    ``bakes`` is None when it cannot be read.
    """

    path: Path
    made_us: int
    bakes: int | None = None
    events: int = 0
    newest_us: int | None = None


def backups(journal: Path) -> list[Backup]:
    """The backups of this journal, the newest first: those made by themselves, and those made before a change."""
    found = [
        *backups_folder(journal).glob(f"{journal.stem}-*.sqlite"),
        *journal.parent.glob(f"{journal.stem}-before-version-*{journal.suffix}"),
    ]
    listed = [_looked_at(path) for path in found if path.is_file()]
    return sorted(listed, key=lambda one: (one.made_us, one.path.name), reverse=True)


def _looked_at(path: Path) -> Backup:
    made_us = path.stat().st_mtime_ns // 1000
    try:
        with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as connection:
            bakes = connection.execute("SELECT count(*) FROM events WHERE number = 1").fetchone()[0]
            events, newest_us = connection.execute("SELECT count(*), max(wall_us) FROM events").fetchone()
    except (sqlite3.Error, OSError):
        return Backup(path, made_us)
    return Backup(path, made_us, bakes, events, newest_us)
