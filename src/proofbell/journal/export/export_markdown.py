"""A bake as a page for people, in Markdown (CommonMark with tables): enough to tell minute by minute what happened."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from proofbell.bake.view import size_words
from proofbell.journal.reviews.moments import clock, day
from proofbell.journal.reviews.review import BakeReview
from proofbell.journal.reviews.score_sheet import SCALE, line_named
from proofbell.journal.reviews.wording import also, stage_name, task_words, value_words
from proofbell.visible import visible
from proofbell.words import NOTHING, grams, length, percent, temperature

_SPECIAL = re.compile(r"([\\`*_\[\]<>|#&~$])")
_LINKS = re.compile(r"(://|www\.|@)")
_MOST = 20_000
_MEANS = (
    "*Planned* is when the stage was to begin, and how long it was to take, when the bake began; "
    "*meant in the end* is its length after the changes listed below."
)


def safe(text: str) -> str:
    """One line of text from outside that stays text: no markup, no links, nothing hidden."""
    escaped = _SPECIAL.sub(r"\\\1", visible(text, most=_MOST))
    return _LINKS.sub(lambda found: "\\" + found[0] if found[0] != "www." else "www\\.", escaped)


def markdown(bakes: Iterable[BakeReview]) -> Iterator[str]:
    """The pages, one after the other."""
    between = ""
    for review in bakes:
        yield between + page(review)
        between = "\n---\n\n"


def page(review: BakeReview) -> str:
    """One bake's page."""
    parts = [
        _head(review), _batch(review), _stages(review), _readings(review), _changes(review), _tasks(review),
        _notes(review), _score(review), _log(review), _formula(review),
    ]  # fmt: skip
    return "\n\n".join(part for part in parts if part) + "\n"


