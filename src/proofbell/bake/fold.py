"""Events to state. The fold refuses what cannot have happened, so that a damaged or foreign log is noticed."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from proofbell.bake import events as kinds
from proofbell.bake.events import Event, letter_in
from proofbell.bake.stamp import Timeline
from proofbell.bake.state import BakeState, Earlier, Reading, StageState
from proofbell.bake.steps import ImpossibleError, first_of_boot, shifts, step


def fold(events: Iterable[Event]) -> BakeState:
    """Replay a bake from its first event. Raises ImpossibleError: the events do not make a bake."""
    state: BakeState | None = None
    for event in events:
        state = apply(state, event)
    if state is None:
        raise ImpossibleError("a bake without events")
    return state


def apply(state: BakeState | None, event: Event) -> BakeState:
    """The state after one more event. Raises ImpossibleError: the event cannot follow."""
    if state is None:
        return _open(event)
    if event.bake != state.id or event.number != state.last.number + 1:
        raise ImpossibleError(f"event {event.number} cannot follow {state.last.number}")
    grown = _with(state, event)
    if isinstance(event.body, kinds.Corrected):
        return _replay(grown, _undone(grown, event.body))
    if isinstance(event.body, kinds.TimeRebased):
        _rebasable(grown, event.body)
        return _replay(grown, grown.undone)
    return step(grown, event)


def _open(event: Event) -> BakeState:
    body = event.body
    if not isinstance(body, kinds.BakeOpened) or event.number != 1:
        raise ImpossibleError("a bake begins with being opened")
    stages = tuple(StageState(length_s=stage.time_s) for stage in body.formula.stages)
    return BakeState(
        id=event.bake,
        letter=letter_in(body.letter),
        formula=body.formula,
        batch=body.batch,
        kitchen=body.kitchen,
        version=body.version,
        opened=event.stamp,
        timeline=Timeline(event.stamp),
        stages=stages,
        events=(event,),
        times_us=(0,),
    )


def _with(state: BakeState, event: Event) -> BakeState:
    ran_us = round(event.body.ran_s * 1_000_000) if isinstance(event.body, kinds.ProgramBack) else 0
    timeline = state.timeline.moved(event.stamp, ran_us)
    for shift in state.shifts:
        if shift.since == event.number:
            timeline = timeline.shifted(shift.by_us, state.timeline.run_us)
    return replace(state, events=(*state.events, event), timeline=timeline, times_us=(*state.times_us, timeline.run_us))


def _undone(state: BakeState, correction: kinds.Corrected) -> frozenset[int]:
    """What is taken back once ``correction`` holds."""
    known = {event.number: event.body for event in state.events[:-1]}
    for number in correction.events:
        _correctable(state, known.get(number), number, correction)
    return state.undone | (set(correction.events) if correction.undone else set())


def _rebasable(state: BakeState, body: kinds.TimeRebased) -> None:
    if state.closed is not None:
        raise ImpossibleError("the bake is closed; its time cannot be moved")
    if not (math.isfinite(body.by_s) and math.isfinite(body.off_s)):
        raise ImpossibleError("a time cannot be moved without end")
    if not 1 <= body.since <= state.last.number or first_of_boot(state.events, body.since) == 1:
        raise ImpossibleError(f"before event {body.since} the machine did not start anew")


def _replay(state: BakeState, undone: frozenset[int]) -> BakeState:
    """Fold again without what was taken back, with what was put right. A correction can be taken back as well.

    A time that was moved counts from where the power came back, not from where the baker said so: what happened
    between the two moves with it.
    """
    fresh = replace(_open(state.events[0]), shifts=shifts(state.events))
    for event in state.events[1:]:
        fresh = replace(_with(fresh, event), undone=undone)
        # That a stage was reopened only says what a taking back led to; it has no say when it is all replayed.
        if event.number in undone or isinstance(event.body, kinds.StageReopened):
            continue
        if not isinstance(event.body, kinds.Corrected):
            fresh = step(fresh, event)
        elif not event.body.undone:
            fresh = _corrected(fresh, event.body)
    return fresh


def _correctable(state: BakeState, body: kinds.Body | None, number: int, correction: kinds.Corrected) -> None:
    taken_back = isinstance(body, kinds.Corrected) and body.undone
    # A letter that was given up may be another bake's by now.
    if body is None or taken_back or isinstance(body, kinds.BakeOpened | kinds.LetterGiven):
        raise ImpossibleError(f"event {number} cannot be corrected")
    if number in state.undone:
        raise ImpossibleError(f"event {number} was undone already")
    if not correction.undone and not isinstance(body, kinds.ReadingTaken):
        raise ImpossibleError(f"event {number} is not a reading")


def _corrected(state: BakeState, body: kinds.Corrected) -> BakeState:
    def put_right(reading: Reading) -> Reading:
        if reading.number not in body.events:
            return reading
        before = Earlier(reading.value, reading.typed, reading.eye)
        return replace(
            reading, value=body.value, raw=body.raw, typed=body.typed, eye=body.eye, earlier=(*reading.earlier, before)
        )

    return replace(state, readings=tuple(put_right(reading) for reading in state.readings))
