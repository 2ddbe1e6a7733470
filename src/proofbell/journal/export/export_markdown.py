"""A bake as a page for people, in Markdown (CommonMark with tables): enough to tell minute by minute what happened."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from proofbell.bake.weigh.ways_words import batch_words
from proofbell.formula.text.guard import bare
from proofbell.journal.reviews import report
from proofbell.journal.reviews.review import BakeReview
from proofbell.journal.reviews.score_sheet import SCALE
from proofbell.journal.reviews.task_words import task_words
from proofbell.visible import visible
from proofbell.words import NOTHING, temperature

_SPECIAL = re.compile(r"([\\`*_\[\]<>|#&~$])")
_LINKS = re.compile(r"(://|www\.|@)")
_MOST = 20_000
_MEANS = (
    "*Planned* is when each stage was due to begin and how long it was to take, as the plan stood when the bake began; "
    "*revised* is its length after the changes listed below."
)


def safe(text: str) -> str:
    """One line of text from outside that stays text: no markup, no links, nothing hidden."""
    escaped = _SPECIAL.sub(r"\\\1", visible(text, most=_MOST))
    return _LINKS.sub(lambda found: "\\" + found[0] if found[0] != "www." else "www\\.", escaped)


def markdown(bakes: Iterable[BakeReview]) -> Iterator[str]:
    between = ""
    for review in bakes:
        yield between + page(review)
        between = "\n---\n\n"


def page(review: BakeReview) -> str:
    """One bake as a CommonMark page, with a heading for each section that has something in it."""
    parts = [
        _head(review), _batch(review), _stages(review), _readings(review), _changes(review), _tasks(review),
        _notes(review), _score(review), _log(review), _formula(review),
    ]  # fmt: skip
    return "\n\n".join(part for part in parts if part) + "\n"


def markdown_table(columns: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    """A table under these columns; what is in its cells stays text."""
    lines = [columns, tuple("---" for _ in columns), *(tuple(safe(cell) for cell in row) for row in rows)]
    return "\n".join("| " + " | ".join(cells) + " |" for cells in lines)


def _list(rows: Iterable[tuple[str, str]]) -> str:
    return "\n".join(f"- {at} {safe(words)}" for at, words in rows)


def _head(review: BakeReview) -> str:
    state = review.state
    facts = [
        ("Bake", f"{state.letter}, {state.id}"),
        ("Opened", report.opened(review)),
        ("Clock", f"the kitchen's own, 24 hours; {review.moments.offset_words()}"),
        ("Ended", report.ended(review)),
        ("Size", batch_words(state.batch)),
        ("Allergens", report.allergens(review)),
        ("Kitchen", f"{state.kitchen.name}, room {temperature(state.kitchen.room_c)}"),
        *((where, share or "not weighed") for where, share in report.losses(review)),
        ("Program", f"Proofbell {state.version}"),
    ]
    if not state.typical:
        facts.append(("Marked", "not typical: nothing is learned from it"))
    if review.corrected:
        facts.append(("Corrections", "yes: first values are shown beside corrected ones"))
    problems = [f"**{safe(problem.sentence)}**" for problem in review.problems]
    return "\n\n".join([f"# {safe(state.formula.name)}", markdown_table(("", ""), facts), *problems])


def _batch(review: BakeReview) -> str:
    batch, told = review.state.batch, []
    if batch.made_for:
        told.append(f"Made for: {batch.made_for}.")
    if batch.expected_c is not None:
        told.append(f"Expected dough temperature: {temperature(batch.expected_c)}.")
    table = markdown_table(("ingredient", "weight", "share of flour", "at", ""), report.ingredients(review))
    return "\n\n".join(["## Weighed out", table, *([" ".join(told)] if told else [])])


def _stages(review: BakeReview) -> str:
    rows = [row._replace(stage=f"{number}. {row.stage}") for number, row in enumerate(report.stages(review), start=1)]
    columns = ("stage", "kind", "planned for", "planned", "began", "ended", "took", "revised", "against that")
    missed = [safe(words) for words in report.missed(review)]
    return "\n\n".join(["## Planned and actual", _MEANS, markdown_table(columns, rows), *missed])


def _readings(review: BakeReview) -> str:
    columns = ("time", "stage", "what", "value", "expected", "inside", "corrected from")
    return "## Readings\n\n" + (markdown_table(columns, report.readings(review)) if review.readings else "None.")


def _changes(review: BakeReview) -> str:
    return "## Changes of time, and why\n\n" + _list(report.changes(review)) if review.adjustments else ""


def _tasks(review: BakeReview) -> str:
    marks = sorted(review.state.marks, key=lambda mark: mark.at_s)
    rows = [
        (review.moments.clock(mark.at_s), task_words(mark.task, review.state.formula, mark.stage)) for mark in marks
    ]
    return "## Done on the way\n\n" + _list(rows) if rows else ""


def _notes(review: BakeReview) -> str:
    if not review.state.notes:
        return ""
    parts = []
    for note in review.state.notes:
        lines = [safe(line) for line in note.text.splitlines()] or [""]
        parts.append(f"- {review.moments.clock(note.at_s)} " + "\\\n  ".join(lines))
    return "## Notes\n\n" + "\n".join(parts)


def _score(review: BakeReview) -> str:
    if review.score is None:
        return ""
    rows = [row[:4] for row in report.scores(review) if row.points != NOTHING]
    return f"## Score: {report.score(review)}\n\n{markdown_table(('', 'points', '', 'scale'), rows)}\n\n{SCALE}."


def _log(review: BakeReview) -> str:
    table = markdown_table(("line", "time", "what", "later"), report.log(review))
    return f"## The whole log\n\n{table}\n\nDigest of the last line: `{review.events[-1].event.digest}`"


def _formula(review: BakeReview) -> str:
    text = visible(bare(review.state.formula.text), most=300_000, breaks=True)
    if not text.strip():
        return ""
    fence = "`" * max(3, 1 + max((len(run) for run in re.findall("`+", text)), default=0))
    return f"## The formula as it was\n\n{fence}toml\n{text.rstrip()}\n{fence}"
