"""``proofbell journal rescue`` and ``restore``: what is saved of a damaged journal, and what a backup brings back."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Sequence
from datetime import timedelta
from pathlib import Path
from typing import Any

from proofbell import places
from proofbell.bake.stamp import Stamp
from proofbell.cli.printed.journal_waiting import say_if_busy
from proofbell.cli.printed.printing import print_json, remark
from proofbell.clock import WallClock
from proofbell.journal.recovery.backup import Backup, backups
from proofbell.journal.recovery.damage import Damage, as_json
from proofbell.journal.reviews.moments import clock, day, iso, local
from proofbell.visible import visible
from proofbell.words import counted, length

MOST_LISTED = 50

LONG_BYTES = 10_000_000
"""A longer journal is not read in the time that one waits without a word."""


def rescue_to(file: Path, *, as_document: bool) -> int:
    """Save what can be read of the journal to a new file. 0: all of it; 1: something is lost."""
    from proofbell.journal.recovery.rescue import rescue

    say_if_busy(places.journal_file())
    _say_if_long(places.journal_file())
    damage = rescue(places.journal_file(), file, WallClock().stamp())
    if as_document:
        print_json({"file": str(file), **as_json(damage)})
    else:
        _print(damage_lines(damage, f"written to {file}"))
        if not damage.nothing_lost:
            print("What is lost may be in a backup: proofbell journal restore lists them.")
        print(f"To go on with it: proofbell journal restore {visible(str(file))}")
    return 0 if damage.nothing_lost else 1


def _say_if_long(file: Path) -> None:
    with contextlib.suppress(OSError):
        if file.stat().st_size > LONG_BYTES:
            remark("proofbell: every event is read and checked; that takes a minute or two")


def damage_lines(damage: Damage, where: str) -> Iterator[str]:
    saved = sum(1 for bake in damage.bakes if bake.saved)
    yield f"{counted(saved, 'bake')}, {counted(damage.events, 'event')} {where}."
    mended = sum(len(bake.mended) for bake in damage.bakes)
    if mended:
        yield f"In {counted(mended, 'event')} one bit had turned over; it was turned back, and the digest agrees."
    for bake in damage.bakes:
        if bake.bake in damage.letters:
            yield f"{bake.name} now has the letter {damage.letters[bake.bake]}: another live bake has its own."
    if damage.nothing_lost:
        yield "Nothing is lost as far as can be told."
        return
    yield "Not all could be saved:"
    for bake in damage.bakes:
        if not bake.whole:
            yield from (f"- {line}" if not line.startswith(" ") else line for line in bake.words())
    yield from (f"- belongs to no bake that is left: {line}" for line in damage.strays)
    if damage.unreadable:
        yield f"- {counted(damage.unreadable, 'event')} of which nothing can be read"


def restore_from(file: Path | None, *, as_document: bool) -> int:
    """Bring back what a file holds; without one list the backups. 1: something is lost or left out."""
    if file is None:
        return _list(as_document=as_document)
    from proofbell.journal.recovery.restore import restore

    journal = places.journal_file()
    say_if_busy(journal)
    _say_if_long(file)
    done = restore(file, journal, WallClock().stamp())
    if as_document:
        print_json(
            {
                "file": str(file),
                "journal": str(journal),
                "added": done.merged.added,
                "completed": done.merged.completed,
                "joined": done.merged.joined,
                "same": done.merged.same,
                "apart": done.merged.apart,
                "without_letter": done.merged.without_letter,
                "letters": done.merged.letters,
                "events": done.merged.events,
                "made_good": list(done.made_good),
                "moved_aside": str(done.moved_aside) if done.moved_aside else None,
                "before": str(done.before) if done.before else None,
                "lost_in_file": as_json(done.source) if done.source else None,
                "lost_in_journal": as_json(done.own) if done.own else None,
            }
        )
    else:
        from proofbell.cli.printed.journal_restored import restored_lines

        _print(restored_lines(done, file, journal))
    return 0 if done.complete else 1


def _list(*, as_document: bool) -> int:
    journal = places.journal_file()
    found = backups(journal)
    now = WallClock().stamp()
    if as_document:
        print_json({"journal": str(journal), "backups": [_plain(one, now) for one in found]})
    else:
        _print(backup_lines(found, journal, now))
    return 0


def _plain(one: Backup, now: Stamp) -> dict[str, Any]:
    def at(moment_us: int | None) -> str | None:
        return None if moment_us is None else iso(local(moment_us, now.offset_min))

    return {
        "file": str(one.path), "made": at(one.made_us), "bakes": one.bakes, "events": one.events,
        "newest_event": at(one.newest_us),
    }  # fmt: skip


def backup_lines(found: Sequence[Backup], journal: Path, now: Stamp) -> Iterator[str]:
    """The backups by age, and how one is brought back."""
    if not found:
        yield f"No backups of {visible(str(journal))} yet. One is made when a bake is closed, and by"
        yield "proofbell journal backup."
        return
    for one in found:
        made = local(one.made_us, now.offset_min)
        ago = length(max(0.0, timedelta(microseconds=now.wall_us - one.made_us).total_seconds()))
        held = (
            "cannot be read as a whole"
            if one.bakes is None
            else (f"{counted(one.bakes, 'bake')}, {counted(one.events, 'event')}")
        )
        newest = "" if one.newest_us is None else _newest(one.newest_us, now)
        yield f"{day(made)} {clock(made)} ({ago} ago): {held}{newest}"
        yield f"    {visible(str(one.path), most=400)}"
    yield "To bring one back: proofbell journal restore FILE. Nothing that is in the journal now is lost by it."


def _newest(newest_us: int, now: Stamp) -> str:
    at = local(newest_us, now.offset_min)
    return f", the newest of {day(at)} {clock(at)}"


def _print(lines: Iterator[str]) -> None:
    for line in lines:
        print(visible(line, most=2000))
