"""The list of all bakes, kept as summaries beside the events and brought up to date with what was added since.

The summaries can always be made again from the events; nothing else depends on them.
"""

from __future__ import annotations

import contextlib
import json
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from dataclasses import astuple, dataclass

from proofbell.bake.fold import ImpossibleError, fold
from proofbell.journal.learning.evidence import evidence
from proofbell.journal.learning.kept import kept_evidence
from proofbell.journal.schema import transaction
from proofbell.journal.store import Journal
from proofbell.journal.summary import MADE_BY, Summary, damaged, summarise

AT_ONCE = 200
"""Bakes summarised in one transaction: short enough that saving elsewhere does not wait."""


def bakes(journal: Journal, said: Callable[[int], None] | None = None) -> list[Summary]:
    """Every bake in one line, the newest first. ``said`` is called now and then with how many are still to be read.

    At 10,000 bakes this takes a fraction of a second when the summaries are there; they are made once for each bake.
    """
    fresh: dict[str, Summary] = {}
    for made, left in _catch_up(journal):
        fresh.update(made)
        if said is not None:
            said(left)
    kept = _kept(journal)
    # Where nothing can be written, what was just made is all there is.
    kept.update(fresh)
    return sorted(kept.values(), key=lambda summary: (summary.began_us, summary.bake), reverse=True)


def _kept(journal: Journal) -> dict[str, Summary]:
    rows = journal.connection.execute("SELECT body FROM summaries WHERE made_by = ?", (MADE_BY,)).fetchall()
    lines = json.loads("[" + ",".join(row[0] for row in rows) + "]")
    return {line[0]: Summary(*line) for line in lines}


def _catch_up(journal: Journal) -> Iterator[tuple[dict[str, Summary], int]]:
    """Summarise the bakes that have events the summaries do not know yet, some at a time."""
    connection = journal.connection
    if not journal.reading_only:
        with contextlib.suppress(sqlite3.Error):
            _forget_other_versions(connection)
    upto = connection.execute("SELECT max(upto) FROM summaries WHERE made_by = ?", (MADE_BY,)).fetchone()[0] or 0
    # In order of their last event: whatever is done, every bake up to the newest summary is done.
    stale = connection.execute(
        "SELECT bake, max(seq) AS newest FROM events WHERE seq > ? GROUP BY bake ORDER BY newest", (upto,)
    ).fetchall()
    for begin in range(0, len(stale), AT_ONCE):
        some = stale[begin : begin + AT_ONCE]
        made = [(_line_of(journal, bake), newest) for bake, newest in some]
        _keep(journal, made)
        yield {line.summary.bake: line.summary for line, _ in made}, max(0, len(stale) - begin - AT_ONCE)


def _forget_other_versions(connection: sqlite3.Connection) -> None:
    if connection.execute("SELECT 1 FROM summaries WHERE made_by <> ? LIMIT 1", (MADE_BY,)).fetchone():
        with transaction(connection):
            connection.execute("DELETE FROM summaries")


def _keep(journal: Journal, made: Sequence[tuple[_Line, int]]) -> None:
    if journal.reading_only:
        return
    # A full or busy disk only means that they are made again next time.
    with contextlib.suppress(sqlite3.Error), transaction(journal.connection):
        journal.connection.executemany(
            "INSERT INTO summaries (bake, upto, made_by, opened_us, body, evidence) VALUES (?, ?, ?, ?, ?, ?) "
            "ON CONFLICT (bake) DO UPDATE SET upto = excluded.upto, made_by = excluded.made_by, "
            "opened_us = excluded.opened_us, body = excluded.body, evidence = excluded.evidence "
            "WHERE excluded.upto > summaries.upto",
            [
                (
                    line.summary.bake,
                    newest,
                    MADE_BY,
                    line.summary.began_us,
                    json.dumps(astuple(line.summary)),
                    line.shown,
                )
                for line, newest in made
            ],
        )


@dataclass(frozen=True, slots=True)
class _Line:
    """A bake in one line, and what it shows of the kitchen's habits, as it is kept."""

    summary: Summary
    shown: str


def _line_of(journal: Journal, bake: str) -> _Line:
    """One bake's line, made from its events as far as they can be trusted."""
    events, problems = journal.read(bake)
    fault = problems[0] if problems else ""
    try:
        state = fold(events)
    except ImpossibleError as error:
        rows = journal.rows_of(bake)
        return _Line(damaged(bake, rows[0].wall_us if rows else 0, fault or str(error)), "")
    return _Line(summarise(state, fault), "" if fault else kept_evidence(evidence(state)))


def catch_up(journal: Journal) -> None:
    """Bring the list up to date, so that what depends on it knows every bake."""
    for _ in _catch_up(journal):
        pass
