"""The list of all bakes, kept as summaries beside the events and brought up to date with what was added since.

The summaries can always be made again from the events; nothing else depends on them.
"""

from __future__ import annotations

import contextlib
import json
import sqlite3
from collections.abc import Callable, Iterable, Sequence
from dataclasses import astuple, dataclass

from proofbell.bake.fold import ImpossibleError, fold
from proofbell.journal.faults import Problem
from proofbell.journal.learning.evidence import evidence
from proofbell.journal.learning.kept import kept_evidence
from proofbell.journal.schema import transaction
from proofbell.journal.store import Journal
from proofbell.journal.summary import Summary, made_by, not_readable, summarise
from proofbell.journal.writer import Steps, to_the_end

AT_ONCE = 100
"""Bakes summarised in one transaction."""

Said = Callable[[Sequence[Summary], int, int], None]
"""Told on the way: the lines that are new since the last time, and how many bakes are read, of how many."""


def bakes(journal: Journal, said: Said | None = None) -> list[Summary]:
    """Every bake in one line, the newest first.

    At 10,000 bakes this takes a fraction of a second when the summaries are there; they are made once for each bake.
    """
    return to_the_end(bakes_in_steps(journal, said))


def bakes_in_steps(journal: Journal, said: Said | None = None) -> Steps[list[Summary]]:
    """As :func:`bakes`, in steps of some milliseconds. What was made before it is left off is kept."""
    said = said or (lambda _fresh, _read, _of: None)
    connection = journal.connection
    if not journal.reading_only:
        with contextlib.suppress(sqlite3.Error):
            _forget_other_versions(connection)
    found = yield from _kept(journal)
    stale = _stale(connection)
    left = len(stale)
    of = len(found) + sum(1 for bake, _ in stale if bake not in found)
    said([*found.values()], of - left, of)
    for begin in range(0, left, AT_ONCE):
        made: list[tuple[_Line, int]] = []
        for bake, newest in stale[begin : begin + AT_ONCE]:
            made.append((_line_of(journal, bake), newest))
            yield
        _keep(journal, made)
        fresh = {line.summary.bake: line.summary for line, _ in made}
        # Where nothing can be written, what was just made is all there is.
        found.update(fresh)
        said([*fresh.values()], of - max(0, left - begin - AT_ONCE), of)
        yield
    return newest_first(found.values())


def newest_first(summaries: Iterable[Summary]) -> list[Summary]:
    """In the order of the list before it is sorted otherwise."""
    return sorted(summaries, key=lambda summary: (summary.began_us, summary.bake), reverse=True)


def _kept(journal: Journal) -> Steps[dict[str, Summary]]:
    rows = journal.connection.execute("SELECT body FROM summaries WHERE made_by = ?", (made_by(),)).fetchall()
    found: dict[str, Summary] = {}
    for begin in range(0, len(rows), AT_ONCE):
        lines = json.loads("[" + ",".join(row[0] for row in rows[begin : begin + AT_ONCE]) + "]")
        found.update((line[0], Summary(*line)) for line in lines)
        yield
    return found


def _stale(connection: sqlite3.Connection) -> list[tuple[str, int]]:
    """The bakes that have events which the summaries do not know yet, and the newest of those."""
    upto = connection.execute("SELECT max(upto) FROM summaries WHERE made_by = ?", (made_by(),)).fetchone()[0] or 0
    # In order of their last event: whatever is done, every bake up to the newest summary is done.
    return connection.execute(
        "SELECT bake, max(seq) AS newest FROM events WHERE seq > ? GROUP BY bake ORDER BY newest", (upto,)
    ).fetchall()


def _forget_other_versions(connection: sqlite3.Connection) -> None:
    if connection.execute("SELECT 1 FROM summaries WHERE made_by <> ? LIMIT 1", (made_by(),)).fetchone():
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
                    made_by(),
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
    fault = next((problem for problem in problems if not problem.newer), problems[0] if problems else None)
    try:
        state = fold(events)
    except ImpossibleError as error:
        rows = journal.rows_of(bake)
        began = (rows[0].wall_us, rows[0].offset_min) if rows else (0, 0)
        return _Line(not_readable(bake, *began, fault or Problem(str(error))), "")
    return _Line(summarise(state, fault), "" if fault else kept_evidence(evidence(state)))
