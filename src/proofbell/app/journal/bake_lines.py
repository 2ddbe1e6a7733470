"""A bake looked back on, as lines to read: stages, readings, changes, weights, the score sheet, every event."""

from __future__ import annotations

import textwrap
from collections.abc import Callable

from textual.content import Content

from proofbell.app.drawing.content import outside, own
from proofbell.app.widgets.rows import columns
from proofbell.bake import events as kinds
from proofbell.bake.tasks import OvenTask, Weighed
from proofbell.frozen import dataclass
from proofbell.journal.reviews import report
from proofbell.journal.reviews.moments import day
from proofbell.journal.reviews.review import BakeReview, ReadingReview, StageReview
from proofbell.journal.reviews.score_sheet import SCALE, SHEET
from proofbell.journal.reviews.task_words import task_words
from proofbell.journal.reviews.wording import also, longer_words, reading_words
from proofbell.words import grams, hour_minute

Line = Callable[[int], Content]
"""Makes a line for a width."""

ALLERGENS_WIDTH = 56
"""So narrow that no terminal the app is usable in cuts an allergen off."""


@dataclass(frozen=True, slots=True)
class Lines:
    """One view: what stands on top and the lines below it.

    ``whole`` is what a line says when it is not cut. ``score_lines`` says which line of the sheet a line is.
    """

    head: Line
    lines: tuple[Line, ...]
    whole: tuple[Content, ...] = ()
    score_lines: tuple[str, ...] = ()


def _plain(words: Content) -> Line:
    return lambda _width: words


def _when(review: BakeReview, at_s: float) -> Content:
    at, first = review.moments.local(at_s), review.moments.local(0.0)
    weekday = "" if at.date() == first.date() else f"{day(at)[:3]} "
    return own(f"{weekday}{hour_minute(at)}{review.moments.offset_mark(at_s)}", "dim")


def _room(review: BakeReview) -> int:
    """Columns for a time: more when the bake, or what was said of it later, is on several days or changes clocks."""
    first, last = review.moments.local(0.0), review.moments.local(review.events[-1].at_s)
    marks = max(len(review.moments.offset_mark(event.at_s)) for event in review.events)
    return (6 if first.date() == last.date() else 9) + marks


def times(review: BakeReview) -> Lines:
    sizes = (-11, -11, 19)

    def head(width: int) -> Content:
        names = zip(("planned", "actual", ""), sizes, strict=True)
        return columns(
            [(own("began"), _room(review)), (own("stage"), 0), *((own(name), size) for name, size in names)], width
        )

    def line(stage: StageReview, row: report.StageRow) -> Line:
        return lambda width: columns(
            [
                (Content("") if stage.begun_s is None else _when(review, stage.begun_s), _room(review)),
                (outside(row.stage), 0),
                (own(row.planned), sizes[0]),
                (own(row.took), sizes[1]),
                (_over(stage), sizes[2]),
            ],
            width,
        )

    lines = [line(stage, row) for stage, row in zip(review.stages, report.stages(review), strict=True)]
    lines += [_plain(outside(words).stylize("$warning")) for words in report.missed(review)]
    lines.append(_plain(outside(f"Opened {report.opened(review)}; {report.ended(review)}.", most=400).stylize("dim")))
    if not review.moments.one_offset:
        lines.append(_plain(own(f"The clocks changed: {review.moments.offset_words()}.", "dim")))
    return Lines(head, tuple(lines))


def _over(stage: StageReview) -> Content:
    if stage.actual_s is None or stage.left_off:
        return own(stage.against_due, "dim")
    change_s = stage.actual_s - stage.planned_s
    return own(longer_words(change_s), "bold" if abs(change_s) >= 300 else "dim")


def readings(review: BakeReview) -> Lines:
    """Every reading, what it was before it was corrected, what the check wanted."""

    def head(width: int) -> Content:
        return columns(
            [(own("at"), _room(review)), (own("reading"), 0), (own("value"), -12), (own("expected"), 16)], width
        )

    if not review.readings:
        return Lines(head, (_plain(own("Nothing was read in this bake.", "dim")),))
    rows = list(zip(review.readings, report.readings(review), strict=True))
    return Lines(
        head,
        tuple(_reading(review, item, row) for item, row in rows),
        tuple(outside(f"{reading_words(item.reading, _in_stage(item, row))}.", most=600) for item, row in rows),
    )


def _reading(review: BakeReview, item: ReadingReview, row: report.ReadingRow) -> Line:
    bad = item.inside is False
    first = f", first {row.first}" if row.first else ""
    wanted = "" if item.expect is None else row.expected
    cells = [
        (_when(review, item.reading.at_s), _room(review)),
        (outside(f"{row.what}{first}{_in_stage(item, row)}"), 0),
        (own(row.value, "bold $warning" if bad else "bold"), -12),
        (own(wanted + (" ✗" if bad else ""), "dim"), 16),
    ]
    return lambda width: columns(cells, width)


