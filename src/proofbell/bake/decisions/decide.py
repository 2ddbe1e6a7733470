"""Deciding: what an intent makes happen, or why it cannot. The one door to a bake for app, commands and rehearsal."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.decisions import place_rules, reading_rules, said, stage_rules
from proofbell.bake.decisions.by_place import where_they_stand
from proofbell.bake.decisions.refused import closed
from proofbell.bake.events import Body, Event
from proofbell.bake.fold import apply
from proofbell.bake.intents import Bodies, Intent, Refused
from proofbell.bake.record import make_event
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.in_loads import in_loads
from proofbell.formula.stages import LONGEST_STAGE_S

Decision = tuple[Event, ...] | Refused


def decide(state: BakeState | None, intent: Intent, now: Stamp) -> Decision:
    """Turn an intent into the events of one decision, or refuse it in plain words. Nothing is changed."""
    if isinstance(intent, intents.Open):
        return _open(state, intent, now)
    if state is None:
        return Refused("There is no such bake.", "Open one first.")
    if isinstance(intent, _WHILE_IT_IS_ON) and (over := closed(state)):
        return over
    bodies = RULES[type(intent)](state, intent, now)
    if isinstance(bodies, Refused):
        return bodies
    moved_us = state.timeline.clock_set_by_us(now)
    if not moved_us:
        return _stamped(state, state.id, now, bodies)
    # A decision of its own: undoing what was said next must not touch it.
    noted = _stamped(state, state.id, now, [kinds.ClockSet(moved_us / 1_000_000)])
    return (*noted, *_stamped(decided(state, noted), state.id, now, bodies))


def decided(state: BakeState | None, events: Sequence[Event]) -> BakeState:
    """The state after a decision. Raises ValueError: the decision is empty and there is no bake."""
    for event in events:
        state = apply(state, event)
    if state is None:
        raise ValueError("no bake and no events")
    return state


def _stamped(state: BakeState | None, bake: str, now: Stamp, bodies: Sequence[Body]) -> tuple[Event, ...]:
    first = 1 if state is None else state.last.number + 1
    digest = "" if state is None else state.last.digest
    events: list[Event] = []
    for number, body in enumerate(bodies, start=first):
        event = make_event(bake, number, first, now, body, digest)
        events.append(event)
        digest = event.digest
    return tuple(events)


def _open(state: BakeState | None, intent: intents.Open, now: Stamp) -> Decision:
    if state is not None:
        return Refused("This bake is open already.")
    formula, batch = in_loads(intent.formula, intent.batch, intent.kitchen.oven.trays)
    opened = kinds.BakeOpened(intent.letter, formula, batch, intent.kitchen, intent.version)
    fresh = apply(None, _stamped(None, intent.bake, now, [opened])[0])
    placed = where_they_stand(fresh)
    if intent.start_in_s is None:
        return _stamped(None, intent.bake, now, [opened, *placed])
    if not max(intent.start_in_s, intent.ready_in_s or 0.0) <= LONGEST_STAGE_S:
        return Refused("A bake can be planned at most 14 days ahead.")
    ready_s = None if intent.ready_in_s is None else max(0.0, intent.ready_in_s)
    weigh_s = None if intent.weigh_in_s is None else max(0.0, intent.weigh_in_s)
    start_s = max(0.0, intent.start_in_s)
    planned = kinds.StartPlanned(start_s, ready_s=ready_s, weigh_s=weigh_s, plan=intent.plan)
    return _stamped(None, intent.bake, now, [opened, planned, *placed])


RULES: dict[type, Callable[[BakeState, Any, Stamp], Bodies]] = {
    intents.PlanStart: stage_rules.plan_start,
    intents.Begin: stage_rules.begin,
    intents.Done: stage_rules.done,
    intents.Longer: stage_rules.longer,
    intents.Move: place_rules.move,
    intents.Resize: said.resize,
    intents.Accept: stage_rules.accept,
    intents.GiveUp: stage_rules.give_up,
    intents.Read: reading_rules.read,
    intents.Correct: reading_rules.correct,
    intents.Task: said.task,
    intents.AddNote: said.note,
    intents.GiveScore: said.score,
    intents.MarkTypical: said.mark,
    intents.TakeRow: said.take_row,
    intents.Decline: said.decline,
    intents.TakeLetter: said.take_letter,
    intents.TakeOven: said.take_oven,
    intents.PutAway: said.put_away,
    intents.Undo: said.undo,
    intents.Look: said.look,
    intents.Back: said.back,
    intents.Rebase: said.rebase,
    intents.LogTimer: said.log_timer,
}
"""An intent to its rule. A new intent is one class in ``intents`` and one line here."""

# What nobody can say any more of a bake that is over.
_WHILE_IT_IS_ON = (
    *(intents.PlanStart, intents.Begin, intents.Done, intents.Longer, intents.Accept, intents.GiveUp),
    *(intents.Move, intents.Resize, intents.TakeLetter, intents.TakeOven, intents.Rebase),
    intents.Decline,
)
