"""The journal as tables for statistics (CSV, RFC 4180): a row for each bake, each reading, each stage.

Every row names its kitchen and its bake, so that the tables of several kitchens can be laid under each other. Names of
tables and columns stay; new ones may come. What a column means stands in a table of its own, made from the same list.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import Generic, NamedTuple, TypeVar

from proofbell.bake.readings import LIMITS
from proofbell.frozen import dataclass
from proofbell.journal.export.export_csv import safe_cell
from proofbell.journal.reviews.figures import Figures, figures
from proofbell.journal.reviews.moments import iso, local
from proofbell.journal.reviews.report import allergens
from proofbell.journal.reviews.review import BakeReview, ReadingReview, StageReview
from proofbell.journal.reviews.summary import Summary, summarise
from proofbell.journal.reviews.task_words import stage_name

Cell = str | float | bool | None
Of = TypeVar("Of")


@dataclass(frozen=True, slots=True)
class Column(Generic[Of]):
    """A column: its name, its unit ("" for text and counts), what it means, and its cell of a row's subject."""

    name: str
    unit: str
    meaning: str
    cell: Callable[[Of], Cell]


class OfBake(NamedTuple):
    """What a row about a bake is made from."""

    review: BakeReview
    summary: Summary
    figures: Figures


class OfReading(NamedTuple):
    """What a row about a reading is made from."""

    review: BakeReview
    item: ReadingReview


class OfStage(NamedTuple):
    """What a row about a stage is made from."""

    review: BakeReview
    stage: StageReview


def _at(review: BakeReview, at_s: float | None) -> str | None:
    return None if at_s is None else iso(review.moments.local(at_s))


_BAKE, _KITCHEN = "the bake's id, the same in all tables", "the kitchen's name when it was baked"
_TIME = "local time with its offset from UTC, ISO 8601"

BAKES: tuple[Column[OfBake], ...] = (
    Column("bake", "", _BAKE, lambda of: of.summary.bake),
    Column("kitchen", "", _KITCHEN, lambda of: of.figures.kitchen),
    Column("formula", "", "the formula's name", lambda of: of.summary.formula),
    Column("formula_digest", "", "SHA-256 of the formula's text", lambda of: of.review.state.formula.digest),
    Column("program", "", "the version of Proofbell that opened it", lambda of: of.review.state.version),
    Column(
        "began", "", f"when its first stage began, or it was opened: {_TIME}",
        lambda of: iso(local(of.summary.began_us, of.summary.offset_min)),
    ),
    Column("opened", "", f"when it was opened, from where *_at_s count: {_TIME}", lambda of: _at(of.review, 0.0)),
    Column("outcome", "", "finished, given up, or unfinished", lambda of: of.review.outcome),
    Column("why", "", "why it was given up, in the baker's words", lambda of: _why(of.review)),
    Column("readable", "", "1: its whole log can be read; 0: only its beginning", lambda of: not of.review.problems),
    Column("typical", "", "1 as a rule; 0: marked as not typical", lambda of: of.summary.typical),
    Column("corrected", "", "1: something was corrected or undone; 0: nothing", lambda of: of.summary.corrected),
    Column("pieces", "pieces", "how many it was divided into", lambda of: of.summary.pieces),
    Column("piece_g", "g", "weight of a piece of dough", lambda of: of.summary.piece_g),
    Column("dough_g", "g", "weight of the dough", lambda of: of.summary.dough_g),
    Column("flour_g", "g", "all its flour, the preferments' included", lambda of: of.figures.flour_g),
    Column("kneaded_c", "°C", "dough temperature within 15 min of kneading", lambda of: of.figures.kneaded_c),
    Column("room_c", "°C", "the room, where it was read", lambda of: of.figures.room_c),
    Column("core_c", "°C", "last core temperature", lambda of: of.figures.core_c),
    Column("proof_planned_s", "s", "all proofs by the formula", lambda of: of.summary.proof_planned_s),
    Column("proof_actual_s", "s", "all proofs as they were", lambda of: of.summary.proof_actual_s),
    Column("over_s", "s", "how long proofs went on after they were due", lambda of: of.figures.over_s),
    Column("oven_late_s", "s", "how long a proof was due before the oven was hot", lambda of: of.figures.oven_late_s),
    Column("bake_s", "s", "all bake stages as they were", lambda of: of.figures.bake_s),
    Column("hands_s", "s", "all hands stages as they were", lambda of: of.figures.hands_s),
    Column("make_up_loss_percent", "%", "dough lost on bowl and bench", lambda of: of.review.make_up_loss_percent),
    Column("bake_loss_percent", "%", "weight lost in the oven", lambda of: of.figures.bake_loss_percent),
    Column("points", "points of 10", "mean of the score sheet's lines", lambda of: of.summary.score),
    Column("note", "", "the last note", lambda of: _note(of.review)),
    Column("allergens", "", "what must be named of it", lambda of: allergens(of.review)),
)  # fmt: skip

