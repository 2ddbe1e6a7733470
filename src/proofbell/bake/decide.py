"""Deciding: what an intent makes happen, or why it cannot. The one door to a bake for app, commands and rehearsal."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.adjust import Change, by_reading, by_rise
from proofbell.bake.events import Body, Event
from proofbell.bake.fold import apply
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.readings import LIMITS, impossible, is_temperature, odd
from proofbell.bake.record import make_event
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState, Reading
from proofbell.formula.model import Bands, Check, Rate, ReadingKind, Stage
from proofbell.words import length

CARRIED_S = 10 * 60.0
"""A reading at the end of one stage still holds at the start of the next for this long: common practice, no source."""

Decision = tuple[Event, ...] | Refused
Bodies = list[Body] | Refused


def decide(state: BakeState | None, intent: Intent, now: Stamp) -> Decision:
    """Turn an intent into the events of one decision, or refuse it in plain words. Nothing is changed."""
    if isinstance(intent, intents.Open):
        if state is not None:
            return Refused("This bake is open already.")
        return _stamped(None, intent.bake, now, _open(intent))
    if state is None:
        return Refused("There is no such bake.", "Open one first.")
    bodies = _RULES[type(intent)](state, intent, now)
    if isinstance(bodies, Refused):
        return bodies
    moved_us = state.timeline.clock_set_by_us(now)
    if moved_us and bodies:
        bodies = [kinds.ClockSet(moved_us / 1_000_000), *bodies]
    return _stamped(state, state.id, now, bodies)


def decided(state: BakeState | None, events: Sequence[Event]) -> BakeState:
    """The state after a decision.

    Raises:
        ValueError: the decision is empty and there is no bake.
    """
    for event in events:
        state = apply(state, event)
    if state is None:
        raise ValueError("no bake and no events")
    return state


def _stamped(state: BakeState | None, bake: str, now: Stamp, bodies: Sequence[Body]) -> tuple[Event, ...]:
    number = 1 if state is None else state.last.number + 1
    digest = "" if state is None else state.last.digest
    first = number
    events: list[Event] = []
    for body in bodies:
        if isinstance(body, kinds.ClockSet):
            first = number + 1
        event = make_event(bake, number, number if isinstance(body, kinds.ClockSet) else first, now, body, digest)
        events.append(event)
        number, digest = number + 1, event.digest
    return tuple(events)


def _open(intent: intents.Open) -> list[Body]:
    opened = kinds.BakeOpened(intent.letter, intent.formula, intent.batch, intent.kitchen, intent.version)
    if intent.start_in_s is None:
        return [opened]
    return [opened, kinds.StartPlanned(max(0.0, intent.start_in_s))]


def _closed(state: BakeState) -> Refused | None:
    if state.closed is None:
        return None
    return Refused(f"This bake is {state.closed.outcome}.", "Notes and scores can still be added in the journal.")


def _plan_start(state: BakeState, intent: intents.PlanStart, now: Stamp) -> Bodies:
    if state.begun or state.closed:
        return Refused("This bake has begun; its start cannot be moved.")
    return [kinds.StartPlanned(state.now_s(now) + max(0.0, intent.in_s), intent.why)]


def _begin(state: BakeState, intent: intents.Begin, _now: Stamp) -> Bodies:
    if state.closed:
        return _closed(state) or []
    if state.begun:
        return Refused("This bake has begun already.")
    return [kinds.StageBegun(0, intent.why)]


def _done(state: BakeState, intent: intents.Done, now: Stamp) -> Bodies:
    if state.closed:
        return _closed(state) or []
    index = state.current
    if index is None:
        return Refused("No stage is running.", "Begin the bake first.")
    bodies: list[Body] = [kinds.StageEnded(index, intent.why, missed_checks(state, index))]
    if index + 1 == len(state.stages):
        return [*bodies, kinds.BakeClosed("finished")]
    return [*bodies, kinds.StageBegun(index + 1), *_carried_over(state, index + 1, now)]


def missed_checks(state: BakeState, index: int) -> tuple[str, ...]:
    """The readings that a stage asked for and did not get."""
    taken = {reading.check for reading in state.readings_in(index)}
    checks = state.stage(index).checks
    return tuple(check.read for number, check in enumerate(checks) if number not in taken)


def _carried_over(state: BakeState, index: int, now: Stamp) -> list[Body]:
    """What a reading of a moment ago, taken before this stage began, makes of its length."""
    what = adjusting(state.stage(index))
    if what is None or what == "rise":
        return []
    recent = [r for r in state.readings if r.what == what and r.stage == index - 1 and r.value is not None]
    if not recent or state.now_s(now) - recent[-1].at_s > CARRIED_S:
        return []
    value = recent[-1].value
    change = None if value is None else by_reading(state, index, ((0.0, value),))
    return _adjusted(state, index, change, recent[-1].number)


def adjusting(stage: Stage) -> ReadingKind | None:
    """The reading that a stage's own rule listens to."""
    if isinstance(stage.adjust, Bands):
        return stage.adjust.read
    return "dough temperature" if isinstance(stage.adjust, Rate) else None


