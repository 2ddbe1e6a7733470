"""Formulas and live bakes as the planner sees them: chains of steps in whole seconds from an origin.

The origin is a UTC moment (µs); what a formula leaves open is filled in here, in one place.
"""

from __future__ import annotations

import math
from collections.abc import Container, Sequence
from dataclasses import replace

from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.fermenting.warming import warming
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bench.oven_heat import oven_heat_c
from proofbell.bench.stage_steps import KEEP_S, READ_S, TAKE_OUT, WEIGH, loads, step_of, weigh_step, with_tasks
from proofbell.formula.model import Formula
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen
from proofbell.planner.problem import Capacity, Chain, Problem, Step, Task

StageOf = tuple[str, int]
"""A bake's id and the index of one of its stages."""


@dataclass(frozen=True, slots=True)
class Wish:
    """One bake to plan: a formula, and when it is wanted (UTC, µs; None: as soon as it can be)."""

    letter: str
    formula: Formula
    ready_us: int | None = None
    not_before_us: int | None = None


def seconds(at_us: int, origin_us: int) -> int:
    """A UTC moment as whole seconds from the origin."""
    return round((at_us - origin_us) / 1_000_000)


def problem_of(
    wishes: Sequence[Wish],
    kitchen: Kitchen,
    origin_us: int,
    states: Sequence[BakeState] = (),
    settled: Container[StageOf] = (),
    quiet: Sequence[tuple[int, int]] = (),
) -> Problem:
    """A day to plan from now (the origin): bakes that are wanted, beside those that are live.

    A stage that is ``settled``, because the baker would not have it changed, is not planned shorter or elsewhere.
    ``quiet``: spans (UTC, µs) in which nobody works.
    """
    places = max(1, kitchen.oven.trays)
    chains = [chain_of_state(state, origin_us, settled, places) for state in states if state.closed is None]
    chains += [chain_of_wish(wish, origin_us, places) for wish in wishes]
    spans = tuple((seconds(begin_us, origin_us), seconds(end_us, origin_us)) for begin_us, end_us in quiet)
    capacity = capacity_of(kitchen, oven_heat_c(states, origin_us))
    return Problem(tuple(chains), capacity, 0, tuple(span for span in spans if span[1] > 0))


def capacity_of(kitchen: Kitchen, oven_now_c: float | None = None) -> Capacity:
    """The hands and the oven that all share."""
    return Capacity(
        people=max(1, kitchen.hands),
        trays=max(1, kitchen.oven.trays),
        up_s_per_k=kitchen.oven.heat_up_s / 180.0,
        down_s_per_k=kitchen.oven.cool_down_s / 100.0,
        oven_c=kitchen.room_c if oven_now_c is None else oven_now_c,
        room_c=kitchen.room_c,
    )


def chain_of_wish(wish: Wish, origin_us: int, places: int = 1) -> Chain:
    """A bake that has not begun, in an oven of so many places."""
    formula = wish.formula
    stages = [with_tasks(step_of(formula, index), stage) for index, stage in enumerate(formula.stages)]
    steps = _in_loads(_weighed(formula, stages), places)
    ready_s = None if wish.ready_us is None else seconds(wish.ready_us, origin_us)
    first_s = steps[0].nominal_s if steps[0].kind == WEIGH else 0
    # Not before then is the first stage; what is weighed out for it may be before.
    not_before_s = 0 if wish.not_before_us is None else max(0, seconds(wish.not_before_us, origin_us) - first_s)
    return Chain(wish.letter, steps, ready_by_s=ready_s, not_before_s=not_before_s, name=formula.name)


def chain_of_state(state: BakeState, origin_us: int, settled: Container[StageOf] = (), places: int = 1) -> Chain:
    """A live bake: what is past stays, what runs goes on, the rest is open until it is wanted."""
    live = [_live_step(state, index, origin_us, settled) for index in range(len(state.stages))]
    steps = _in_loads(_live_loads(state, live), places)
    planned = None if state.start_s is None or state.begun else seconds(state.wall_us(state.start_s), origin_us)
    ready_s = None if state.ready_by_s is None else seconds(state.wall_us(state.ready_by_s), origin_us)
    return Chain(state.letter, steps, ready_by_s=ready_s, not_before_s=max(0, planned or 0), name=state.formula.name)