def _table(columns: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = [columns, tuple("---" for _ in columns), *rows]
    return "\n".join("| " + " | ".join(cells) + " |" for cells in lines)


def _head(review: BakeReview) -> str:
    state, first = review.state, review.moments.local(0.0)
    closed = "not closed yet"
    if state.closed is not None:
        at = review.moments.clock(state.closed.at_s)
        closed = f"{state.closed.outcome} at {at}" + (f" ({safe(state.closed.why)})" if state.closed.why else "")
    facts = [
        ("Bake", f"{state.letter}, {safe(state.id)}"),
        ("Opened", f"{day(first)} {clock(first)}"),
        ("Clock", f"the kitchen's own, 24 hours; {review.moments.offset_words()}"),
        ("Ended", closed),
        ("Size", safe(size_words(state))),
        ("Kitchen", f"{safe(state.kitchen.name)}, room {temperature(state.kitchen.room_c)}"),
        ("Lost on bowl and bench", _share(review.make_up_loss_percent)),
        ("Lost in the oven", _share(review.bake_loss_percent)),
        ("Program", f"Proofbell {safe(state.version)}"),
    ]
    if not state.typical:
        facts.append(("Marked", "not typical: nothing is learned from it"))
    if review.corrected:
        facts.append(("Corrections", "yes: what was said first stands beside what holds"))
    lines = [f"# {safe(state.formula.name)}", _table(("", ""), facts)]
    lines += [f"**{safe(problem.sentence)}**" for problem in review.problems]
    return "\n\n".join(lines)


def _share(value: float | None) -> str:
    return "not weighed" if value is None else percent(value)


def _batch(review: BakeReview) -> str:
    state = review.state
    named = {ingredient.name: ingredient for ingredient in state.formula.ingredients}
    rows = [
        (
            safe(line.name),
            grams(line.grams, state.kitchen.scale.step_g),
            percent(named[line.name].percent) if line.name in named else NOTHING,
            temperature(line.temperature_c),
            safe(line.note),
        )
        for line in state.batch.lines
    ]
    told = []
    if state.batch.made_for:
        told.append(f"Made for: {state.batch.made_for}.")
    if state.batch.expected_c is not None:
        told.append(f"Expected dough temperature: {temperature(state.batch.expected_c)}.")
    table = _table(("ingredient", "weight", "share of flour", "at", ""), rows)
    return "\n\n".join(["## Weighed out", table, *([" ".join(told)] if told else [])])


def _stages(review: BakeReview) -> str:

    def at(at_s: float | None) -> str:
        return NOTHING if at_s is None else review.moments.clock(at_s)

    rows = [
        (
            f"{stage.index + 1}. {safe(stage.name)}",
            stage.kind,
            f"{at(stage.planned_begin_s)}, {length(stage.planned_s)}",
            at(stage.begun_s),
            at(stage.ended_s),
            length(stage.actual_s),
            length(stage.due_length_s),
            stage.against_due or NOTHING,
        )
        for stage in review.stages
    ]
    columns = ("stage", "kind", "planned", "begun", "ended", "took", "meant in the end", "took against that")
    missed = [f"Not read in {safe(stage.name)}: {', '.join(stage.missed)}." for stage in review.stages if stage.missed]
    return "\n\n".join(["## Planned and actual", _MEANS, _table(columns, rows), *missed])


def _readings(review: BakeReview) -> str:
    if not review.readings:
        return "## Readings\n\nNone."
    rows = []
    for item in review.readings:
        reading = item.reading
        expect = NOTHING if item.expect is None else " to ".join(value_words(reading.what, v) for v in item.expect)
        inside = {None: NOTHING, True: "yes", False: "no"}[item.inside]
        value = value_words(reading.what, reading.value, reading.eye)
        if reading.earlier:
            before = ", then ".join(value_words(reading.what, e.value, e.eye) for e in reading.earlier)
            value += f" (put right; first said: {before})"
        rows.append(
            (
                review.moments.clock(reading.at_s),
                safe(stage_name(review.state.formula, reading.stage)),
                reading.what,
                value,
                expect,
                inside,
            )
        )
    return "## Readings\n\n" + _table(("time", "stage", "what", "value", "expected", "inside"), rows)


def _changes(review: BakeReview) -> str:
    if not review.adjustments:
        return ""
    lines = []
    for item in review.adjustments:
        body = item.body
        also_said = also(body, item.other)
        other = f" ({also_said})" if also_said else ""
        gone = "" if item.stands else " **Taken back later.**"
        lines.append(
            f"- {review.moments.clock(item.at_s)} {safe(stage_name(review.state.formula, body.stage))}: "
            f"{length(body.from_s)} → {length(body.to_s)}. {safe(body.reason)}{safe(other)}{gone}"
        )
    return "## Changes of time, and why\n\n" + "\n".join(lines)


def _tasks(review: BakeReview) -> str:
    if not review.state.marks:
        return ""
    marks = sorted(review.state.marks, key=lambda mark: mark.at_s)
    lines = [
        f"- {review.moments.clock(mark.at_s)} {safe(task_words(mark.task, review.state.formula))}" for mark in marks
    ]
    return "## Done on the way\n\n" + "\n".join(lines)


def _notes(review: BakeReview) -> str:
    if not review.state.notes:
        return ""
    parts = []
    for note in review.state.notes:
        lines = [safe(line) for line in note.text.splitlines()] or [""]
        parts.append(f"- {review.moments.clock(note.at_s)} " + "\\\n  ".join(lines))
    return "## Notes\n\n" + "\n".join(parts)


def _score(review: BakeReview) -> str:
    if not review.state.scores or review.score is None:
        return ""
    rows = []
    for score in review.state.scores:
        line = line_named(score.line)
        ends = NOTHING if line is None else f"1: {line.low}; 10: {line.high}"
        rows.append((safe(score.line), str(score.points), safe(score.text), ends))
    table = _table(("", "points", "", "scale"), rows)
    return f"## Score: {review.score:.1f} of 10\n\n{table}\n\n{SCALE}."


def _log(review: BakeReview) -> str:
    rows = []
    for line in review.events:
        stamp = line.event.stamp
        marks = []
        if line.taken_back_by is not None:
            marks.append(f"taken back by line {line.taken_back_by}")
        if line.put_right_by:
            marks.append(f"put right by line {', '.join(str(n) for n in line.put_right_by)}")
        rows.append((str(line.event.number), review.moments.log_time(stamp), safe(line.words), "; ".join(marks)))
    table = _table(("line", "time", "what", "later"), rows)
    digest = review.events[-1].event.digest
    return f"## The whole log\n\n{table}\n\nDigest of the last line: `{digest}`"


def _formula(review: BakeReview) -> str:
    text = visible(review.state.formula.text, most=300_000, breaks=True)
    if not text.strip():
        return ""
    fence = "`" * max(3, 1 + max((len(run) for run in re.findall("`+", text)), default=0))
    return f"## The formula as it was\n\n{fence}toml\n{text.rstrip()}\n{fence}"
