"""How hot the one oven is at a moment, as far as anybody has said: what the plan begins from."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.bake.asking.oven import given_up_inside, oven_off
from proofbell.bake.heats import first_heat_c, let_go, takes_s
from proofbell.bake.intents import Intent, Task
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask

Said = tuple[int, float]
"""Whose word counts, the lowest first, and the heat (°C)."""


def oven_heat_c(states: Sequence[BakeState], origin_us: int) -> float | None:
    """The oven's heat (°C) at a UTC moment (µs), or None when it has not been turned on.

    What is in it says so first, then what it was said to be hot for, then what it was turned on for. An oven that
    nobody has said to be off after a bake still is as hot as that bake left it. Only live bakes have a say in this.
    """
    live = [state for state in states if state.closed is None]
    found = [said for state in live if (said := _said(state, states, origin_us)) is not None]
    # Of two that were turned on, or left on, the hotter is the truer.
    return min(found, key=lambda said: (said[0], -said[1]))[1] if found else None


def _said(state: BakeState, states: Sequence[BakeState], origin_us: int) -> Said | None:
    bakes = [i for i in range(len(state.stages)) if state.stage(i).kind == "bake"]
    index = next((i for i in bakes if state.stages[i].ended_s is None), None)
    heat_c = None if index is None else first_heat_c(state, index)
    if index is not None and heat_c is not None:
        if state.stages[index].begun_s is not None:
            return 0, heat_c
        if state.done(OvenTask("oven hot", index)):
            return 1, heat_c
        on = state.mark(OvenTask("oven on", index))
        if on is not None:
            since_s = max(0.0, (origin_us - state.wall_us(on.at_s)) / 1_000_000)
            return 2, _changed_c(state, heat_c, on.from_c, since_s)
    left_c = left_on_c(state, states)
    return None if left_c is None else (2, left_c)


def left_on_c(state: BakeState, states: Sequence[BakeState]) -> float | None:
    """The heat (°C) that a bake left the oven at; None when it was said to be off since, or another left it later."""
    left = let_go(state)
    if left is None:
        return None
    out_us = state.wall_us(left.at_s)
    if any(_out_us(other, out_us) > out_us for other in states):
        return None
    others = (other for other in states if other.id == state.id or _out_us(other, out_us) >= out_us)
    off = any(off_us >= out_us for other in others for off_us in _said_off_us(other))
    return None if off else left.heat_c


def _out_us(state: BakeState, otherwise_us: int) -> int:
    """When a bake let go of the oven (UTC, µs)."""
    left = let_go(state)
    return otherwise_us if left is None else state.wall_us(left.at_s)


def also_off(states: Sequence[BakeState], said_of: str, intent: Intent) -> tuple[tuple[str, Task], ...]:
    """What an oven said to be off, or set, for ``said_of`` answers of the others: bake (id) and what is said to it.

    There is one oven. Each keeps the answer in its own log, whichever of them is put away first and wherever it is
    looked at. Bread of a bake that was given up in the oven is still to be taken out: that asks by itself.
    """
    if not isinstance(intent, Task) or not isinstance(intent.task, OvenTask):
        return ()
    if intent.task.kind == "oven on" and intent.done:
        return _not_theirs(states, said_of, intent.task)
    if intent.task.kind != "oven off":
        return ()
    others = (state for state in states if state.id != said_of and given_up_inside(state) is None)
    asked = ((state.id, prompt.task) for state in others for prompt in oven_off(state))
    return tuple((bake, Task(task)) for bake, task in asked if task is not None)


def _not_theirs(states: Sequence[BakeState], said_of: str, on: OvenTask) -> tuple[tuple[str, Task], ...]:
    """An oven that is set for one bake is no more set for another at another heat: that is told again in its turn."""
    heat_c = next((first_heat_c(state, on.stage) for state in states if state.id == said_of), None)
    found: list[tuple[str, Task]] = []
    for state in states:
        told_c = told_for_c(state)
        if state.id == said_of or heat_c is None or told_c is None or told_c[1] == heat_c:
            continue
        tasks = (OvenTask(kind, told_c[0]) for kind in ("oven hot", "oven on"))
        found += [(state.id, Task(task, done=False)) for task in tasks if state.done(task)]
    return tuple(found)


def told_for_c(state: BakeState) -> tuple[int, float] | None:
    """For which bake stage to come the oven was said to be on or hot, and its heat (conventional °C); None for none."""
    if state.closed is not None:
        return None
    for index, run in enumerate(state.stages):
        heat_c = first_heat_c(state, index) if state.stage(index).kind == "bake" and run.begun_s is None else None
        if heat_c is not None and any(state.done(OvenTask(kind, index)) for kind in ("oven on", "oven hot")):
            return index, heat_c
    return None


def _said_off_us(state: BakeState) -> list[int]:
    """When it was said of a bake's oven that it is off (UTC, µs)."""
    tasks = {OvenTask("oven off", i) for i in range(len(state.stages)) if state.stage(i).kind == "bake"}
    return [state.wall_us(mark.at_s) for mark in state.marks if mark.task in tasks]


def _changed_c(state: BakeState, heat_c: float, from_c: float | None, since_s: float) -> float:
    """An oven that is not said to be hot yet has changed in proportion to the time since it was set to its new heat."""
    needs_s = takes_s(state, heat_c, from_c)
    from_c = state.kitchen.room_c if from_c is None else from_c
    return heat_c if since_s >= needs_s else from_c + (heat_c - from_c) * since_s / needs_s