def _weighed(formula: Formula, stages: Sequence[Step]) -> list[Step]:
    """The steps with a weigh-out before the dough, and one before each preferment."""
    found: list[Step] = []
    place: dict[int, int] = {}
    for index, step in enumerate(stages):
        after = tuple(place[one] for one in step.after or ())
        weigh_s = _weigh_s(formula, index)
        if weigh_s:
            after = (*after, len(found))
            found.append(weigh_step("Weigh out", weigh_s))
        place[index] = len(found)
        found.append(replace(step, after=after))
    return found


def _weigh_s(formula: Formula, index: int) -> int:
    """Seconds of the weigh-out right before a stage; 0 where nothing is weighed out there."""
    if index == (formula.dough_begins or 0):
        return round(formula.weigh_s)
    made, parts = formula.stages[index].made_for, None
    if made is not None and index == formula.strand(index).start:
        maker = formula.maker(index)
        parts = None if maker is None else maker.made_of
    if parts is None:
        return 0
    return 60 + 40 * sum(part > 0 for part in (parts.flour, parts.water, parts.yeast, parts.salt, parts.starter))


def _in_loads(steps: Sequence[Step], places: int) -> tuple[Step, ...]:
    """The steps with each bake that is wider than the oven in loads, whose waiting is bounded from its proof on."""
    found: list[Step] = []
    place: dict[int, int] = {}
    for at, step in enumerate(steps):
        before = (at - 1,) if at else ()
        after = tuple(place[one] for one in (before if step.after is None else step.after))
        narrow = replace(step, trays=min(step.trays, places))
        in_turn = loads(step, places) if step.heats and step.begun_s is None else (narrow,)
        found.append(replace(in_turn[0], after=after))
        for load in in_turn[1:]:
            found.append(_waiting(found, replace(load, after=(len(found) - 1,))))
        place[at] = len(found) - 1
    return tuple(found)


def _waiting(before: list[Step], load: Step) -> Step:
    """A later load, which goes on proofing until it is loaded; the proof among the steps before it learns of that."""
    since = next((at for at in range(len(before) - 1, -1, -1) if before[at].kind not in ("hands", "bake", WEIGH)), None)
    if since is None:
        return load
    before[since] = replace(before[since], shared=True)
    lag_s = sum(step.nominal_s for step in before[since + 1 :] if step.kind == "hands")
    return replace(load, since=since, lag_s=lag_s)


def _live_loads(state: BakeState, steps: Sequence[Step]) -> list[Step]:
    """The same steps; of a bake in loads the later ones wait for their turn."""
    found: list[Step] = []
    for step, stage in zip(steps, state.formula.stages, strict=True):
        number, count = stage.load or (1, 1)
        keeps = replace(step, wait_s=KEEP_S) if number < count else step
        found.append(_waiting(found, keeps) if number > 1 and step.begun_s is None else keeps)
    return found


def _live_step(state: BakeState, index: int, origin_us: int, settled: Container[StageOf]) -> Step:
    run = state.stages[index]
    formula = replace(state.formula, oven=replace(state.formula.oven, trays=oven_places(state.formula, state.batch)))
    step = step_of(formula, index, run.length_s, forgives(state, index))
    if run.said or (state.id, index) in settled:
        step = replace(step, least_s=step.nominal_s, instead=None)
    if run.begun_s is None:
        return step
    step = _warmed(state, index, step, origin_us)
    begun_s = seconds(state.wall_us(run.begun_s), origin_us)
    ended_s = None if run.ended_s is None else seconds(state.wall_us(run.ended_s), origin_us)
    # A preferment that is ready before the other waits for it: that is a fact, and no fault of a plan.
    joins = ended_s is not None and len(state.formula.follows(state.formula.followed_by(index) or 0)) > 1
    return replace(step, begun_s=begun_s, ended_s=ended_s, instead=None, wait_s=KEEP_S if joins else step.wait_s)


def _warmed(state: BakeState, index: int, step: Step, now_us: int) -> Step:
    """A proof that runs with what its dough warms before the oven, and the hands that take it out of the cold."""
    first = warming(state, index, (now_us - state.wall_us(0.0)) / 1_000_000)
    if first is None or state.stages[index].ended_s is not None:
        return step
    whole_s = max(step.nominal_s, math.ceil(first.ready_s))
    warm = replace(step, least_s=whole_s, nominal_s=whole_s, most_s=max(step.most_s, whole_s))
    if not first.to_take_out:
        return warm
    return replace(warm, tasks=(*step.tasks, Task(TAKE_OUT, round(first.out_s), READ_S)))
