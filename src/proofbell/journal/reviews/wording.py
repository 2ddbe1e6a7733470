"""Each event in a sentence that can be read without the program."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from proofbell.bake import events as kinds
from proofbell.bake.decisions.length_words import change_words
from proofbell.bake.events import Event, letter_in
from proofbell.bake.heats import on_the_dial
from proofbell.bake.readings import is_temperature
from proofbell.bake.state import BakeState, Reading
from proofbell.bake.weigh.ways_words import batch_words, listed_lines, wish_words
from proofbell.formula.model import Formula, ReadingKind
from proofbell.journal.reviews.task_words import stage_name, task_words
from proofbell.words import difference, grams, length, percent, temperature


def event_words(body: kinds.Body, formula: Formula) -> str:
    """Say an event. Names and notes are as they were given: make them harmless before they are shown."""
    return _SAY[type(body)](body, formula)


def said_words(event: Event, state: BakeState) -> str:
    """Say an event of a bake; what it undid or corrected is named, not numbered."""
    body = event.body
    if isinstance(body, kinds.Corrected):
        named = names_of(body.events, state)
        if body.undone:
            return f"Undone: {named}{_why(body.why)}"
        reading = next((one for one in state.readings if one.number in body.events), None)
        if reading is not None:
            now = value_words(reading.what, body.value, body.eye)
            before = _before(event, reading, state)
            named = f"{reading.what} {value_words(reading.what, before.value, before.eye)}"
            return f"Corrected: {named} → {now}{_why(body.why)}"
    return event_words(body, state.formula)


def _before(event: Event, reading: Reading, state: BakeState) -> kinds.ReadingTaken | kinds.Corrected:
    """What gave the reading its value until ``event`` corrected it: the reading itself or an earlier correction."""
    said = [one.body for one in state.events[: event.number - 1] if one.number not in state.undone]
    corrections = [b for b in said if isinstance(b, kinds.Corrected) and not b.undone and reading.number in b.events]
    if corrections:
        return corrections[-1]
    taken = state.events[reading.number - 1].body
    assert isinstance(taken, kinds.ReadingTaken)  # noqa: S101 - the fold has made sure
    return taken


def names_of(numbers: Sequence[int], state: BakeState) -> str:
    """The first of these events in words, such as ``Mix ended``; what only followed from it is left out."""
    first = next((event for event in state.events if event.number in numbers), None)
    if first is None:
        return "the last entry"
    if isinstance(first.body, kinds.ReadingTaken):
        return f"{first.body.what.capitalize()}: {value_words(first.body.what, first.body.value, first.body.eye)}"
    return said_words(first, state)


def reading_words(reading: Reading, place: str = "") -> str:
    """A reading as it stands now, with what it was before it was corrected. ``place``: such as `` in First proof``."""
    before = ", then ".join(value_words(reading.what, one.value, one.eye) for one in reading.earlier)
    return _read(reading, place, f" (corrected; first {before})" if before else "")


def _read(reading: Reading | kinds.ReadingTaken, place: str, more: str) -> str:
    shown = ""
    if reading.raw is not None and reading.value is not None and abs(reading.raw - reading.value) >= 0.05:
        shown = f" (the probe showed {value_words(reading.what, reading.raw)})"
    value = value_words(reading.what, reading.value, reading.eye)
    source = f", from {reading.source}" if reading.source else ""
    return f"{reading.what.capitalize()}{place}: {value}{shown}{more}{source}"


def value_words(what: ReadingKind, value: float | None, eye: str | None = None) -> str:
    """``26.8 °C``, ``120 %``, ``918 g``, or what the eye said."""
    if value is None:
        return f"{eye} (by eye)" if eye else "no value"
    if is_temperature(what):
        return temperature(value)
    if what == "rise":
        return percent(value, 0)
    return grams(value, 1.0 if value >= 100 else 0.1)


def _ago(ago_s: float) -> str:
    """When what is said now happened, where it was earlier."""
    return f" {length(ago_s)} earlier" if ago_s else ""


def _why(why: str) -> str:
    return f" ({why})" if why else ""


def _opened(body: kinds.BakeOpened, formula: Formula) -> str:
    made_for = f" for {body.batch.made_for}" if body.batch.made_for else ""
    return (
        f"Bake {letter_in(body.letter)} opened: {formula.name}, {grams(body.batch.dough_g)} of dough{made_for}, "
        f"Proofbell {body.version}"
    )


def _start_planned(body: kinds.StartPlanned, _formula: Formula) -> str:
    return f"Start planned {length(body.at_s)} after the bake was opened{_why(body.why)}"


def _begun(body: kinds.StageBegun, formula: Formula) -> str:
    return f"{stage_name(formula, body.stage)} began{_ago(body.ago_s)}{_why(body.why)}"


def _ended(body: kinds.StageEnded, formula: Formula) -> str:
    missed = f"; not read: {', '.join(body.missed)}" if body.missed else ""
    return f"{stage_name(formula, body.stage)} ended{_ago(body.ago_s)}{_why(body.why)}{missed}"


def _reopened(body: kinds.StageReopened, formula: Formula) -> str:
    return f"{stage_name(formula, body.stage)} resumed{_why(body.why)}"


def _reading(body: kinds.ReadingTaken, _formula: Formula) -> str:
    return _read(body, "", f", typed “{body.typed}”" if body.typed and not body.eye else "")


def _adjusted(body: kinds.TimeAdjusted, formula: Formula) -> str:
    moved = f", now at {temperature(body.place_c)}" if body.place_c is not None else ""
    name = stage_name(formula, body.stage)
    return f"{name}: {change_words(body.from_s, body.to_s)}, by {BY_WORDS[body.by]}{moved}. {body.reason}"


BY_WORDS: dict[str, str] = {
    "bands": "the formula's bands",
    "rate": "the rate",
    "rise": "the rise",
    "hand": "hand",
    "plan": "the plan",
    "place": "where it stands",
}


def _moved(body: kinds.DoughMoved, formula: Formula) -> str:
    where = f"{body.place}, " if body.place else ""
    return f"{stage_name(formula, body.stage)}: put into {where}{temperature(body.place_c)}{_ago(body.ago_s)}"


def _resized(body: kinds.Resized, _formula: Formula) -> str:
    by = f", by {wish_words(body.wish)}" if wish_words(body.wish) else ""
    dough = f", {grams(body.batch.dough_g)} of dough" if body.batch.pieces else ""
    loads = f", in {body.loads} loads" if body.loads > 1 else ""
    told = f"Size changed to {batch_words(body.batch)}{dough}{loads}{by}"
    if body.same_dough:
        return f"{told}; the same dough, nothing added"
    lines = zip(body.batch.lines, body.in_bowl_g, strict=False)
    added = listed_lines((line, g) for line, g in lines if line.use == "dough" and 0 < g < line.grams)
    return f"{told}; to add to the bowl: {added}" if added else told


def _task(body: kinds.TaskDone, formula: Formula) -> str:
    return task_words(body.task, formula, body.stage) + ("" if body.done else ": undone")


def _note(body: kinds.NoteAdded, _formula: Formula) -> str:
    return f"Note: {body.text}"


def _score(body: kinds.ScoreGiven, _formula: Formula) -> str:
    return f"Score, {body.line}: {body.points} of 10" + (f", {body.text}" if body.text else "")


def _marked(body: kinds.BakeMarked, _formula: Formula) -> str:
    return ("Marked as typical" if body.typical else "Marked as not typical: nothing is learned from it") + _why(
        body.why
    )


def _row_taken(_body: kinds.RowTaken, _formula: Formula) -> str:
    return "Moved to another row"


def _plan_declined(body: kinds.PlanDeclined, formula: Formula) -> str:
    return f"{stage_name(formula, body.stage)} left as it is, though the plan asked for another time"


def _letter_given(body: kinds.LetterGiven, _formula: Formula) -> str:
    return f"Letter changed to {letter_in(body.letter)}{_why(body.why)}"


def _oven_changed(body: kinds.OvenChanged, _formula: Formula) -> str:
    dial = on_the_dial(body.oven, 200.0)
    return f"The kitchen's oven changed: {body.oven.kind}; {temperature(200.0, 0)} on a card is {dial} on it"


def _corrected(body: kinds.Corrected, _formula: Formula) -> str:
    numbers = ", ".join(str(number) for number in body.events)
    which = f"event {numbers}" if len(body.events) == 1 else f"events {numbers}"
    if body.undone:
        return f"Undone: {which}{_why(body.why)}"
    value = f"{body.value:.1f}" if body.value is not None else str(body.eye)
    return f"Corrected: {which} is now {value}" + (f", typed “{body.typed}”" if body.typed else "") + _why(body.why)


def _closed(body: kinds.BakeClosed, _formula: Formula) -> str:
    return f"Bake {body.outcome}{_why(body.why)}"


def _put_away(_body: kinds.PutAway, _formula: Formula) -> str:
    return "Put away"


def _clock_set(body: kinds.ClockSet, _formula: Formula) -> str:
    way = "forward" if body.by_s > 0 else "back"
    return f"The clock was set {way} by {length(abs(body.by_s))}; no countdown changed"


def _rebased(body: kinds.TimeRebased, _formula: Formula) -> str:
    off, counted = length(body.off_s), length(max(0.0, body.off_s - body.by_s))
    if off == counted:
        return f"The power was off for {off}, as the clock had counted (said by the baker){_why(body.why)}"
    return f"The power was off for {off} (said by the baker); the clock had counted {counted}{_why(body.why)}"


def _back(body: kinds.ProgramBack, _formula: Formula) -> str:
    return f"Proofbell was closed for {length(body.away_s)}, then resumed this bake{_why(body.why)}"


def _timer(body: kinds.TimerLogged, _formula: Formula) -> str:
    if body.what == "set":
        return f"Timer set: {body.name}, {length(body.length_s)}"
    if body.late_s < 0:
        return f"Timer stopped: {body.name}, {length(-body.late_s)} before its time"
    return f"Timer answered: {body.name}" + (f", {length(body.late_s)} after its time" if body.late_s >= 60 else "")


_SAY: dict[type, Callable[[Any, Formula], str]] = {
    kinds.BakeOpened: _opened,
    kinds.StartPlanned: _start_planned,
    kinds.StageBegun: _begun,
    kinds.StageEnded: _ended,
    kinds.StageReopened: _reopened,
    kinds.ReadingTaken: _reading,
    kinds.TimeAdjusted: _adjusted,
    kinds.DoughMoved: _moved,
    kinds.Resized: _resized,
    kinds.TaskDone: _task,
    kinds.NoteAdded: _note,
    kinds.ScoreGiven: _score,
    kinds.BakeMarked: _marked,
    kinds.RowTaken: _row_taken,
    kinds.PlanDeclined: _plan_declined,
    kinds.LetterGiven: _letter_given,
    kinds.OvenChanged: _oven_changed,
    kinds.Corrected: _corrected,
    kinds.BakeClosed: _closed,
    kinds.PutAway: _put_away,
    kinds.ClockSet: _clock_set,
    kinds.ProgramBack: _back,
    kinds.TimeRebased: _rebased,
    kinds.TimerLogged: _timer,
}


def also(body: kinds.TimeAdjusted, other: str) -> str:
    """What the other method would have given; the reason of a change by bands tells the rate's range already."""
    told = body.by == "bands" and body.rate_low_s is not None and body.rate_high_s is not None
    return "" if told else other


def other_method(body: kinds.TimeAdjusted) -> str:
    """What the method that did not decide would have given; empty when there was no other."""
    if body.by == "rate" and body.band_s is not None:
        return f"the bands would have given {length(body.band_s)}"
    if body.by != "rate" and body.rate_s is not None:
        words = f"the rate would have given {length(body.rate_s)}"
        if body.rate_low_s is not None and body.rate_high_s is not None:
            words += f" ({length(body.rate_low_s)} to {length(body.rate_high_s)})"
        return words
    return ""


def longer_words(seconds: float) -> str:
    """``12 min longer``, ``3 min shorter``, ``on time``."""
    if abs(seconds) < 30:
        return "on time"
    return f"{length(abs(seconds))} {'longer' if seconds > 0 else 'shorter'}"


def warmer_words(kelvin: float) -> str:
    """``1.8 °C warmer``."""
    return f"{difference(abs(kelvin))} {'warmer' if kelvin > 0 else 'cooler'}"