def _adjusted(state: BakeState, index: int, change: Change | None, cause: int | None) -> list[Body]:
    """The event for a change, or none when the length already is so."""
    if change is None or change.to_s == state.stages[index].length_s:
        return []
    return [
        kinds.TimeAdjusted(
            stage=index,
            from_s=state.stages[index].length_s,
            to_s=change.to_s,
            by=change.by,
            reason=change.reason,
            cause=cause,
            band_s=change.band_s,
            rate_s=change.rate_s,
            rate_low_s=change.rate_low_s,
            rate_high_s=change.rate_high_s,
        )
    ]


def _read(state: BakeState, intent: intents.Read, now: Stamp) -> Bodies:
    value = _true_value(state, intent.what, intent.raw, intent.eye, sure=intent.sure)
    if isinstance(value, Refused):
        return value
    index = state.current
    taken = kinds.ReadingTaken(
        what=intent.what,
        value=value,
        typed=intent.typed,
        stage=index,
        check=None if index is None else _check_for(state, index, intent.what, state.now_s(now)),
        raw=intent.raw,
        eye=intent.eye,
        source=intent.source,
    )
    if index is None or state.closed:
        return [taken]
    number = state.last.number + 1 + bool(state.timeline.clock_set_by_us(now))
    change = _change(state, index, intent, value, now)
    return [taken, *_adjusted(state, index, change, number)]


def _true_value(
    state: BakeState, what: ReadingKind, raw: float | None, eye: kinds.Eye | None, *, sure: bool
) -> float | Refused | None:
    """The value after the probe's correction; refused when it cannot be, asked again when it is odd."""
    if raw is None:
        return None if eye is not None and what == "rise" else Refused("A reading needs a number.")
    probe = state.kitchen.probe
    value = probe.offset_k + probe.slope * raw if is_temperature(what) else raw
    unit = LIMITS[what].unit
    if impossible(what, value):
        low, high = LIMITS[what].possible
        remedy = f"It must lie between {low:g} and {high:g} {unit}. Read it again."
        return Refused(f"A {what} of {value:.1f} {unit} cannot be.", remedy)
    if odd(what, value) and not sure:
        return Refused(f"A {what} of {value:.1f} {unit} is unusual.", "Say it again if it is right.", odd=True)
    return value


def _check_for(state: BakeState, index: int, what: ReadingKind, now_s: float) -> int | None:
    """Which check of the running stage a reading answers: the first open one of its kind, due ones first."""
    begun_s = state.stages[index].begun_s or 0.0
    taken = {reading.check for reading in state.readings_in(index)}
    open_ones = [
        (number, check)
        for number, check in enumerate(state.stage(index).checks)
        if check.read == what and number not in taken
    ]
    due = [number for number, check in open_ones if begun_s + check_at_s(state, index, check) <= now_s]
    first_start = [number for number, check in open_ones if check.when == "start"]
    return next(iter([*due, *first_start]), open_ones[0][0] if open_ones else None)


def check_at_s(state: BakeState, index: int, check: Check) -> float:
    """How far into its stage a check is due (s)."""
    if check.when == "start":
        return 0.0
    return state.stages[index].length_s if check.at_s is None else check.at_s


def _change(state: BakeState, index: int, intent: intents.Read, value: float | None, now: Stamp) -> Change | None:
    if intent.what == "rise" and adjusting(state.stage(index)) != "rise":
        return by_rise(state, index, value, intent.eye, state.now_s(now))
    if value is None:
        return None
    if intent.what == "room temperature" and adjusting(state.stage(index)) == "dough temperature":
        return None
    if intent.what != adjusting(state.stage(index)):
        return None
    begun_s = state.stages[index].begun_s or 0.0
    into_s = state.now_s(now) - begun_s
    return by_reading(state, index, (*_so_far(state, index, intent.what), (into_s, value)))


def _so_far(state: BakeState, index: int, what: ReadingKind, without: int = 0) -> tuple[tuple[float, float], ...]:
    begun_s = state.stages[index].begun_s or 0.0
    return tuple(
        (reading.at_s - begun_s, reading.value)
        for reading in state.readings_in(index, what)
        if reading.value is not None and reading.number != without
    )


def _longer(state: BakeState, intent: intents.Longer, now: Stamp) -> Bodies:
    index = state.current
    if index is None or state.closed:
        return _closed(state) or Refused("No stage is running.", "Begin the bake first.")
    run = state.stages[index]
    elapsed_s = state.now_s(now) - (run.begun_s or 0.0)
    base_s = max(run.length_s, elapsed_s) if intent.by_s > 0 else run.length_s
    to_s = max(base_s + intent.by_s, min(elapsed_s, run.length_s), 0.0)
    if to_s == run.length_s:
        return Refused("The stage is due already; it cannot be shorter.")
    word = "longer" if to_s > run.length_s else "shorter"
    reason = f"{length(abs(to_s - run.length_s))} {word} by hand."
    return [kinds.TimeAdjusted(index, run.length_s, to_s, "hand", reason)]


