"""Journals as other versions of the program would have written them.

An older one, whose bodies had another shape, and a newer one, with events that this one does not know. No such version
exists; both are made up for the tests.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import Any

import pytest

from proofbell.bake import record
from proofbell.bake.events import Event, TaskDone
from proofbell.bake.record import Row, chained_digest, to_row
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import task_name
from proofbell.journal.storage.rows import INSERT, values_of
from proofbell.journal.storage.schema import transaction
from proofbell.journal.storage.store import Journal
from proofbell.plain import from_plain

Plain = dict[str, Any]
Change = Callable[[Plain], Plain]


def _warm(body: Plain, field: str, other: str, turn: Callable[[float], float]) -> Plain:
    changed = {key: value for key, value in body.items() if key != field}
    return {**changed, other: None if body[field] is None else turn(body[field])}


def _named(body: Plain, **names: str) -> Plain:
    return {names.get(key, key): value for key, value in body.items()}


# The older program wrote every reading's value as the probe's tenths, and called some things otherwise.
DOWN: dict[str, Change] = {
    "bake opened": lambda body: _named(body, kitchen="place", letter="sign"),
    "task done": lambda body: {**body, "task": task_name(from_plain(TaskDone, body).task)},
    "reading taken": lambda body: _warm(_warm(body, "value", "tenths", lambda v: v * 10), "raw", "tenths_raw", _ten),
    "corrected": lambda body: _named(body, events="lines"),
    "bake closed": lambda body: {**body, "outcome": {"finished": "done", "given up": "dropped"}[body["outcome"]]},
}


def _ten(value: float) -> float:
    return value * 10


UP: dict[tuple[str, int], Change] = {
    ("bake opened", 1): lambda body: _named(body, place="kitchen", sign="letter"),
    ("reading taken", 1): lambda body: _warm(body, "tenths", "value", lambda v: v / 10),
    ("reading taken", 2): lambda body: _warm(body, "tenths_raw", "raw", lambda v: v / 10),
    ("corrected", 1): lambda body: _named(body, lines="events"),
    ("bake closed", 1): lambda body: {**body, "outcome": {"done": "finished", "dropped": "given up"}[body["outcome"]]},
}


def moved_on(patch: pytest.MonkeyPatch) -> None:
    """From now on this program writes newer schemas of these four, and lifts the older ones."""
    for name, old in UP:
        kind, schema = record.NAMES[name]
        patch.setitem(record.NAMES, name, (kind, max(schema, old + 1)))
    for key, change in UP.items():
        patch.setitem(record.UPCASTS, key, change)


def as_older(events: Iterable[Event]) -> list[Row]:
    """The same bake, as the older program would have put it into the file."""
    rows = [
        replace(row, schema=1, body=_text(DOWN.get(row.name, dict)(json.loads(row.body))))
        for row in map(to_row, events)
    ]
    return rechained(rows)


def chain_again(state: BakeState) -> list[Event]:
    """The bake as today's program would have written it from its beginning."""
    made: list[Event] = []
    digest = ""
    for event in state.events:
        digest = chained_digest(digest, to_row(event))
        made.append(replace(event, digest=digest))
    return made


def newer(row: Row, name: str, body: Plain | None = None, *, schema: int = 1) -> Row:
    """An event that the program learned to write later, a second after ``row``."""
    later = Stamp(row.wall_us + 1_000_000, row.boot_us + 1_000_000, row.boot_id, row.offset_min)
    number = row.number + 1
    return replace(
        row, id=f"{row.bake}-{number}", number=number, decision=number, wall_us=later.wall_us, boot_us=later.boot_us,
        name=name, schema=schema, body=_text(body or {"turns": 3}),
    )  # fmt: skip


def rechained(rows: Sequence[Row]) -> list[Row]:
    """With digests that follow from what is in the rows."""
    digest, chained = "", []
    for row in rows:
        digest = chained_digest(digest, row)
        chained.append(replace(row, digest=digest))
    return chained


def put(journal: Journal, rows: Iterable[Row]) -> None:
    """Into the file, as whoever wrote them would have."""
    with transaction(journal.connection):
        journal.connection.executemany(INSERT, [values_of(row) for row in rows])


def stored(journal: Journal) -> list[tuple[object, ...]]:
    """Every event as it lies in the file."""
    return journal.connection.execute("SELECT * FROM events ORDER BY seq").fetchall()


def _text(body: Plain) -> str:
    return json.dumps(body, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
