"""Checks a whole journal: the file, the order and digests of every log, and the formula texts in them."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path

from proofbell.bake import events as kinds
from proofbell.bake.fold import ImpossibleError, fold
from proofbell.journal import schema
from proofbell.journal.faults import Problem
from proofbell.journal.opening import connect
from proofbell.journal.store import Journal
from proofbell.journal.writer import Steps, to_the_end

EVERY = 100
"""How often (bakes) the caller is told how far it is."""

PAGES = 256
"""So many pages of the file are copied at a time: a megabyte, for which a save has to wait a millisecond or two."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What was looked at and what was found. No ``problems``: all is well.

    ``newer`` names the bakes that a newer Proofbell has written to; as far as their digests tell, they are well.
    """

    bakes: int
    events: int
    problems: tuple[str, ...]
    newer: tuple[str, ...] = ()


def verify(journal: Journal, said: Callable[[int, int], None] | None = None) -> Verdict:
    """Check everything. ``said`` is called now and then with how many bakes are done, of how many.

    SQLite's own check finds most damage to the file's structure (sqlite.org/pragma.html#pragma_integrity_check) but
    not a changed letter in a text; the chained digests find that.
    """
    found = file_problems(journal.path)
    verdict = to_the_end(logs_in_steps(journal, said))
    return replace(verdict, problems=(*found, *verdict.problems))


def file_problems(path: Path, go_on: Callable[[], bool] = lambda: True) -> tuple[str, ...]:
    """What is wrong with the file itself. It has a connection of its own, so that any thread may ask.

    SQLite's check is one long read, and while it goes on nothing can be saved. So a copy of the pages in memory is
    checked, made a few at a time, with writers let in between. ``go_on`` is asked on the way; the check ends when it
    says no.
    """
    try:
        with closing(connect(path)) as source, closing(sqlite3.connect(":memory:")) as copy:
            missing = schema.missing_triggers(source)
            found = _sqlite_check(source, copy, go_on)
    except _LeftOffError:
        return ()
    except sqlite3.DatabaseError as error:
        return (f"the file is damaged: {error}",)
    problems = [f"the file is damaged: {line}" for line in found if line != "ok"]
    return (*problems, *(f"a safeguard is missing: {name}" for name in missing))


class _LeftOffError(Exception):
    """Nobody wants to know any more."""


def _sqlite_check(source: sqlite3.Connection, copy: sqlite3.Connection, go_on: Callable[[], bool]) -> list[str]:
    def look(*_: int) -> None:
        if not go_on():
            raise _LeftOffError

    checked = copy
    try:
        source.backup(copy, pages=PAGES, progress=look, sleep=0.005)
    except MemoryError:
        # Better that saving waits for it than no check at all.
        checked = source
    return [str(row[0]) for row in checked.execute("PRAGMA integrity_check(20)")]


def logs_in_steps(journal: Journal, said: Callable[[int, int], None] | None = None) -> Steps[Verdict]:
    """Check the order and the digests of every log, in steps of some milliseconds."""
    problems: list[str] = []
    newer: list[str] = []
    bakes = events = 0
    try:
        ids = journal.bake_ids()
        yield
        problems += _headless(journal)
        for bake in ids:
            found, count = _bake_problems(journal, bake)
            problems += [f"bake {bake}: {problem}" for problem in found if not problem.newer]
            newer += [f"bake {bake}: {problem}" for problem in found if problem.newer]
            bakes, events = bakes + 1, events + count
            if said is not None and bakes % EVERY == 0:
                said(bakes, len(ids))
            yield
    except sqlite3.DatabaseError as error:
        problems.append(f"the file cannot be read further: {error}")
    return Verdict(bakes, events, tuple(problems), tuple(newer))


def _headless(journal: Journal) -> list[str]:
    rows = journal.connection.execute(
        "SELECT DISTINCT bake FROM events AS line WHERE NOT EXISTS "
        "(SELECT 1 FROM events WHERE bake = line.bake AND number = 1)"
    ).fetchall()
    return [f"bake {row[0]}: its first event is missing" for row in rows]


def _bake_problems(journal: Journal, bake: str) -> tuple[list[Problem], int]:
    """What is wrong with one log, and how many events of it could be read."""
    events, problems = journal.read(bake)
    found = list(problems)
    try:
        fold(events)
    except ImpossibleError as error:
        if not problems:
            found.append(Problem(f"the events do not make a bake: {error}"))
    if events and isinstance(events[0].body, kinds.BakeOpened):
        formula = events[0].body.formula
        # A formula that was not read from a file has no text and no digest.
        text = formula.text.encode("utf-8", "surrogatepass")
        if formula.digest and hashlib.sha256(text).hexdigest() != formula.digest:
            found.append(Problem("the formula's text does not agree with its digest"))
    return found, len(events)