def _accept(state: BakeState, intent: intents.Accept, _now: Stamp) -> Bodies:
    if state.closed:
        return _closed(state) or []
    if not 0 <= intent.stage < len(state.stages) or state.stages[intent.stage].ended_s is not None:
        return Refused("That stage is over; its time cannot change any more.")
    if not 0 < intent.to_s <= 14 * 86400:
        return Refused("A stage lasts more than nothing and at most 14 days.")
    run = state.stages[intent.stage]
    if intent.to_s == run.length_s and intent.place_c in (None, run.place_c):
        return Refused("The stage has that length already.")
    return [kinds.TimeAdjusted(intent.stage, run.length_s, intent.to_s, "plan", intent.reason, place_c=intent.place_c)]


def _task(state: BakeState, intent: intents.Task, _now: Stamp) -> Bodies:
    if state.closed:
        return _closed(state) or []
    if state.done(intent.task) == intent.done:
        return Refused("That is done already." if intent.done else "That was not done yet.")
    return [kinds.TaskDone(intent.task, state.current, intent.done)]


def _note(state: BakeState, intent: intents.AddNote, _now: Stamp) -> Bodies:
    text = intent.text.strip()
    if not text:
        return Refused("An empty note says nothing.")
    return [kinds.NoteAdded(text[:2000], state.current)]


def _score(_state: BakeState, intent: intents.GiveScore, _now: Stamp) -> Bodies:
    if not 0 <= intent.points <= 10:
        return Refused("Points go from 0 to 10.")
    return [kinds.ScoreGiven(intent.line, intent.points, intent.text.strip()[:500])]


def _mark(state: BakeState, intent: intents.MarkTypical, _now: Stamp) -> Bodies:
    if state.typical == intent.typical:
        return Refused("The bake is marked so already.")
    return [kinds.BakeMarked(intent.typical, intent.why)]


def last_said(state: BakeState) -> tuple[Event, ...]:
    """The events of the newest decision that can be taken back; empty when there is none."""
    for event in reversed(state.events):
        if event.number in state.undone or isinstance(event.body, _NEVER_UNDONE):
            continue
        return tuple(e for e in state.events if e.decision == event.decision and e.number not in state.undone)
    return ()


_NEVER_UNDONE = (
    kinds.BakeOpened,
    kinds.StartPlanned,
    kinds.Corrected,
    kinds.StageReopened,
    kinds.ClockSet,
    kinds.ProgramBack,
)


def _undo(state: BakeState, _intent: intents.Undo, _now: Stamp) -> Bodies:
    said = [event for event in last_said(state) if not isinstance(event.body, _NEVER_UNDONE)]
    if not said:
        return Refused("There is nothing to take back.")
    bodies: list[Body] = [kinds.Corrected(tuple(event.number for event in said), undone=True)]
    reopened = [event.body.stage for event in said if isinstance(event.body, kinds.StageEnded)]
    return [*bodies, *(kinds.StageReopened(stage, "taken back") for stage in reopened)]


def _correct(state: BakeState, intent: intents.Correct, _now: Stamp) -> Bodies:
    reading = next((r for r in state.readings if r.number == intent.number), None)
    if reading is None:
        return Refused("There is no such reading to correct.")
    value = _true_value(state, reading.what, intent.raw, intent.eye, sure=intent.sure)
    if isinstance(value, Refused):
        return value
    corrected = kinds.Corrected(
        (reading.number,), undone=False, value=value, raw=intent.raw, typed=intent.typed, eye=intent.eye, why=intent.why
    )
    change = _change_after_correction(state, reading, value)
    return [corrected, *(_adjusted(state, reading.stage, change, reading.number) if reading.stage is not None else [])]


def _change_after_correction(state: BakeState, reading: Reading, value: float | None) -> Change | None:
    index = reading.stage
    if index is None or state.closed or index != state.current or value is None:
        return None
    if reading.what != adjusting(state.stage(index)):
        return None
    newest = state.readings_in(index, reading.what)[-1].number == reading.number
    if not newest:
        return None
    into_s = reading.at_s - (state.stages[index].begun_s or 0.0)
    return by_reading(state, index, (*_so_far(state, index, reading.what, without=reading.number), (into_s, value)))


def _give_up(state: BakeState, intent: intents.GiveUp, _now: Stamp) -> Bodies:
    if state.closed:
        return _closed(state) or []
    return [kinds.BakeClosed("given up", intent.why.strip()[:500])]


def _back(_state: BakeState, intent: intents.Back, _now: Stamp) -> Bodies:
    return [kinds.ProgramBack(max(0.0, intent.away_s), intent.why)]


_RULES: dict[type, Callable[[BakeState, Any, Stamp], Bodies]] = {
    intents.PlanStart: _plan_start,
    intents.Begin: _begin,
    intents.Done: _done,
    intents.Read: _read,
    intents.Longer: _longer,
    intents.Accept: _accept,
    intents.Task: _task,
    intents.AddNote: _note,
    intents.GiveScore: _score,
    intents.MarkTypical: _mark,
    intents.Undo: _undo,
    intents.Correct: _correct,
    intents.GiveUp: _give_up,
    intents.Back: _back,
}
