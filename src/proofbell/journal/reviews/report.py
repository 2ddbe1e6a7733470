"""A reviewed bake as rows of words: the text, the Markdown page, the picture and the bake screen only lay them out.

Names, notes and reasons are as they were given: whoever lays them out makes them harmless.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from proofbell.bake.decisions import length_words
from proofbell.bake.readings import LIMITS
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.batch import BatchLine
from proofbell.dough.allergens import contained, eu_allergens, us_allergens, with_unknown
from proofbell.formula.model import Formula
from proofbell.journal.reviews.moments import clock, day
from proofbell.journal.reviews.review import AdjustmentReview, BakeReview, ReadingReview
from proofbell.journal.reviews.score_sheet import SHEET, line_named
from proofbell.journal.reviews.task_words import stage_name
from proofbell.journal.reviews.wording import also, value_words
from proofbell.words import NOTHING, length, percent, temperature, weight

NOT_TYPICAL = "Marked as not typical: nothing is learned from it."


class StageRow(NamedTuple):
    """``revised`` is the length that held in the end, ``against`` how the real one differs from it."""

    stage: str
    kind: str
    planned_at: str
    planned: str
    began: str
    ended: str
    took: str
    revised: str
    against: str


class ReadingRow(NamedTuple):
    """``value`` is what holds, ``first`` what it replaced (empty when never corrected)."""

    time: str
    stage: str
    what: str
    value: str
    expected: str
    inside: str
    first: str


class IngredientRow(NamedTuple):
    """``share``: of the flour."""

    name: str
    weight: str
    share: str
    at: str
    note: str


class ScoreRow(NamedTuple):
    """A line of the score sheet; ``points`` is a dash when none were given. ``scale``: what 1 and 10 look like."""

    line: str
    points: str
    text: str
    scale: str
    group: str


class LogRow(NamedTuple):
    """``later``: which line undid or corrected this one."""

    number: str
    time: str
    words: str
    later: str


def opened(review: BakeReview) -> str:
    """``Sat 14 Mar 2026 10:42``."""
    first = review.moments.local(0.0)
    return f"{day(first)} {clock(first)}"


def ended(review: BakeReview) -> str:
    """``finished at 15:12, after 4 h 30 min``; why, when it was given up; or that it is not over."""
    closed = review.state.closed
    if closed is None:
        return "the rest of its log cannot be read" if review.problems else "not finished yet"
    after = f"after {length(closed.at_s)}" if review.state.begun else "before it began"
    why = f" ({closed.why})" if closed.why else ""
    return f"{closed.outcome} at {review.moments.clock(closed.at_s)}, {after}{why}"


def allergens(review: BakeReview) -> str:
    """What must be named of all that is in or on the pieces, by the law where the kitchen is."""
    return allergens_of(review.state)


def allergens_of(state: BakeState) -> str:
    """As `allergens`, of a bake that may still be on."""
    listed = us_allergens if state.kitchen.region == "us" else eu_allergens
    return with_unknown(listed(contained(state.formula)), state.formula, "none named in the formula")


def score(review: BakeReview) -> str:
    """``8.1 of 10``, or nothing."""
    return "" if review.score is None else f"{review.score:.1f} of 10"


def in_brief(review: BakeReview) -> tuple[str, ...]:
    """How it ended, its score, and whether it is corrected or not typical."""
    outcome = "not all of its log readable" if review.problems else review.outcome
    marks = [outcome, score(review), "corrected" * review.corrected, "not typical" * (not review.state.typical)]
    return tuple(mark for mark in marks if mark)


def losses(review: BakeReview) -> tuple[tuple[str, str], ...]:
    """Where dough was lost and how much; nothing where it was not weighed."""
    shares = (("Lost on bowl and bench", review.make_up_loss_percent), ("Lost in the oven", review.bake_loss_percent))
    return tuple((where, "" if share is None else percent(share)) for where, share in shares)


def loss_lines(review: BakeReview) -> list[str]:
    return [f"{where}: {share}." for where, share in losses(review) if share]


def stages(review: BakeReview) -> list[StageRow]:
    def at(at_s: float | None) -> str:
        return NOTHING if at_s is None else review.moments.clock(at_s)

    return [
        StageRow(
            stage.name, stage.kind, at(stage.planned_begin_s), length(stage.planned_s), at(stage.begun_s),
            at(stage.ended_s), length(stage.actual_s), length(stage.due_length_s), stage.against_due or NOTHING,
        )
        for stage in review.stages
    ]  # fmt: skip


def missed(review: BakeReview) -> list[str]:
    """The readings that were asked for and not taken, a sentence for each stage."""
    return [f"Not read in {stage.name}: {', '.join(stage.missed)}." for stage in review.stages if stage.missed]


def readings(review: BakeReview) -> list[ReadingRow]:
    """Every reading as it stands, what its check expected, and what was noted before it was corrected."""
    return [_reading(review, item) for item in review.readings]


def _reading(review: BakeReview, item: ReadingReview) -> ReadingRow:
    reading = item.reading
    return ReadingRow(
        review.moments.clock(reading.at_s),
        stage_name(review.state.formula, reading.stage),
        reading.what,
        value_words(reading.what, reading.value, reading.eye),
        NOTHING if item.expect is None else LIMITS[reading.what].span(*item.expect),
        {None: NOTHING, True: "yes", False: "no"}[item.inside],
        ", then ".join(value_words(reading.what, was.value, was.eye) for was in reading.earlier),
    )


def change_words(review: BakeReview, change: AdjustmentReview) -> str:
    """``First proof: 70 → 55 min. The dough is warm.``; it says so when the change was undone later."""
    body, undone = change.body, "" if change.stands else " (undone)"
    name = stage_name(review.state.formula, body.stage)
    return f"{name}: {length_words.change_words(body.from_s, body.to_s)}{undone}. {body.reason}"


def changes(review: BakeReview) -> Iterator[tuple[str, str]]:
    """When a time was changed; from what to what, why, and what the other method would have made of it."""
    for change in review.adjustments:
        other = also(change.body, change.other)
        yield review.moments.clock(change.at_s), change_words(review, change) + (f" ({other})" if other else "")


def ingredients(review: BakeReview) -> list[IngredientRow]:
    state = review.state
    shares = {
        each.name: each.percent for each in (*state.formula.ingredients, *state.formula.outside) if not each.each_g
    }
    return [
        IngredientRow(
            f"{line.name} for the {line.into}" if line.into else line.name,
            weight(line.grams, state.kitchen.scale.step_g),
            percent(None if line.into else shares.get(line.name)),
            temperature(line.temperature_c),
            _weighed_note(line, state.formula),
        )
        for line in state.batch.lines
    ]


def _weighed_note(line: BatchLine, formula: Formula) -> str:
    """What else is told of a line: at which stage it goes in later, or what it goes on and before which stages."""
    where = {"finish": "on the pieces", "tin": "on tin, tray or basket"}.get(line.use, "")
    if line.at and line.use == "dough":
        where = f"into the dough at {stage_name(formula, line.at[0])}"
    elif line.at:
        where += f", before {' and '.join(stage_name(formula, index) for index in line.at)}"
    return "; ".join(part for part in (where, line.note, line.measure, "about" if line.guess else "") if part)


def scores(review: BakeReview) -> list[ScoreRow]:
    """The sheet, then the lines that only another version's sheet has."""
    given = {one.line: one for one in review.state.scores}
    rows = []
    for name in [*(line.name for line in SHEET), *(name for name in given if line_named(name) is None)]:
        line, points = line_named(name), given.get(name)
        rows.append(
            ScoreRow(
                name,
                NOTHING if points is None else str(points.points),
                "" if points is None else points.text,
                "" if line is None else f"1: {line.low} · 10: {line.high}",
                "other" if line is None else line.group,
            )
        )
    return rows


def log(review: BakeReview) -> list[LogRow]:
    """Every event, and which later one undid or corrected it."""
    rows = []
    for line in review.events:
        later = [] if line.taken_back_by is None else [f"undone by line {line.taken_back_by}"]
        if line.put_right_by:
            later.append(f"corrected by line {', '.join(map(str, line.put_right_by))}")
        rows.append(
            LogRow(str(line.event.number), review.moments.log_time(line.event.stamp), line.words, "; ".join(later))
        )
    return rows
