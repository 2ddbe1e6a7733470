"""What ``proofbell journal restore`` did, in words, and how it is undone."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from proofbell.cli.of_journal.rescue import MOST_LISTED, damage_lines
from proofbell.journal.recovery.restore import Restored
from proofbell.words import counted


def restored_lines(done: Restored, file: Path, journal: Path) -> Iterator[str]:
    """What was brought back, joined and lost, and how to undo it."""
    merged = done.merged
    if done.moved_aside is not None:
        yield f"The journal was damaged. In its place is now {file}, with all that could be rescued of the damaged one."
    elif done.new:
        yield f"There was no journal; {file} is the journal now."
    elif not (merged.added or merged.completed or merged.joined):
        yield (
            f"The journal has all that is in {file}; nothing was added."
            if not merged.left_out
            else ("Nothing was added.")
        )
    else:
        yield f"Brought back from {file}:"
    if done.moved_aside is not None or done.new:
        yield f"It holds {counted(len(set(merged.added)), 'bake')}, {counted(merged.events, 'event')}."
    else:
        yield from _named(done, merged.added, "added")
    yield from _named(done, merged.completed, "was here already; what followed in that file was added")
    yield from _named(done, merged.joined, "differs here and there; what only that file had was added at the end")
    for bake, letter in merged.letters.items():
        yield f"- {done.names.get(bake, bake)}: now has the letter {letter}, since another live bake has its letter"
    yield from _named(done, merged.apart, "differs here and there and cannot be joined; left as it is here")
    yield from _named(done, merged.without_letter, "is live, and no letter is free: close a bake, then run it again")
    if done.made_good:
        yield f"In {counted(len(done.made_good), 'bake')}, a part was lost in one of the two; the other had it."
    if done.source is not None:
        yield f"{file} is damaged. Of it:"
        yield from damage_lines(done.source, "saved")
    if done.own is not None:
        yield "Of the damaged journal:"
        yield from damage_lines(done.own, "saved")
    yield from _undo(done, journal)


def _named(done: Restored, bakes: list[str], what: str) -> Iterator[str]:
    for bake in bakes[:MOST_LISTED]:
        yield f"- {done.names.get(bake, bake)}: {what}"
    if len(bakes) > MOST_LISTED:
        yield f"- {counted(len(bakes) - MOST_LISTED, 'bake')} more: {what}"


def _undo(done: Restored, journal: Path) -> Iterator[str]:
    kept = done.moved_aside or done.before
    if kept is not None:
        what = "The damaged journal" if done.moved_aside else "The journal as it was before"
        yield f"{what} is kept as {kept}."
        yield f"To undo this: close Proofbell and give that file the name {journal}."
