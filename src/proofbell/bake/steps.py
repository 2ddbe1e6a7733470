"""Each kind of event to the state after it, or the refusal of one that cannot have happened."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from proofbell.bake import events as kinds
from proofbell.bake.events import Event, letter_in
from proofbell.bake.state import (
    Adjustment,
    BakeState,
    Closed,
    Mark,
    Note,
    Reading,
    Score,
    Shift,
    SizeSaid,
    StageState,
    Stood,
)
from proofbell.bake.tasks import OvenTask, Weighed, after_closing
from proofbell.bake.weigh.in_loads import in_other_loads

MOST_LOADS = 1000
"""No batch goes into the oven in more."""


class ImpossibleError(ValueError):
    """An event that cannot follow the ones before it."""


def first_of_boot(events: Sequence[Event], number: int) -> int:
    """The number of the first event of the boot that an event belongs to."""
    while number > 1 and events[number - 2].stamp.boot_id == events[number - 1].stamp.boot_id:
        number -= 1
    return number


def shifts(events: Sequence[Event]) -> tuple[Shift, ...]:
    """What the baker's words make of the time, after these events."""
    undone = {
        number for e in events if isinstance(e.body, kinds.Corrected) and e.body.undone for number in e.body.events
    }
    by_us = {
        first_of_boot(events, event.body.since): round(event.body.by_s * 1_000_000)
        for event in events
        if isinstance(event.body, kinds.TimeRebased) and event.number not in undone
    }
    return tuple(Shift(since, us) for since, us in sorted(by_us.items()))


def step(state: BakeState, event: Event) -> BakeState:
    small = isinstance(event.body, kinds.TaskDone) and after_closing(event.body.task)
    if state.closed is not None and not small and not isinstance(event.body, _AFTER_CLOSING):
        raise ImpossibleError(f"event {event.number}: the bake is closed")
    if type(event.body) not in _STEPS:
        raise ImpossibleError(f"event {event.number} cannot happen twice")
    at_s = state.timeline.run_us / 1_000_000
    return _STEPS[type(event.body)](state, event, at_s, event.body)


def _stage(state: BakeState, index: int, **changes: Any) -> BakeState:  # noqa: ANN401 - fields of StageState
    if not 0 <= index < len(state.stages):
        raise ImpossibleError(f"there is no stage {index}")
    stages = list(state.stages)
    stages[index] = replace(stages[index], **changes)
    return replace(state, stages=tuple(stages))


def _start_planned(state: BakeState, event: Event, _at: float, body: kinds.StartPlanned) -> BakeState:
    if state.begun:
        raise ImpossibleError("the bake has begun; its start cannot be planned")
    # It was said as so long from then; a time line that is moved afterwards takes it along.
    known = {one.since: one.by_us for one in shifts(state.events)}
    moved = [one.by_us - known.get(one.since, 0) for one in state.shifts if one.since <= event.number]
    gone = [by_us for since, by_us in known.items() if all(since != one.since for one in state.shifts)]
    later_s = (sum(moved) - sum(gone)) / 1_000_000
    ready_by_s = state.ready_by_s if body.ready_s is None else body.ready_s + later_s
    weigh_s = None if body.weigh_s is None else body.weigh_s + later_s
    # A start that is moved takes the hours of its plan along.
    plan = state.as_planned if body.plan is None else body.plan
    start_s = body.at_s + later_s
    return replace(state, start_s=start_s, ready_by_s=ready_by_s, weigh_from_s=weigh_s, as_planned=plan)


def _stage_begun(state: BakeState, _event: Event | None, at_s: float, body: kinds.StageBegun) -> BakeState:
    index, begun_s = body.stage, at_s - body.ago_s
    if not 0 <= body.ago_s < math.inf:
        raise ImpossibleError(f"stage {index} cannot begin in the future")
    if not 0 <= index < len(state.stages):
        raise ImpossibleError(f"stage {index} cannot begin now")
    before = state.formula.follows(index)
    for one in before:
        if state.stages[one].ended_s is None:
            raise ImpossibleError(f"stage {index} cannot begin before stage {one} is over")
        begun_s = max(begun_s, state.stages[one].ended_s or 0.0)
    if state.stages[index].begun_s is not None:
        raise ImpossibleError(f"stage {index} has begun already")
    # What was read since belongs to this stage, though the one before still ran by what had been said.
    since = [r.stage in before and r.at_s > begun_s for r in state.readings]
    readings = tuple(
        replace(r, stage=index, check=None) if later else r for r, later in zip(state.readings, since, strict=True)
    )
    # Whatever was said of its oven before, one that is loaded is to be turned off afterwards.
    marks = tuple(mark for mark in state.marks if mark.task != OvenTask("oven off", index))
    return _stage(replace(state, readings=readings, marks=marks), index, begun_s=begun_s)


