"""A bake looked back on, as lines to read: stages, readings, changes, weights, the score sheet, every event."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from textual.content import Content

from proofbell.app.widgets.content import outside, own
from proofbell.app.widgets.rows import columns
from proofbell.bake import events as kinds
from proofbell.bake.tasks import OvenTask, Weighed
from proofbell.journal.reviews.moments import clock, day
from proofbell.journal.reviews.review import BakeReview, ReadingReview, StageReview
from proofbell.journal.reviews.score_sheet import SCALE, SHEET, ScoreLine, line_named
from proofbell.journal.reviews.wording import also, longer_words, task_words, value_words
from proofbell.words import NOTHING, grams, length, percent, temperature

Line = Callable[[int], Content]
"""Makes a line for a width."""


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
    return own(f"{weekday}{at:%H:%M}{review.moments.offset_mark(at_s)}", "dim")


def _room(review: BakeReview) -> int:
    """Columns for a time: more when the bake, or what was said of it later, is on several days or changes clocks."""
    first, last = review.moments.local(0.0), review.moments.local(review.events[-1].at_s)
    marks = max(len(review.moments.offset_mark(event.at_s)) for event in review.events)
    return (6 if first.date() == last.date() else 9) + marks


def times(review: BakeReview) -> Lines:
    """Stage by stage: planned, actual, over."""
    sizes = (-11, -11, 19)

    def head(width: int) -> Content:
        names = zip(("planned", "actual", ""), sizes, strict=True)
        return columns(
            [(own("began"), _room(review)), (own("stage"), 0), *((own(name), size) for name, size in names)], width
        )

    def line(stage: StageReview) -> Line:
        return lambda width: columns(
            [
                (Content("") if stage.begun_s is None else _when(review, stage.begun_s), _room(review)),
                (outside(stage.name), 0),
                (own(length(stage.planned_s)), sizes[0]),
                (own(length(stage.actual_s)), sizes[1]),
                (_over(stage), sizes[2]),
            ],
            width,
        )

    lines = [line(stage) for stage in review.stages]
    lines += [
        _plain(outside(f"{stage.name}: not read: {', '.join(stage.missed)}").stylize("$warning"))
        for stage in review.stages
        if stage.missed
    ]
    lines.append(_plain(outside(_ended(review), most=400).stylize("dim")))
    if not review.moments.one_offset:
        lines.append(_plain(own(f"The clocks changed: {review.moments.offset_words()}.", "dim")))
    return Lines(head, tuple(lines))


def _over(stage: StageReview) -> Content:
    if stage.actual_s is None or stage.left_off:
        return own(stage.against_due, "dim")
    change_s = stage.actual_s - stage.planned_s
    return own(longer_words(change_s), "bold" if abs(change_s) >= 300 else "dim")


def _ended(review: BakeReview) -> str:
    state = review.state
    first = review.moments.local(0.0)
    if state.closed is None:
        far = "what came later cannot be read here" if review.problems else "not finished yet"
        return f"Opened {day(first)} {clock(first)}; {far}."
    why = f" ({state.closed.why})" if state.closed.why else ""
    begun = any(stage.begun_s is not None for stage in state.stages)
    when = f"after {length(state.closed.at_s)}" if begun else "before it began"
    return f"Opened {day(first)} {clock(first)}; {state.closed.outcome}{why} {when}."


def readings(review: BakeReview) -> Lines:
    """Every reading, what it was before it was corrected, what the check wanted."""

    def head(width: int) -> Content:
        return columns(
            [(own("at"), _room(review)), (own("reading"), 0), (own("value"), -12), (own("wanted"), 16)], width
        )

    if not review.readings:
        return Lines(head, (_plain(own("Nothing was read in this bake.", "dim")),))
    return Lines(
        head,
        tuple(_reading(review, item) for item in review.readings),
        tuple(_whole_reading(review, item) for item in review.readings),
    )


def _reading(review: BakeReview, item: ReadingReview) -> Line:
    reading = item.reading
    wanted = "" if item.expect is None else f"{item.expect[0]:g} to {item.expect[1]:g}"
    bad = item.inside is False
    cells = [
        (_when(review, reading.at_s), _room(review)),
        (outside(f"{reading.what}{_first_said(item)}{_in_stage(review, item)}"), 0),
        (own(value_words(reading.what, reading.value, reading.eye), "bold $warning" if bad else "bold"), -12),
        (own(wanted + (" ✗" if bad else ""), "dim"), 16),
    ]
    return lambda width: columns(cells, width)


def _whole_reading(review: BakeReview, item: ReadingReview) -> Content:
    reading = item.reading
    words = f"{reading.what}{_in_stage(review, item)}: {value_words(reading.what, reading.value, reading.eye)}"
    if reading.raw is not None and reading.value is not None and abs(reading.raw - reading.value) >= 0.05:
        words += f"; the probe showed {value_words(reading.what, reading.raw)}"
    before = [value_words(reading.what, was.value, was.eye) for was in reading.earlier]
    words += f"; before it was put right: {', '.join(before)}" if before else ""
    words += f"; from {reading.source}" if reading.source else ""
    return outside(f"{words[:1].upper()}{words[1:]}.", most=600)


def _first_said(item: ReadingReview) -> str:
    reading = item.reading
    return "".join(f", first said {value_words(reading.what, was.value, was.eye)}" for was in reading.earlier[:1])


def _in_stage(review: BakeReview, item: ReadingReview) -> str:
    return "" if item.reading.stage is None else f" in {review.state.stage(item.reading.stage).name}"


def changes(review: BakeReview) -> Lines:
    """Changes of time and why, the oven and the tray, the baker's notes; in order of time."""
    found: list[tuple[float, Content]] = []
    for change in review.adjustments:
        name = review.state.stage(change.body.stage).name
        gone = "" if change.stands else " (taken back)"
        words = f"{name}: {length(change.body.from_s)} → {length(change.body.to_s)}{gone}. {change.body.reason}"
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
    for number, part in enumerate(state.batch.lines):
        ticked = "weighed" if state.done(Weighed(number)) else ""
        cells = [
            (outside(part.name), 0),
            (own(f"{part.grams:g} g"), -10),
            (own(temperature(part.temperature_c)), -9),
            (own(ticked, "dim"), 12),
        ]
        lines.append(lambda width, cells=cells: columns(cells, width))  # type: ignore[misc]
    batch = state.batch
    lines.append(_plain(own(f"Dough {grams(batch.dough_g)}, flour {grams(batch.flour_g)}.", "bold")))
    if batch.ice_g:
        lines.append(_plain(own(f"{grams(batch.ice_g)} of the liquid as ice.")))
    lost = [("on bowl, bench and hands", review.make_up_loss_percent), ("in the oven", review.bake_loss_percent)]
    lines += [_plain(own(f"Lost {where}: {percent(share)}.")) for where, share in lost if share is not None]
    return Lines(head, tuple(lines))


