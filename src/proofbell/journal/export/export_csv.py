"""The log of one bake or many as CSV (RFC 4180), one line an event, for spreadsheets.

A spreadsheet takes a cell that begins with = + - @ for a formula, and may run it (OWASP, "CSV Injection"; CWE-1236).
Every cell of text that could be taken so begins with an apostrophe here; the header says so. Numbers stay numbers.
"""

from __future__ import annotations

import csv
import io
import unicodedata
from collections.abc import Iterable, Iterator
from typing import Any

from proofbell.bake import events as kinds
from proofbell.bake.readings import LIMITS
from proofbell.bake.tasks import task_name
from proofbell.journal.faults import Problem
from proofbell.journal.reviews.moments import iso, local
from proofbell.journal.reviews.report import allergens
from proofbell.journal.reviews.review import BakeReview, EventLine
from proofbell.journal.reviews.task_words import stage_name
from proofbell.visible import visible

COLUMNS = (
    "bake", "formula", "number", "time", "seconds", "event", "stage", "what", "value", "unit", "from_s", "to_s",
    "words (a text that a spreadsheet could take for a formula begins with an apostrophe)",
    "taken back by", "put right by", "allergens",
)  # fmt: skip

_MOST = 20_000
_DANGER = frozenset("=+-@\t\r")


def csv_text(bakes: Iterable[BakeReview]) -> Iterator[str]:
    yield _lines([COLUMNS])
    for review in bakes:
        yield _lines(_row(review, line) for line in review.events)
        yield _lines(_unread(review, problem) for problem in review.problems)


def _lines(rows: Iterable[Iterable[Any]]) -> str:
    buffer = io.StringIO()
    # Everything but numbers is quoted, so that no separator of any country splits a cell.
    writer = csv.writer(buffer, quoting=csv.QUOTE_NONNUMERIC, lineterminator="\r\n")
    writer.writerows([safe_cell(cell) for cell in row] for row in rows)
    return buffer.getvalue()


def safe_cell(cell: object) -> object:
    """A cell as it may be written: numbers as they are, text without control characters and never a formula."""
    if cell is None:
        return ""
    if isinstance(cell, int | float):
        return cell
    text = visible(str(cell), most=_MOST, breaks=True)
    # Full-width signs count too: some spreadsheets fold them first.
    start = unicodedata.normalize("NFKC", text[:40]).lstrip()[:1]
    return "'" + text if start in _DANGER and start else text


def _unread(review: BakeReview, problem: Problem) -> tuple[object, ...]:
    """The line in place of the events that cannot be read."""
    cells: dict[str, object] = {"bake": review.state.id, "formula": review.state.formula.name, "event": "not readable"}
    return tuple(problem.words if name.startswith("words") else cells.get(name, "") for name in COLUMNS)


def _row(review: BakeReview, line: EventLine) -> tuple[object, ...]:
    state, body = review.state, line.event.body
    stage = getattr(body, "stage", None)
    value: object = None
    unit = what = ""
    from_s = to_s = None
    if isinstance(body, kinds.ReadingTaken):
        what, unit = body.what, LIMITS[body.what].kept_unit
        value = body.value if body.value is not None else body.eye
    elif isinstance(body, kinds.Corrected):
        value = body.value if body.value is not None else body.eye
    elif isinstance(body, kinds.ScoreGiven):
        what, value, unit = body.line, body.points, "of 10"
    elif isinstance(body, kinds.TimeAdjusted):
        what, from_s, to_s = body.by, body.from_s, body.to_s
    elif isinstance(body, kinds.TaskDone):
        what = task_name(body.task)
    stamp = line.event.stamp
    return (
        state.id, state.formula.name, line.event.number, iso(local(stamp.wall_us, stamp.offset_min)),
        round(line.at_s, 1), line.name, "" if stage is None else stage_name(state.formula, stage), what, value,
        unit if value is not None else "", from_s, to_s, line.words, line.taken_back_by,
        ", ".join(str(number) for number in line.put_right_by), allergens(review),
    )  # fmt: skip