def _stage_ended(state: BakeState, _event: Event | None, at_s: float, body: kinds.StageEnded) -> BakeState:
    if body.stage not in state.running:
        raise ImpossibleError(f"stage {body.stage} does not run")
    if not 0 <= body.ago_s < math.inf:
        raise ImpossibleError(f"stage {body.stage} cannot end in the future")
    begun_s = state.stages[body.stage].begun_s or 0.0
    return _stage(state, body.stage, ended_s=max(begun_s, at_s - body.ago_s), missed=body.missed)


def next_begun(state: BakeState, ended: kinds.StageEnded, begun: kinds.StageBegun, at_s: float) -> BakeState:
    """The bake with one stage over and the next begun, as it will be once both events, said at ``at_s``, are there."""
    return _stage_begun(_stage_ended(state, None, at_s, ended), None, at_s, begun)


def _stage_reopened(state: BakeState, _event: Event, _at: float, body: kinds.StageReopened) -> BakeState:
    if body.stage not in state.running:
        raise ImpossibleError(f"stage {body.stage} is not open")
    return state


def _reading_taken(state: BakeState, event: Event, at_s: float, body: kinds.ReadingTaken) -> BakeState:
    if body.stage is not None and not 0 <= body.stage < len(state.stages):
        raise ImpossibleError(f"there is no stage {body.stage}")
    return replace(state, readings=(*state.readings, as_taken(body, event.number, at_s)))


def as_taken(body: kinds.ReadingTaken, number: int, at_s: float) -> Reading:
    """A reading as its event has it; nothing has corrected it yet."""
    return Reading(
        number=number,
        at_s=at_s,
        what=body.what,
        value=body.value,
        typed=body.typed,
        raw=body.raw,
        eye=body.eye,
        stage=body.stage,
        check=body.check,
        source=body.source,
    )


def _time_adjusted(state: BakeState, event: Event, at_s: float, body: kinds.TimeAdjusted) -> BakeState:
    if not 0 <= body.stage < len(state.stages) or state.stages[body.stage].ended_s is not None:
        raise ImpossibleError(f"the time of stage {body.stage} cannot change any more")
    if not body.to_s >= 0:
        raise ImpossibleError("a stage cannot be shorter than nothing")
    stage = state.stages[body.stage]
    moved = () if body.place_c is None else (Stood(max(at_s, stage.begun_s or 0.0), body.place_c, agreed=True),)
    adjustments = (*stage.adjustments, Adjustment(event.number, at_s, body))
    return _stage(state, body.stage, length_s=body.to_s, adjustments=adjustments, stood=(*stage.stood, *moved))


def _dough_moved(state: BakeState, _event: Event, at_s: float, body: kinds.DoughMoved) -> BakeState:
    if body.stage not in state.running:
        raise ImpossibleError(f"stage {body.stage} does not run")
    if not (math.isfinite(body.place_c) and 0 <= body.ago_s < math.inf):
        raise ImpossibleError("no dough was moved there and then")
    return state.with_stage(body.stage, moved_to(state.stages[body.stage], body, at_s))


def moved_to(run: StageState, body: kinds.DoughMoved, at_s: float) -> StageState:
    """A stage whose dough was moved, as it was said at ``at_s``; what was said of later moments holds no more."""
    moved_s = max(run.begun_s or 0.0, at_s - body.ago_s)
    earlier = tuple(each for each in run.stood if each.at_s <= moved_s)
    return replace(run, stood=(*earlier, Stood(moved_s, body.place_c, body.place)))


def _resized(state: BakeState, _event: Event, at_s: float, body: kinds.Resized) -> BakeState:
    lines = body.batch.lines
    if [line.name for line in lines] != [line.name for line in state.batch.lines] or len(body.in_bowl_g) != len(lines):
        raise ImpossibleError("another size weighs the same things")
    numbers = (body.batch.dough_g, body.batch.flour_g, *body.in_bowl_g, *(line.grams for line in lines))
    if not all(math.isfinite(number) and number >= 0 for number in numbers):
        raise ImpossibleError("a size is in numbers of nothing or more")
    full = [Weighed(n) for n, line in enumerate(lines) if 0 < line.grams <= body.in_bowl_g[n]]
    # What more is wanted of is not all in the bowl any more; what was poured in without a tick, is.
    marks = [mark for mark in state.marks if not isinstance(mark.task, Weighed) or mark.task in full]
    ticked = {mark.task for mark in marks}
    marks += [Mark(task, state.current, at_s) for task in full if task not in ticked]
    begun = frozenset(index for index, run in enumerate(state.stages) if run.begun_s is not None)
    sized = replace(state, batch=body.batch, marks=tuple(marks), size_said=SizeSaid(body, begun))
    if not body.loads:
        return sized
    if not 0 < body.loads <= MOST_LOADS or any(state.stage(index).kind == "bake" for index in begun):
        raise ImpossibleError("no bake that has begun, or none at all, goes in so many loads")
    return in_other_loads(sized, body.loads)


