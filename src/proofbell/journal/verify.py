"""Checks a whole journal: the file, the order and digests of every log, and the formula texts in them."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass

from proofbell.bake import events as kinds
from proofbell.bake.fold import ImpossibleError, fold
from proofbell.journal import schema
from proofbell.journal.store import Journal

EVERY = 100
"""How often (bakes) the caller is told how far it is."""


@dataclass(frozen=True, slots=True)
class Verdict:
    """What was looked at and what was found. No ``problems``: all is well."""

    bakes: int
    events: int
    problems: tuple[str, ...]


def verify(journal: Journal, said: Callable[[int, int], None] | None = None) -> Verdict:
    """Check everything. ``said`` is called now and then with how many bakes are done, of how many.

    SQLite's own check finds most damage to the file's structure (sqlite.org/pragma.html#pragma_integrity_check) but
    not a changed letter in a text; the chained digests find that.
    """
    problems = _file_problems(journal)
    bakes = events = 0
    try:
        ids = journal.bake_ids()
        problems += _headless(journal)
        for bake in ids:
            found, count = _bake_problems(journal, bake)
            problems += found
            bakes, events = bakes + 1, events + count
            if said is not None and bakes % EVERY == 0:
                said(bakes, len(ids))
    except sqlite3.DatabaseError as error:
        problems.append(f"the file cannot be read further: {error}")
    return Verdict(bakes, events, tuple(problems))


def _file_problems(journal: Journal) -> list[str]:
    try:
        found = [str(row[0]) for row in journal.connection.execute("PRAGMA integrity_check(20)")]
    except sqlite3.DatabaseError as error:
        return [f"the file is damaged: {error}"]
    problems = [f"the file is damaged: {line}" for line in found if line != "ok"]
    problems += [f"a safeguard is missing: {name}" for name in schema.missing_triggers(journal.connection)]
    return problems


def _headless(journal: Journal) -> list[str]:
    rows = journal.connection.execute(
        "SELECT DISTINCT bake FROM events AS line WHERE NOT EXISTS "
        "(SELECT 1 FROM events WHERE bake = line.bake AND number = 1)"
    ).fetchall()
    return [f"bake {row[0]}: its first event is missing" for row in rows]


def _bake_problems(journal: Journal, bake: str) -> tuple[list[str], int]:
    events, problems = journal.read(bake)
    found = list(problems)
    try:
        fold(events)
    except ImpossibleError as error:
        if not problems:
            found.append(f"the events do not make a bake: {error}")
    if events and isinstance(events[0].body, kinds.BakeOpened):
        formula = events[0].body.formula
        # A formula that was not read from a file has no text and no digest.
        text = formula.text.encode("utf-8", "surrogatepass")
        if formula.digest and hashlib.sha256(text).hexdigest() != formula.digest:
            found.append("the formula's text does not agree with its digest")
    return [f"bake {bake}: {problem}" for problem in found], len(events)