def _in_stage(item: ReadingReview, row: report.ReadingRow) -> str:
    return "" if item.reading.stage is None else f" in {row.stage}"


def changes(review: BakeReview) -> Lines:
    """Changes of time and why, the oven and the tray, the baker's notes; in order of time."""
    found: list[tuple[float, Content]] = []
    for change in review.adjustments:
        words = report.change_words(review, change)
        found.append((change.at_s, outside(words, most=400).stylize("" if change.stands else "dim")))
        if other := also(change.body, change.other):
            found.append((change.at_s, outside(f"  {other}").stylize("dim")))
    for event in review.events:
        body = event.event.body
        if event.taken_back_by is None and isinstance(body, kinds.TaskDone) and isinstance(body.task, OvenTask):
            found.append((event.at_s, outside(task_words(body.task, review.state.formula))))
    found += [(note.at_s, outside(f"“{note.text}”", most=2000).stylize("italic")) for note in review.state.notes]
    found.sort(key=lambda pair: pair[0])
    lines = [_at(review, at_s, words) for at_s, words in found]
    if not lines:
        lines.append(_plain(own("No time was changed and nothing was noted.", "dim")))
    return Lines(
        _plain(own("at".ljust(_room(review) + 2) + "what changed, and why")),
        tuple(lines),
        tuple(words for _, words in found),
    )


def _at(review: BakeReview, at_s: float, words: Content) -> Line:
    return lambda width: columns([(_when(review, at_s), _room(review)), (words, 0)], width)


def weights(review: BakeReview) -> Lines:
    """What was weighed, how warm, and what was lost on the way."""
    state = review.state

    def head(width: int) -> Content:
        return columns([(own("ingredient"), 0), (own("weight"), -10), (own("at"), -9), (own(""), 12)], width)

    lines: list[Line] = []
    for number, part in enumerate(report.ingredients(review)):
        ticked = "weighed" if state.done(Weighed(number)) else ""
        cells = [(outside(part.name), 0), (own(part.weight), -10), (own(part.at), -9), (own(ticked, "dim"), 12)]
        lines.append(lambda width, cells=cells: columns(cells, width))  # type: ignore[misc]
    batch = state.batch
    lines.append(_plain(own(f"Dough {grams(batch.dough_g)}, flour {grams(batch.flour_g)}.", "bold")))
    if batch.ice_g:
        lines.append(_plain(own(f"{grams(batch.ice_g)} of the liquid as ice.")))
    told = textwrap.wrap(f"Allergens: {report.allergens(review)}.", ALLERGENS_WIDTH, subsequent_indent="  ")
    lines += [_plain(outside(words, most=400)) for words in told]
    lines += [_plain(own(words)) for words in report.loss_lines(review)]
    return Lines(head, tuple(lines))


def scores(review: BakeReview) -> Lines:
    """The score sheet; a digit gives points to the line under the cursor."""
    rows = report.scores(review)

    def line(row: report.ScoreRow) -> Line:
        text = outside(f"  {row.text}") if row.text else Content("")
        cells = [
            (own(row.group, "dim"), 8), (outside(row.line), 13), (own(row.points, "bold"), -3),
            (own(row.scale, "dim") + text, 0),
        ]  # fmt: skip
        return lambda width: columns(cells, width)

    mean, given = report.score(review) or "not scored yet", len(review.state.scores)
    if 0 < given < len(SHEET):
        mean += f", by {given} of {len(SHEET)} lines"
    whole = [own(f"{one.name}: 1 is {one.low}; 10 is {one.high}. {SCALE}.") for one in SHEET]
    names = tuple(row.line for row in rows)
    return Lines(_plain(own(mean)), tuple(line(row) for row in rows), tuple(whole), names)


def events(review: BakeReview) -> Lines:
    """Every event, and which later one undid or corrected it."""
    lines: list[Line] = []
    whole: list[Content] = []
    for event, row in zip(review.events, report.log(review), strict=True):
        told = row.words + (f" ({row.later})" if row.later else "")
        words = outside(told, most=2000).stylize("dim" if event.taken_back_by is not None else "")
        whole.append(words)

        def line(
            width: int, *, number: int = event.event.number, at_s: float = event.at_s, told: Content = words
        ) -> Content:
            return columns([(own(str(number), "dim"), -4), (_when(review, at_s), _room(review)), (told, 0)], width)

        lines.append(line)
    return Lines(_plain(own("   #  " + "at".ljust(_room(review) + 2) + "event")), tuple(lines), tuple(whole))


VIEWS: dict[str, Callable[[BakeReview], Lines]] = {
    "times": times,
    "readings": readings,
    "changes": changes,
    "weights": weights,
    "score": scores,
    "log": events,
}
"""In the order in which the keys go through them."""
