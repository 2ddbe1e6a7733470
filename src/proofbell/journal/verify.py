"""Checks a whole journal: the file, the order and digests of every log, and the formula texts in them."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass

from proofbell.bake import events as kinds
from proofbell.bake.fold import ImpossibleError, fold
from proofbell.journal import schema
from proofbell.journal.faults import Problem
from proofbell.journal.store import Journal
from proofbell.journal.writer import Steps, to_the_end

EVERY = 100
"""How often (bakes) the caller is told how far it is."""

LOOK_EVERY = 20_000
"""SQLite's steps between two looks whether somebody waits: a millisecond or a few."""

GIVES_WAY = 5
"""So often SQLite's own check is broken off for others; then it goes through, or on a busy bench it never would."""


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
    return to_the_end(verify_in_steps(journal, said))


def verify_in_steps(
    journal: Journal, said: Callable[[int, int], None] | None = None, wanted: Callable[[], bool] = lambda: False
) -> Steps[Verdict]:
    """As :func:`verify`, in steps of some milliseconds.

    SQLite's own check is one step; it is broken off, and begun again, some times when ``wanted`` says that somebody
    waits.
    """
    problems: list[str] = []
    newer: list[str] = []
    bakes = events = 0
    try:
        problems += yield from _file_problems(journal, wanted)
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


def _file_problems(journal: Journal, wanted: Callable[[], bool]) -> Steps[list[str]]:
    found: list[str] | None = None
    begun = 0
    while found is None:
        begun += 1
        try:
            found = _sqlite_check(journal.connection, wanted if begun <= GIVES_WAY else lambda: False)
        except sqlite3.DatabaseError as error:
            if error.sqlite_errorcode != sqlite3.SQLITE_INTERRUPT:
                return [f"the file is damaged: {error}"]
        yield
    problems = [f"the file is damaged: {line}" for line in found if line != "ok"]
    problems += [f"a safeguard is missing: {name}" for name in schema.missing_triggers(journal.connection)]
    return problems


def _sqlite_check(connection: sqlite3.Connection, wanted: Callable[[], bool]) -> list[str]:
    connection.set_progress_handler(lambda: int(wanted()), LOOK_EVERY)
    try:
        return [str(row[0]) for row in connection.execute("PRAGMA integrity_check(20)")]
    finally:
        connection.set_progress_handler(None, 0)


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
