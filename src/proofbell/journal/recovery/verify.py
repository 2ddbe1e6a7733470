"""Checks a whole journal: the file, the order and digests of every log, the formula texts in them, and the caches."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Callable, Sequence
from contextlib import closing, nullcontext, suppress
from dataclasses import replace
from pathlib import Path

from proofbell.bake import events as kinds
from proofbell.bake.events import Event
from proofbell.formula.text.guard import bare
from proofbell.frozen import dataclass
from proofbell.journal.faults import JournalFault, Problem
from proofbell.journal.files.copying import LeftOffError
from proofbell.journal.index import as_far_as_it_goes, out_of_date
from proofbell.journal.storage import letters, schema
from proofbell.journal.storage.lines import code_of, nameless, passing
from proofbell.journal.storage.opening import connect
from proofbell.journal.storage.schema import transaction
from proofbell.journal.storage.store import Journal
from proofbell.journal.storage.writer import Steps, to_the_end
from proofbell.words import counted

EVERY = 100
"""How often (bakes) the caller is told how far it is."""

PAGES = 256
"""So many pages of the file are copied at a time: a megabyte, for which a save has to wait a millisecond or two."""

LOCKED_S = 0.25
"""So long a file that is locked is waited for before it is asked again whether to go on (s)."""

LOOKED_AT = 10_000
"""After so many of SQLite's own steps it is asked whether to go on: some milliseconds."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What was looked at and what was found. No ``problems``: all is well.

    ``newer`` names the bakes that a newer Proofbell has written to; as far as their digests tell, they are well.
    ``mended``: what follows from the events, was out of date, and was made again; that is no damage.
    """

    bakes: int
    events: int
    problems: tuple[str, ...]
    newer: tuple[str, ...] = ()
    mended: tuple[str, ...] = ()


def verify(journal: Journal, said: Callable[[int, int], None] | None = None) -> Verdict:
    """Check everything. ``said`` is called now and then with how many bakes are done, of how many.

    SQLite's own check finds most damage to the file's structure (sqlite.org/pragma.html#pragma_integrity_check) but
    not a changed letter in a text; the chained digests find that.
    """
    found = file_problems(journal.path)
    verdict = to_the_end(logs_in_steps(journal, said))
    return replace(verdict, problems=(*found, *verdict.problems))


def file_problems(path: Path, go_on: Callable[[], bool] = lambda: True) -> tuple[str, ...]:
    """What is wrong with the file itself; see `damage`. A safeguard that is missing is no damage, but no less wrong.

    Raises JournalFault: the file cannot be looked at just now.
    """
    try:
        with closing(connect(path)) as source:
            missing = schema.missing_triggers(source)
    except sqlite3.DatabaseError as error:
        _pass_on(error)
        return (f"the file is damaged: {error}",)
    problems = [f"the file is damaged: {line}" for line in damage(path, go_on)]
    return (*problems, *(f"a safeguard is missing: {name}" for name in missing))


def damage(path: Path, go_on: Callable[[], bool] = lambda: True) -> tuple[str, ...]:
    """What SQLite's own check finds in the file. It has a connection of its own, so that any thread may ask.

    SQLite's check is one long read, and while it goes on nothing can be saved. So a copy of the pages in memory is
    checked, made a few at a time, with writers let in between. ``go_on`` is asked on the way; the check ends when it
    says no. On a journal of 2,000 bakes (33 MB) it was measured at 0.3 s, in which another thread never waited for more
    than 5 ms. Raises JournalFault: the file cannot be looked at just now.
    """
    try:
        with closing(connect(path, wait_s=LOCKED_S)) as source, closing(sqlite3.connect(":memory:")) as copy:
            return tuple(line for line in sqlite_check(source, copy, go_on) if line != "ok")
    except LeftOffError:
        return ()
    except sqlite3.DatabaseError as error:
        if code_of(error) == sqlite3.SQLITE_INTERRUPT:
            return ()
        _pass_on(error)
        return (str(error),)


def _pass_on(error: sqlite3.DatabaseError) -> None:
    """Raise what says nothing about the file: only the moment is wrong."""
    if (fault := passing(error)) is not None:
        raise fault from error


def sqlite_check(source: sqlite3.Connection, copy: sqlite3.Connection, go_on: Callable[[], bool]) -> list[str]:
    """What SQLite says of ``source``, of which ``copy`` is made and checked: ``ok``, or up to twenty faults.

    A file too large for a copy in memory is checked where it is. Raises LeftOffError: ``go_on`` said no meanwhile.
    """

    def look(*_: int) -> None:
        if not go_on():
            raise LeftOffError

    checked = copy
    try:
        source.backup(copy, pages=PAGES, progress=look, sleep=0.005)
    except MemoryError:
        # Better that saving waits for it than no check at all.
        checked = source
    checked.set_progress_handler(lambda: int(not go_on()), LOOKED_AT)
    return [str(row[0]) for row in checked.execute("PRAGMA integrity_check(20)")]


def logs_in_steps(journal: Journal, said: Callable[[int, int], None] | None = None) -> Steps[Verdict]:
    """Check the order and the digests of every log, in steps of some milliseconds, and what is kept beside them.

    A bake that cannot be read is named, and the next is looked at.
    """
    problems: list[str] = []
    newer: list[str] = []
    mended: list[str] = []
    events = outdated = 0
    known = journal.bake_ids()
    yield
    lost = 0
    for some in nameless(journal.connection):
        lost += some
        yield
    if lost:
        problems.append(f"{counted(lost, 'event')} whose bake cannot be told")
    yield
    for number, bake in enumerate(known, start=1):
        found, count, old = _looked_at(journal, bake)
        problems += [f"bake {bake}: {problem}" for problem in found if not problem.newer]
        newer += [f"bake {bake}: {problem}" for problem in found if problem.newer]
        events, outdated = events + count, outdated + old
        if said is not None and number % EVERY == 0:
            said(number, len(known))
        yield
    if outdated:
        mended.append(f"the list's cache was out of date for {counted(outdated, 'bake')}")
    mended += _letters(journal)
    return Verdict(len(known), events, tuple(problems), tuple(newer), tuple(mended))


def _looked_at(journal: Journal, bake: str) -> tuple[list[Problem], int, bool]:
    """What is wrong with one log, how many events of it could be read, and whether its line in the list was wrong."""
    try:
        events, problems = journal.read(bake)
        state, found = as_far_as_it_goes(events, problems)
        old = out_of_date(journal, bake, state, found)
    except JournalFault:
        # The moment is wrong, not the log: another program keeps the file busy.
        raise
    except Exception as error:  # noqa: BLE001 - a log that makes the program stumble is named like any other
        return [Problem(f"its log makes no sense ({type(error).__name__}: {error})")], 0, False
    return [*found, *_formula_problems(events)], len(events), old


def _formula_problems(events: Sequence[Event]) -> list[Problem]:
    if events and isinstance(events[0].body, kinds.BakeOpened):
        formula = events[0].body.formula
        # A formula that was not read from a file has no text and no digest.
        text = bare(formula.text).encode("utf-8", "surrogatepass")
        if formula.digest and hashlib.sha256(text).hexdigest() != formula.digest:
            return [Problem("the formula's text does not agree with its digest")]
    return []


def _letters(journal: Journal) -> list[str]:
    """Hold the letters of the live bakes against their logs; where they differ they are made again."""
    connection = journal.connection
    try:
        with transaction(connection) if not journal.reading_only else nullcontext():
            if letters.kept(connection) == letters.worked_out(connection):
                return []
    except sqlite3.Error:
        pass
    if journal.reading_only:
        # An older journal has no such table yet.
        return []
    with suppress(sqlite3.Error):
        schema.make_again(connection, "letters")
    return ["the letters of the live bakes were out of date"]
