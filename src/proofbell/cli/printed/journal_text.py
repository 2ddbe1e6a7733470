"""What ``proofbell journal`` prints for people: the list, one bake, two bakes side by side."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from proofbell.bake.weigh.ways_words import batch_words
from proofbell.journal.learning.habits import Learned
from proofbell.journal.learning.use import ENOUGH
from proofbell.journal.reviews import report
from proofbell.journal.reviews.compare import Comparison
from proofbell.journal.reviews.moments import local, twice_mark
from proofbell.journal.reviews.review import BakeReview
from proofbell.journal.reviews.score_sheet import wants_score
from proofbell.journal.reviews.summary import Summary
from proofbell.journal.reviews.task_words import task_words
from proofbell.visible import visible
from proofbell.words import NOTHING, hour_minute, length, temperature

WIDEST = 60


def table(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    """Columns under each other; every cell is made harmless here."""
    cells = [list(columns), *([visible(cell, most=WIDEST) for cell in row] for row in rows)]
    if not any(columns):
        cells = cells[1:]
    widths = [max(len(row[index]) for row in cells) for index in range(len(columns))]
    for row in cells:
        yield "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()


def list_lines(summaries: Sequence[Summary]) -> Iterator[str]:
    if not summaries:
        yield "No bakes."
        return
    rows = []
    for summary in summaries:
        began = local(summary.began_us, summary.offset_min)
        rows.append(
            (
                f"{began:%Y-%m-%d} {hour_minute(began)}{twice_mark(summary.began_us, summary.offset_min)}",
                summary.formula,
                summary.size,
                temperature(summary.dough_c),
                f"{length(summary.proof_planned_s)} / {length(summary.proof_actual_s)}",
                NOTHING if summary.score is None else f"{summary.score:.1f}",
                summary.outcome or ("" if summary.fault else "live"),
                marks(summary),
                summary.bake,
            )
        )
    columns = ("began", "formula", "size", "dough", "proof planned / actual", "score", "", "", "bake")
    yield from table(columns, rows)
    unscored = sum(summary.wants_score for summary in summaries)
    if unscored:
        yield f"{unscored} cooled without a score: score within two days, from the journal's screen."


def marks(summary: Summary) -> str:
    """What is out of the ordinary: corrected, not typical, damaged."""
    words = []
    if summary.fault:
        words.append("from a newer Proofbell" if summary.newer else "damaged")
    if summary.corrected:
        words.append("corrected")
    if not summary.typical:
        words.append("not typical")
    return ", ".join(words)


def show_lines(review: BakeReview) -> Iterator[str]:
    """One bake, planned and actual, and its whole log."""
    state = review.state
    yield f"{visible(state.formula.name)}, bake {state.letter}, {visible(batch_words(state.batch))}: {review.outcome}"
    yield f"{report.opened(review)} ({review.moments.offset_words()}), {visible(state.id)}"
    yield f"Allergens: {visible(report.allergens(review), most=2000)}."
    for problem in review.problems:
        yield visible(problem.sentence, most=400)
    if not state.typical:
        yield report.NOT_TYPICAL
    yield ""
    columns = ("stage", "planned", "began", "ended", "took", "revised", "against that")
    yield from table(columns, ((row.stage, *row[3:]) for row in report.stages(review)))
    yield ""
    readings = report.readings(review)
    if readings:
        yield from table(("time", "stage", "reading", "value", "expected", "inside", "corrected from"), readings)
    else:
        yield "No readings."
    if review.adjustments:
        yield ""
    for at, words in report.changes(review):
        yield f"{at}  {visible(words, most=600)}"
    for mark in sorted(state.marks, key=lambda mark: mark.at_s):
        yield f"{review.moments.clock(mark.at_s)}  {visible(task_words(mark.task, state.formula))}"
    for note in state.notes:
        yield f"{review.moments.clock(note.at_s)}  Note: {visible(note.text, most=2000)}"
    yield from report.loss_lines(review)
    if review.score is not None:
        points = ", ".join(f"{visible(score.line)} {score.points}" for score in state.scores)
        yield f"Score {report.score(review)}: {points}"
    elif wants_score(state):
        yield "No score yet: score it cooled, within two days."
    yield ""
    for number, time, words, later in report.log(review):
        yield f"{number:>4}  {time}  {visible(words, most=2000)}" + (f" [{later}]" if later else "")


def compare_lines(comparison: Comparison) -> Iterator[str]:
    """Two bakes side by side; what differs has a mark, what is large two."""
    left, right = comparison.left.state, comparison.right.state
    for name, problem in comparison.problems:
        yield f"{visible(name)}: {visible(problem.sentence, most=400)}"
    rows = [
        (line.what, line.left, line.right, "<<" if line.large else "<" if line.differs else "")
        for line in comparison.lines
    ]
    yield from table(("", visible(left.id), visible(right.id), ""), rows)
    if comparison.sentences:
        yield ""
        yield "The second against the first:"
    for sentence in comparison.sentences:
        yield f"- {visible(sentence)}"


def habit_lines(found: Sequence[Learned], title: str, *, used: bool) -> Iterator[str]:
    """What the kitchen does: each habit with its range, and what was thought before the first bake."""
    yield visible(title)
    yield ""
    rows = [
        (
            one.title + (f" ({one.stage})" if one.stage else ""),
            one.words,
            f"without bakes: {one.said(one.prior)}",
            f"for {one.used_in}" if used and one.used_in and one.bakes >= ENOUGH else "only shown",
        )
        for one in found
    ]
    yield from table(("", "", "", ""), rows)
    yield ""
    yield "The ranges are 95 % ranges. " + (
        f"From {ENOUGH} bakes on a habit is used, and each use says so."
        if used
        else "None of it is used: learning is off in the kitchen file."
    )
