"""Brings back what a backup holds. Nothing is ever thrown away: bakes are added, or the damaged file is moved aside.

A sound journal takes in what the backup has and it has not. In the place of a damaged one, or of none, comes the
backup, with all that can be rescued from the damaged one. The new journal is whole and checked before it takes the
name, and there is not a time at which no journal has it.
"""

from __future__ import annotations

import contextlib
import sqlite3
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from dataclasses import field, replace
from pathlib import Path

from proofbell.bake.record import Row
from proofbell.bake.stamp import Stamp
from proofbell.frozen import dataclass
from proofbell.journal.faults import CannotOpen, NotAJournal, ReadingOnly
from proofbell.journal.files.copying import copied, sync_folder
from proofbell.journal.files.disk_words import why_not_written
from proofbell.journal.recovery.backup import back_up
from proofbell.journal.recovery.damage import Damage, Saved, saved_of
from proofbell.journal.recovery.image import alone
from proofbell.journal.recovery.merge import Merged, merge, to_add
from proofbell.journal.recovery.rescue import amendment, fill, salvage
from proofbell.journal.recovery.rotation import backups_folder
from proofbell.journal.recovery.salvage import Log, Salvaged
from proofbell.journal.recovery.soundness import is_readable, is_sound
from proofbell.journal.reviews.moments import local
from proofbell.journal.storage.opening import connect, open_file
from proofbell.journal.storage.store import Journal
from proofbell.private_folder import make_private_folder

MOST_NAMED = 50
"""With more bakes than these they are only counted."""


@dataclass(frozen=True, slots=True)
class Restored:
    """What was done.

    ``made_good`` are the bakes of which a part was lost in one of the two, and which are whole now, since the other had
    it. ``moved_aside`` is where the damaged journal lies now, ``before`` the copy of the journal as it was; one of them
    undoes it all. ``source`` is what is lost of the file that was brought back, ``own`` of the journal that was here;
    None when they were sound.
    """

    merged: Merged
    moved_aside: Path | None = None
    before: Path | None = None
    source: Damage | None = None
    own: Damage | None = None
    new: bool = False
    made_good: tuple[str, ...] = ()
    names: dict[str, str] = field(default_factory=dict)

    @property
    def complete(self) -> bool:
        """Whether all that was found is in the journal now."""
        sound = all(damage is None or damage.nothing_lost for damage in (self.source, self.own))
        return sound and not self.merged.left_out


def restore(file: Path, journal: Path, now: Stamp) -> Restored:
    """Bring back what ``file`` holds into the journal at ``journal``.

    Raises:
        CannotOpen, NotAJournal: a file cannot be read, or belongs to another program.
        InUse: the journal is to be replaced, and Proofbell is open with it.
        DiskFull, NotSaved: not all could be added; it can be done again.
    """
    _refuse_same(file, journal)
    try:
        make_private_folder(journal.parent)
        with (
            tempfile.TemporaryDirectory(prefix=".proofbell-restore-", dir=journal.parent) as folder,
            _source(file, Path(folder), now) as source,
        ):
            if is_sound(journal):
                return _into(journal, source, now)
            with alone(journal):
                return _in_place_of(journal, source, Path(folder), now)
    except (OSError, sqlite3.Error) as error:
        why = f"{file} could not be brought back: {why_not_written(error)}"
        raise CannotOpen(why, "nothing of the journal was changed; fix that, then run it again") from error


@dataclass(frozen=True, slots=True)
class _Source:
    """The file that is brought back: a copy of it, and what of it can be read, for the journal that takes it in."""

    path: Path
    rows: Callable[[Journal], Iterator[Sequence[Row]]]
    damage: Damage | None
    salvaged: Salvaged


@contextlib.contextmanager
def _source(file: Path, folder: Path, now: Stamp) -> Iterator[_Source]:
    if not file.is_file():
        raise CannotOpen(f"there is no file {file}", "run proofbell journal restore to list the backups")
    copy = folder / "source.sqlite"
    if is_readable(file):
        with closing(connect(file)) as source:
            copied(source, copy)
        # A backup of an older version is brought up to date in the copy; the file itself stays as it is.
        if is_sound(copy):
            with Journal(copy, open_file(copy)) as opened:
                yield _Source(copy, lambda _: (opened.rows_of(bake) for bake in opened.bake_ids()), None, Salvaged(()))
            return
    found = salvage(file)
    if not found.salvaged.logs:
        raise NotAJournal(f"nothing of {file} can be read as a journal", "try another backup")
    copy = folder / "salvaged.sqlite"
    fill(copy, [], now)
    yield _Source(copy, lambda opened: _left(opened, found.salvaged, now), found.damage, found.salvaged)


def _into(journal: Path, source: _Source, now: Stamp) -> Restored:
    """Take in what is lacking, after a copy of the journal as it is."""
    with Journal.open(journal) as opened:
        if opened.reading_only:
            raise ReadingOnly("nothing was brought back: " + opened.reading_only)
        before = None
        if any(to_add(opened, rows) for rows in source.rows(opened)):
            before = _kept_as_it_was(opened, journal, now)
        merged = merge(opened, source.rows(opened), now)
        lost, good = _made_good(opened, source.damage, source.salvaged)
        return Restored(merged, before=before, source=lost, made_good=good, names=_names(opened, merged))


def _kept_as_it_was(opened: Journal, journal: Path, now: Stamp) -> Path:
    folder = backups_folder(journal)
    make_private_folder(folder)
    path = _free_name(folder / f"{journal.stem}-before-restore-{_day(now)}.sqlite")
    back_up(opened, path)
    return path