def _task_done(state: BakeState, _event: Event, at_s: float, body: kinds.TaskDone) -> BakeState:
    task = body.task
    if isinstance(task, OvenTask) and task.from_c is not None and not math.isfinite(task.from_c):
        raise ImpossibleError("no oven is so hot")
    gone = {task} | (_other_word(state, task) if isinstance(task, OvenTask) and body.done else set())
    others = tuple(mark for mark in state.marks if mark.task not in gone)
    return replace(state, marks=(*others, Mark(task, body.stage, at_s)) if body.done else others)


def _other_word(state: BakeState, task: OvenTask) -> set[OvenTask]:
    """What was said of a bake's oven and holds no more: on and hot once it is off before that, off once it is on."""
    if task.kind in ("oven on", "oven hot"):
        return {OvenTask("oven off", task.stage)}
    waits = task.stage < len(state.stages) and state.stages[task.stage].begun_s is None
    if task.kind == "oven off" and waits and state.closed is None:
        return {OvenTask("oven on", task.stage), OvenTask("oven hot", task.stage)}
    return set()


def _note_added(state: BakeState, event: Event, at_s: float, body: kinds.NoteAdded) -> BakeState:
    return replace(state, notes=(*state.notes, Note(event.number, at_s, body.text, body.stage)))


def _score_given(state: BakeState, _event: Event, at_s: float, body: kinds.ScoreGiven) -> BakeState:
    others = tuple(score for score in state.scores if score.line != body.line)
    return replace(state, scores=(*others, Score(body.line, body.points, body.text, at_s)))


def _bake_marked(state: BakeState, _event: Event, _at: float, body: kinds.BakeMarked) -> BakeState:
    return replace(state, typical=body.typical)


def _row_taken(state: BakeState, _event: Event, _at: float, body: kinds.RowTaken) -> BakeState:
    return replace(state, row=body.row)


def _plan_declined(state: BakeState, _event: Event, _at: float, body: kinds.PlanDeclined) -> BakeState:
    return _stage(state, body.stage, declined_s=body.as_s)


def _letter_given(state: BakeState, _event: Event, _at: float, body: kinds.LetterGiven) -> BakeState:
    return replace(state, letter=letter_in(body.letter))


def _oven_changed(state: BakeState, _event: Event, _at: float, body: kinds.OvenChanged) -> BakeState:
    return replace(state, kitchen=replace(state.kitchen, oven=body.oven))


def _bake_closed(state: BakeState, _event: Event, at_s: float, body: kinds.BakeClosed) -> BakeState:
    return replace(state, closed=Closed(body.outcome, body.why, at_s))


def _put_away(state: BakeState, _event: Event, _at: float, _body: kinds.PutAway) -> BakeState:
    if state.closed is None:
        raise ImpossibleError("a bake that is on cannot be put away")
    return replace(state, away=True)


def _nothing(state: BakeState, _event: Event, _at: float, _body: object) -> BakeState:
    return state


_STEPS: dict[type, Callable[[BakeState, Event, float, Any], BakeState]] = {
    kinds.StartPlanned: _start_planned,
    kinds.StageBegun: _stage_begun,
    kinds.StageEnded: _stage_ended,
    kinds.StageReopened: _stage_reopened,
    kinds.ReadingTaken: _reading_taken,
    kinds.TimeAdjusted: _time_adjusted,
    kinds.DoughMoved: _dough_moved,
    kinds.Resized: _resized,
    kinds.TaskDone: _task_done,
    kinds.NoteAdded: _note_added,
    kinds.ScoreGiven: _score_given,
    kinds.BakeMarked: _bake_marked,
    kinds.RowTaken: _row_taken,
    kinds.PlanDeclined: _plan_declined,
    kinds.LetterGiven: _letter_given,
    kinds.OvenChanged: _oven_changed,
    kinds.BakeClosed: _bake_closed,
    kinds.PutAway: _put_away,
    kinds.ClockSet: _nothing,
    kinds.ProgramBack: _nothing,
    kinds.TimeRebased: _nothing,
    kinds.TimerLogged: _nothing,
}


_AFTER_CLOSING = (
    kinds.PutAway,
    kinds.NoteAdded,
    kinds.ScoreGiven,
    kinds.BakeMarked,
    kinds.RowTaken,
    kinds.LetterGiven,
    kinds.ReadingTaken,
    kinds.ClockSet,
    kinds.ProgramBack,
    kinds.TimerLogged,
)
