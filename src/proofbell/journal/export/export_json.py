"""A bake as one JSON value: everything there is, in °C, g and s, with times as ISO 8601 and the log line by line.

``export.schema.json`` beside this file describes it. The stored columns of every event are there too, so that the chain
of digests can be checked without this program.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from proofbell.bake.record import to_row, told
from proofbell.bake.state import Mark
from proofbell.bake.tasks import task_name
from proofbell.dough.allergens import as_lists, contained, eu_allergens, us_allergens
from proofbell.formula.foods.contains import not_known
from proofbell.journal.reviews.moments import iso, local
from proofbell.journal.reviews.review import AdjustmentReview, BakeReview, Curve, EventLine, ReadingReview, StageReview
from proofbell.journal.reviews.score_sheet import LEAST, MOST
from proofbell.journal.reviews.task_words import stage_name, task_words
from proofbell.json_text import json_text
from proofbell.plain import to_plain
from proofbell.units import METRIC, said_in

VERSION = 1
"""Goes up when a field changes its meaning or goes; new fields may come. It is written as ``schema``, as in every other
document, and as ``export_version``, its older name."""

UNITS = (
    "temperatures in °C, weights in g; names that end in _s are seconds, *_begin_s, begun_s, ended_s and at_s counted "
    "from the bake's opening; times are ISO 8601 as the kitchen's clock showed them, with its offset from UTC; "
    "'value' is what holds, 'earlier' what was said before it was put right, 'raw' what the probe showed"
)

SCHEMA_FILE = Path(__file__).with_name("export.schema.json")


def schema() -> dict[str, Any]:
    read: dict[str, Any] = json.loads(SCHEMA_FILE.read_text(encoding="utf-8"))
    return read


def bake_json(review: BakeReview) -> dict[str, Any]:
    """One bake as JSON values; the fields are those of the exported JSON Schema."""
    state = review.state
    contains = contained(state.formula)
    return {
        "bake": state.id,
        "letter": state.letter,
        "outcome": review.outcome,
        "opened": _at(review, 0.0),
        "closed": None
        if state.closed is None
        else {"outcome": state.closed.outcome, "why": state.closed.why, "at": _at(review, state.closed.at_s)},
        "program_version": state.version,
        "typical": state.typical,
        "corrected": review.corrected,
        "allergens": as_lists(eu_allergens(contains), us_allergens(contains), not_known(state.formula)),
        "formula": to_plain(state.formula),
        "batch": to_plain(state.batch),
        "kitchen": to_plain(state.kitchen),
        "stages": [_stage(review, stage) for stage in review.stages],
        "readings": [_reading(review, reading) for reading in review.readings],
        "adjustments": [_adjustment(review, adjustment) for adjustment in review.adjustments],
        "modelled": [_curve(curve) for curve in review.curves],
        "tasks": [_task(review, mark) for mark in state.marks],
        "notes": [{"at": _at(review, note.at_s), **to_plain(note)} for note in state.notes],
        "score": {
            "overall": review.score,
            "least": LEAST,
            "most": MOST,
            "lines": [{"line": s.line, "points": s.points, "text": s.text} for s in state.scores],
        },
        "make_up_loss_percent": review.make_up_loss_percent,
        "bake_loss_percent": review.bake_loss_percent,
        "problems": [problem.words for problem in review.problems],
        "events": [_event(line) for line in review.events],
    }


def whole_json(bakes: Iterable[BakeReview], version: str) -> Iterator[str]:
    """The export of many bakes, piece by piece: one JSON document that never stands in memory as a whole."""
    versions = {"schema": VERSION, "export_version": VERSION, "program_version": version}
    head = {"export": "proofbell journal", **versions, "units": UNITS}
    yield json.dumps(head, indent=2)[:-2] + ',\n  "bakes": ['
    between = "\n"
    for review in bakes:
        with said_in(METRIC):
            told = json_text(bake_json(review), indent=1)
        yield between + told
        between = ",\n"
    yield "\n]\n}\n"


def _at(review: BakeReview, at_s: float) -> str:
    return iso(review.moments.local(at_s))


def _curve(curve: Curve) -> dict[str, Any]:
    points = [[round(at_s, 1), round(temp_c, 2)] for at_s, temp_c in curve.points]
    return {"stage": curve.stage, "guessed": curve.guessed, "points": points}


def _task(review: BakeReview, mark: Mark) -> dict[str, Any]:
    return {
        "at": _at(review, mark.at_s),
        "words": task_words(mark.task, review.state.formula, mark.stage),
        "task": task_name(mark.task, heat=False),
        "stage": mark.stage,
        "at_s": mark.at_s,
        "from_c": mark.from_c,
    }


def _stage(review: BakeReview, stage: StageReview) -> dict[str, Any]:
    return {
        "stage": stage.index,
        "name": stage.name,
        "kind": stage.kind,
        "planned_begin": _at(review, stage.planned_begin_s),
        "planned_begin_s": stage.planned_begin_s,
        "planned_s": stage.planned_s,
        "begun": None if stage.begun_s is None else _at(review, stage.begun_s),
        "begun_s": stage.begun_s,
        "ended": None if stage.ended_s is None else _at(review, stage.ended_s),
        "ended_s": stage.ended_s,
        "actual_s": stage.actual_s,
        "due_length_s": stage.due_length_s,
        "over_s": stage.over_s,
        "missed": list(stage.missed),
    }


def _reading(review: BakeReview, item: ReadingReview) -> dict[str, Any]:
    reading = item.reading
    return {
        "number": reading.number,
        "at": _at(review, reading.at_s),
        "at_s": reading.at_s,
        "stage": reading.stage,
        "stage_name": stage_name(review.state.formula, reading.stage),
        "what": reading.what,
        "value": reading.value,
        "raw": reading.raw,
        "eye": reading.eye,
        "typed": reading.typed,
        "source": reading.source,
        "expect": None if item.expect is None else list(item.expect),
        "inside": item.inside,
        "earlier": to_plain(reading.earlier),
    }


def _adjustment(review: BakeReview, item: AdjustmentReview) -> dict[str, Any]:
    body = told(item.body)
    return {
        "number": item.number,
        "at": _at(review, item.at_s),
        "at_s": item.at_s,
        "stage_name": stage_name(review.state.formula, item.body.stage),
        **body,
        "other": item.other,
        "stands": item.stands,
    }


def _event(line: EventLine) -> dict[str, Any]:
    row = to_row(line.event)
    return {
        "number": row.number,
        "decision": row.decision,
        "at": iso(local(row.wall_us, row.offset_min)),
        "at_s": line.at_s,
        "name": row.name,
        "words": line.words,
        "taken_back_by": line.taken_back_by,
        "put_right_by": list(line.put_right_by),
        "id": row.id,
        "wall_us": row.wall_us,
        "boot_us": row.boot_us,
        "boot_id": row.boot_id,
        "offset_min": row.offset_min,
        "schema": row.schema,
        "body_text": row.body,
        "digest": row.digest,
    }