READINGS: tuple[Column[OfReading], ...] = (
    Column("bake", "", _BAKE, lambda of: of.review.state.id),
    Column("kitchen", "", _KITCHEN, lambda of: of.review.state.kitchen.name),
    Column("number", "", "number of its event in the bake's log", lambda of: of.item.reading.number),
    Column("time", "", _TIME, lambda of: _at(of.review, of.item.reading.at_s)),
    Column("at_s", "s", "since the bake was opened, by a clock that nobody sets", lambda of: of.item.reading.at_s),
    Column(
        "stage", "", "the stage's name", lambda of: _stage_of(of.review, of.item.reading.stage),
    ),
    Column("stage_number", "", "its number, from 1", lambda of: _number(of.item.reading.stage)),
    Column("what", "", "what was read", lambda of: of.item.reading.what),
    Column("value", "by unit", "as it stands, after the probe's correction", lambda of: of.item.reading.value),
    Column("unit", "", "°C, %, or g", lambda of: LIMITS[of.item.reading.what].kept_unit),
    Column("raw", "by unit", "before the probe's correction", lambda of: of.item.reading.raw),
    Column("eye", "", "a rise by eye: not yet, ready, too far", lambda of: of.item.reading.eye),
    Column("expected_low", "by unit", "from where its check wanted it", lambda of: _bound(of.item, 0)),
    Column("expected_high", "by unit", "up to where its check wanted it", lambda of: _bound(of.item, 1)),
    Column("inside", "", "1: as its check wanted it; 0: not", lambda of: of.item.inside),
    Column("source", "", "the probe that talks, where it was one", lambda of: of.item.reading.source),
    Column("corrections", "", "how often it was corrected", lambda of: len(of.item.reading.earlier)),
)  # fmt: skip

STAGES: tuple[Column[OfStage], ...] = (
    Column("bake", "", _BAKE, lambda of: of.review.state.id),
    Column("kitchen", "", _KITCHEN, lambda of: of.review.state.kitchen.name),
    Column("stage_number", "", "its number, from 1", lambda of: of.stage.index + 1),
    Column("stage", "", "its name", lambda of: of.stage.name),
    Column("kind", "", "hands, proof, rest, chill, bake or cool", lambda of: of.stage.kind),
    Column("planned_at_s", "s", "planned begin, since it was opened", lambda of: of.stage.planned_begin_s),
    Column("planned_s", "s", "planned length", lambda of: of.stage.planned_s),
    Column("began", "", f"began: {_TIME}", lambda of: _at(of.review, of.stage.begun_s)),
    Column("ended", "", f"ended: {_TIME}", lambda of: _at(of.review, of.stage.ended_s)),
    Column("began_at_s", "s", "began, since it was opened", lambda of: of.stage.begun_s),
    Column("ended_at_s", "s", "ended, since it was opened", lambda of: of.stage.ended_s),
    Column("actual_s", "s", "length as it was", lambda of: of.stage.actual_s),
    Column("due_s", "s", "length that held in the end, after all changes", lambda of: of.stage.due_length_s),
    Column("over_s", "s", "longer than that; below 0 shorter", lambda of: of.stage.over_s),
    Column("left_off", "", "1: the bake was given up in it; 0: not", lambda of: of.stage.left_off),
    Column("missed", "", "readings it asked for and did not get", lambda of: ", ".join(of.stage.missed)),
)  # fmt: skip

APOSTROPHE = "a text that a spreadsheet could take for a formula begins with an apostrophe; an empty cell: not known"

NAMES = ("bakes", "readings", "stages", "columns")
"""The tables, by the names of their files."""


def dictionary() -> str:
    """What every column of every table means, as a table."""
    lines = [_line(("table", "column", "unit", "meaning")), _line(("all", "*", "", APOSTROPHE))]
    for table, columns in (("bakes", BAKES), ("readings", READINGS), ("stages", STAGES)):
        lines += [_line((table, each.name, each.unit, each.meaning)) for each in columns]
    return "".join(lines)


def heads() -> tuple[str, str, str]:
    """The first lines of the three tables."""
    bakes, readings, stages = (_line([c.name for c in columns]) for columns in (BAKES, READINGS, STAGES))
    return bakes, readings, stages


def rows(bakes: Iterable[BakeReview]) -> Iterator[tuple[str, str, str]]:
    """For each bake its row, its readings' and its stages'."""
    for review in bakes:
        state = review.state
        yield (
            _row(BAKES, OfBake(review, summarise(state), figures(state))),
            "".join(_row(READINGS, OfReading(review, item)) for item in review.readings),
            "".join(_row(STAGES, OfStage(review, stage)) for stage in review.stages),
        )


def _row(columns: Iterable[Column[Of]], of: Of) -> str:
    return _line([column.cell(of) for column in columns])


def _line(cells: Iterable[Cell]) -> str:
    return ",".join(map(_cell, cells)) + "\r\n"


def _cell(cell: Cell) -> str:
    """A number as it is, nothing for what is not known, text in quotes: no separator of any country splits it."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return str(int(cell))
    if isinstance(cell, int | float):
        return repr(round(cell, 3))
    return '"' + str(safe_cell(cell)).replace('"', '""') + '"'


def _number(stage: int | None) -> int | None:
    return None if stage is None else stage + 1


def _stage_of(review: BakeReview, stage: int | None) -> str:
    return "" if stage is None else stage_name(review.state.formula, stage)


def _why(review: BakeReview) -> str:
    return "" if review.state.closed is None else review.state.closed.why


def _note(review: BakeReview) -> str:
    return review.state.notes[-1].text if review.state.notes else ""


def _bound(item: ReadingReview, which: int) -> float | None:
    return None if item.expect is None else item.expect[which]