def scores(review: BakeReview) -> Lines:
    """The score sheet; a digit gives points to the line under the cursor."""
    given = {score.line: score for score in review.state.scores}
    strange = [name for name in given if line_named(name) is None]

    def line(one: ScoreLine) -> Line:
        score = given.get(one.name)
        points = own(f"{score.points}" if score else NOTHING, "bold")
        words = f"1: {one.low} · 10: {one.high}"
        text = outside(f"  {score.text}") if score and score.text else Content("")
        cells = [(own(one.group, "dim"), 8), (own(one.name), 13), (points, -3), (own(words, "dim") + text, 0)]
        return lambda width: columns(cells, width)

    def other(name: str) -> Line:
        return lambda width: columns(
            [
                (own("other", "dim"), 8),
                (outside(name), 13),
                (own(str(given[name].points), "bold"), -3),
                (Content(""), 0),
            ],
            width,
        )

    mean = "not scored yet" if review.score is None else f"{review.score:.1f} of 10"
    if 0 < len(given) < len(SHEET):
        mean += f", by {len(given)} of {len(SHEET)} lines"
    lines = [*(line(one) for one in SHEET), *(other(name) for name in strange)]
    whole = [own(f"{one.name}: 1 is {one.low}; 10 is {one.high}. {SCALE}.") for one in SHEET]
    return Lines(_plain(own(mean)), tuple(lines), tuple(whole), (*(one.name for one in SHEET), *strange))


def events(review: BakeReview) -> Lines:
    """Everything that was ever said, and what took it back or put it right."""
    lines: list[Line] = []
    whole: list[Content] = []
    for event in review.events:
        marks = "" if event.taken_back_by is None else f" (taken back by {event.taken_back_by})"
        if event.put_right_by:
            marks += f" (put right by {', '.join(map(str, event.put_right_by))})"
        words = outside(event.words + marks, most=2000).stylize("dim" if event.taken_back_by is not None else "")
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
