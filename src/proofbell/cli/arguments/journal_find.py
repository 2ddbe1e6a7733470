"""Opens the journal for a command, and finds in it what the command names."""

from __future__ import annotations

import argparse
import contextlib
from collections.abc import Iterator
from contextvars import ContextVar
from datetime import datetime

from proofbell import places
from proofbell.cli.printed.journal_progress import FIRST_TIME, Progress
from proofbell.cli.printed.journal_waiting import say_if_busy
from proofbell.cli.printed.printing import remark
from proofbell.errors import Failure
from proofbell.journal.index import bakes
from proofbell.journal.reviews.search import Query
from proofbell.journal.reviews.summary import Summary
from proofbell.journal.storage.store import Journal
from proofbell.visible import visible
from proofbell.words import counted

_instead: ContextVar[Journal | None] = ContextVar("what can be read of a damaged journal", default=None)


@contextlib.contextmanager
def reading_what_can_be_read() -> Iterator[None]:
    """In this block the journal is what can still be read of it; standard error says so."""
    from proofbell.journal.recovery.rescue import as_far_as_it_reads

    with as_far_as_it_reads(places.journal_file()) as partial:
        lost = sum(1 for bake in partial.damage.bakes if not bake.whole)
        part = f", of {counted(lost, 'bake')} only the beginning" if lost else ""
        remark(
            f"proofbell: the journal is damaged; this is what can be read of it{part}.\n"
            "proofbell journal rescue FILE saves it and says what is lost; proofbell journal restore lists backups."
        )
        token = _instead.set(partial)
        try:
            yield
        finally:
            _instead.reset(token)


def open_journal() -> Journal:
    """Open the journal; its warnings go to standard error.

    Raises Failure: there is none yet, or it cannot be opened.
    """
    partial = _instead.get()
    if partial is not None:
        return partial
    path = places.journal_file()
    if not path.exists():
        raise Failure(
            f"There is no journal yet at {visible(str(path))}.",
            "It begins with the first bake: run proofbell.",
            status=1,
        )
    say_if_busy(path)
    journal = Journal.open(path)
    if journal.warning:
        remark(f"proofbell: {visible(journal.warning, most=400)}")
    return journal


def all_bakes(journal: Journal) -> list[Summary]:
    """Every bake in one line; when many are read for the first time, standard error says how far it is."""
    with Progress(FIRST_TIME) as progress:
        return bakes(journal, lambda _fresh, read, of: progress.tell(read, of))


def query_of(args: argparse.Namespace) -> Query:
    least, most = _score_range(args.score)
    return Query(
        text=args.text,
        formula=args.formula,
        since_us=_moment_us(args.since),
        until_us=_moment_us(args.until),
        score_at_least=least,
        score_at_most=most,
    )


def _moment_us(text: str | None) -> int | None:
    if text is None:
        return None
    try:
        # Without an offset it is local time.
        return round(datetime.fromisoformat(text).astimezone().timestamp() * 1_000_000)
    except (ValueError, OverflowError, OSError) as error:
        raise Failure(f"{visible(text)} is not a date.", "Write 2026-03-14, or 2026-03-14T10:00.") from error


def _score_range(text: str | None) -> tuple[float | None, float | None]:
    if text is None:
        return None, None
    least, dash, most = text.replace("–", "-").partition("-")
    try:
        return (float(least) if least else None), (float(most) if dash and most else None)
    except ValueError as error:
        raise Failure(f"{visible(text)} is not a score.", "Write the least points, or from-to: 4-7.") from error


def find(journal: Journal, named: str) -> str:
    """The one bake whose id is, begins or ends with ``named``, or the live one of that letter.

    Raises Failure: there is none, or more than one.
    """
    live = journal.letters().get(named.upper()) if len(named) == 1 else None
    if live is not None:
        return live
    # Bytes that are no text come from the command line as half characters, which SQLite does not take.
    half = any("\ud800" <= character <= "\udfff" for character in named)
    found = [] if half else journal.matching(named)
    if named in found:
        return named
    if not found and named:
        found = [bake for bake in journal.bake_ids() if bake.endswith(named)]
    if len(found) == 1:
        return found[0]
    if not found:
        raise Failure(f"There is no bake {visible(named)}.", "Run proofbell journal to list them.")
    some = ", ".join(visible(bake) for bake in found[:5])
    raise Failure(f"{len(found)} bakes begin or end with {visible(named)}: {some}.", "Give more of the name.")