def _in_place_of(journal: Path, source: _Source, folder: Path, now: Stamp) -> Restored:
    """Build the new journal beside the damaged one, then let them change places."""
    own = salvage(journal, is_alone=True) if journal.is_file() and journal.stat().st_size else None
    with Journal(source.path, open_file(source.path)) as opened:
        if opened.reading_only:
            raise ReadingOnly("nothing was brought back: " + opened.reading_only)
        merged = Merged(added=opened.bake_ids()) if source.damage is None else merge(opened, source.rows(opened), now)
        if own is not None:
            merged = _both(merged, merge(opened, _left(opened, own.salvaged, now), now))
        merged.events = opened.connection.execute("SELECT count(*) FROM events").fetchone()[0]
        names = _names(opened, merged)
        lost, good = _made_good(opened, source.damage, source.salvaged)
        own_lost, own_good = _made_good(opened, own.damage, own.salvaged) if own else (None, ())
        new = folder / "new.sqlite"
        copied(opened.connection, new)
    if not is_sound(new):
        raise CannotOpen("the new journal does not read as it was written", "check the disk; nothing was changed")
    aside = None
    if own is None:
        new.replace(journal)
        sync_folder(journal.parent)
    else:
        aside = _change_places(new, journal, now)
    good = tuple(dict.fromkeys((*good, *own_good)))
    return Restored(merged, moved_aside=aside, source=lost, own=own_lost, new=own is None, made_good=good, names=names)


def _made_good(opened: Journal, damage: Damage | None, salvaged: Salvaged) -> tuple[Damage | None, tuple[str, ...]]:
    """What is lost for good, and the bakes of which this journal has what was lost."""
    if damage is None:
        return None, ()
    good: dict[str, Saved] = {}
    for log, saved in zip(salvaged.logs, damage.bakes, strict=True):
        if saved.whole:
            continue
        digests = {row.number: row.digest for row in opened.rows_of(log.bake)}
        known = all(digests.get(row.number) == row.digest for row in (*log.rows, *log.loose))
        if known and all(number in digests for number in log.lost):
            good[log.bake] = replace(saved, saved=len(digests), lost=(), not_joined=())
    bakes = tuple(good.get(saved.bake, saved) for saved in damage.bakes)
    return replace(damage, bakes=bakes), tuple(good)


def _names(opened: Journal, merged: Merged) -> dict[str, str]:
    named = (*merged.added, *merged.completed, *merged.joined, *merged.left_out)
    if len(named) > MOST_NAMED:
        named = (*merged.completed, *merged.joined, *merged.left_out)
    return {bake: saved_of(Log(bake, tuple(opened.rows_of(bake)))).name for bake in named[:MOST_NAMED]}


def _both(first: Merged, second: Merged) -> Merged:
    return Merged(
        [*first.added, *second.added],
        [*first.completed, *second.completed],
        [*first.joined, *second.joined],
        [*first.same, *second.same],
        [*first.apart, *second.apart],
        [*first.without_letter, *second.without_letter],
        {**first.letters, **second.letters},
        first.events + second.events,
    )


def _left(opened: Journal, salvaged: Salvaged, now: Stamp) -> Iterator[Sequence[Row]]:
    """The lines of salvaged bakes; at the end of one that lost its end stands what is known of it.

    Unless this journal has more of it.
    """
    for log in salvaged.logs:
        ours = opened.rows_of(log.bake)
        if log.rows and ours == list(log.rows[: len(ours)]):
            yield (*log.rows, *amendment(log, now))
        elif log.rows:
            yield log.rows


def _change_places(new: Path, journal: Path, now: Stamp) -> Path:
    aside = _free_name(journal.with_name(f"{journal.stem}-damaged-{_day(now)}{journal.suffix}"))
    try:
        # A second name first, so that the journal's name is never without a file.
        aside.hardlink_to(journal)
    except OSError:
        return _one_after_the_other(new, journal, aside)
    _move_half(journal, aside)
    sync_folder(journal.parent)
    new.replace(journal)
    sync_folder(journal.parent)
    return aside


def _one_after_the_other(new: Path, journal: Path, aside: Path) -> Path:
    """Change places where a file can have one name only, as on some memory cards."""
    journal.rename(aside)
    _move_half(journal, aside)
    try:
        new.replace(journal)
    except OSError:
        aside.rename(journal)
        raise
    sync_folder(journal.parent)
    return aside


def _move_half(journal: Path, aside: Path) -> None:
    """What a crash left half-written belongs to the damaged file; beside the new one it would spoil it."""
    with contextlib.suppress(FileNotFoundError):
        _half(journal).replace(_half(aside))


def _half(path: Path) -> Path:
    """SQLite's rollback journal: what it needs to undo an interrupted change."""
    return path.with_name(path.name + "-journal")


def _refuse_same(file: Path, journal: Path) -> None:
    with contextlib.suppress(OSError):
        if file.samefile(journal):
            raise CannotOpen(
                f"{file} is the journal itself", "name a backup of it; proofbell journal restore lists them"
            )


def _free_name(path: Path) -> Path:
    number, free = 2, path
    while free.exists():
        free = path.with_name(f"{path.stem}-{number}{path.suffix}")
        number += 1
    return free


def _day(now: Stamp) -> str:
    return f"{local(now.wall_us, now.offset_min):%Y-%m-%d}"
