"""The list of all bakes, kept as summaries beside the events and brought up to date with what was added since.

The summaries can always be made again from the events; nothing else depends on them. One that is damaged, or that
another program put there, is thrown away and made again.
"""

from __future__ import annotations

import contextlib
import json
import sqlite3
from collections.abc import Callable, Iterable, Sequence
from dataclasses import astuple

from proofbell.bake.events import Event
from proofbell.bake.fold import fold
from proofbell.bake.state import BakeState
from proofbell.bake.steps import ImpossibleError
from proofbell.frozen import dataclass
from proofbell.journal.faults import Problem
from proofbell.journal.learning.evidence import evidence
from proofbell.journal.learning.kept import kept_evidence
from proofbell.journal.reviews.summary import Summary, fits, made_by, not_readable, summarise
from proofbell.journal.storage.lines import added, highest, ids, newest_of, passing
from proofbell.journal.storage.schema import make_again, transaction
from proofbell.journal.storage.store import Journal
from proofbell.journal.storage.writer import Steps, to_the_end

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
    if not journal.reading_only:
        with contextlib.suppress(sqlite3.Error):
            _forget_other_versions(journal.connection)
    stale, found = yield from _sorted_out(journal)
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


def _sorted_out(journal: Journal) -> Steps[tuple[list[tuple[str, int]], dict[str, Summary]]]:
    """The bakes of which no summary is there that knows all their events, and the newest of those; the others' lines.

    Where the summaries cannot be read, all bakes are among the first.
    """
    connection = journal.connection
    there = ids(connection)
    yield
    found: dict[str, Summary] = {}
    upto = 0
    try:
        found = yield from _kept(journal, there)
        upto = connection.execute("SELECT max(upto) FROM summaries WHERE made_by = ?", (made_by(),)).fetchone()[0] or 0
        sound = upto <= highest(connection)
    except (sqlite3.Error, MemoryError, TypeError) as error:
        if isinstance(error, sqlite3.Error) and (fault := passing(error)):
            raise fault from error
        sound = False
    if not sound:
        # Also where it knows more than there is: that would hide what comes.
        _begin_anew(journal)
        found, upto = {}, 0
    newest = added(connection, there, upto)
    missing = {bake: newest_of(connection, bake) for bake in there if bake not in found and bake not in newest}
    # In order of their last event: whatever is done, every bake up to the newest summary is done.
    return [*sorted(missing.items(), key=lambda one: one[1]), *newest.items()], found


def _kept(journal: Journal, known: Iterable[str]) -> Steps[dict[str, Summary]]:
    """The lines that are kept, of bakes that are there; those that make no sense are left out."""
    rows = journal.connection.execute("SELECT bake, body FROM summaries WHERE made_by = ?", (made_by(),)).fetchall()
    there = set(known)
    found: dict[str, Summary] = {}
    for begin in range(0, len(rows), AT_ONCE):
        batch = [row for row in rows[begin : begin + AT_ONCE] if row[0] in there]
        found.update((bake, summary) for bake, summary in _read_lines(batch) if summary is not None)
        yield
    return found


def _read_lines(batch: Sequence[tuple[str, str]]) -> list[tuple[str, Summary | None]]:
    try:
        # Many at once take a third of the time.
        lines = json.loads("[" + ",".join(body for _, body in batch) + "]")
        if len(lines) == len(batch):
            return [(bake, fits(bake, line)) for (bake, _), line in zip(batch, lines, strict=True)]
    except (ValueError, TypeError, RecursionError):
        pass
    return [(bake, _read_line(bake, body)) for bake, body in batch]


def _read_line(bake: str, body: object) -> Summary | None:
    try:
        return fits(bake, json.loads(body if isinstance(body, str) else ""))
    except (ValueError, RecursionError):
        return None


def _begin_anew(journal: Journal) -> None:
    """Throw the summaries away. Where that cannot be, they are made whenever they are asked for."""
    if not journal.reading_only:
        with contextlib.suppress(sqlite3.Error, MemoryError):
            make_again(journal.connection, "summaries")


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
            "WHERE excluded.upto >= summaries.upto",
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
    state, problems = as_far_as_it_goes(events, problems)
    if state is not None:
        return _line_by(state, problems)
    rows = journal.rows_of(bake)
    began = (rows[0].wall_us, rows[0].offset_min) if rows else (0, 0)
    return _Line(not_readable(bake, *began, _worst(problems) or Problem("it has no events")), "")


def _line_by(state: BakeState, problems: tuple[Problem, ...]) -> _Line:
    fault = _worst(problems)
    return _Line(summarise(state, fault), "" if fault else kept_evidence(evidence(state)))


def _worst(problems: tuple[Problem, ...]) -> Problem | None:
    return next((problem for problem in problems if not problem.newer), problems[0] if problems else None)


def out_of_date(journal: Journal, bake: str, state: BakeState | None, problems: tuple[Problem, ...]) -> bool:
    """Whether what is kept of a bake is not what its log gives; it is then made again, where that can be.

    Nothing is out of date that was only not made yet.
    """
    connection = journal.connection
    try:
        kept = connection.execute(
            "SELECT body, evidence, upto FROM summaries WHERE bake = ? AND made_by = ?", (bake, made_by())
        ).fetchone()
        newest = newest_of(connection, bake)
        if kept is None or kept[2] < newest or state is None:
            return False
        line = _line_by(state, problems)
        if kept[:2] == (json.dumps(astuple(line.summary)), line.shown):
            return False
    except (sqlite3.Error, MemoryError, TypeError) as error:
        if isinstance(error, sqlite3.Error) and (fault := passing(error)):
            raise fault from error
        return True
    _keep(journal, [(line, max(newest, kept[2]))])
    return True


def as_far_as_it_goes(
    events: Sequence[Event], problems: tuple[Problem, ...]
) -> tuple[BakeState | None, tuple[Problem, ...]]:
    """What the events make, and what is wrong with them; None when they make no bake."""
    try:
        return fold(events), problems
    except ImpossibleError as error:
        return None, problems or (Problem(f"the events do not make a bake: {error}"),)
