"""Formulas and live bakes as the planner sees them: chains of steps in whole seconds from an origin.

The origin is a UTC moment (µs); what a formula leaves open is filled in here, in one place.
"""

from __future__ import annotations

import math
from collections.abc import Container, Sequence
from dataclasses import replace

from proofbell.bake.advice.butter import goes_on_now_s, to_chill_s
from proofbell.bake.asking.stage_end import check_id
from proofbell.bake.checks import answered, check_at_s
from proofbell.bake.coming import coming_s
from proofbell.bake.events import LETTERS
from proofbell.bake.fermenting.forgiven import bears, forgives
from proofbell.bake.fermenting.short_rise import short_rise
from proofbell.bake.fermenting.warming import warming
from proofbell.bake.outlook import outlook
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask, Skipped
from proofbell.bake.weigh.in_bowl import all_in
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bench.oven.heat import oven_heat_c
from proofbell.bench.plan.stage_steps import KEEP_S, READ_S, TAKE_OUT, WEIGH, loads, step_of, weigh_step, with_tasks
from proofbell.dough.oven import COOLS_BY_K, FROM_20_TO_200_K
from proofbell.formula.dough_stages import weigh_before_s
from proofbell.formula.model import Formula, Stage
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen
from proofbell.planner.problem import Capacity, Chain, Problem, Step, Task

StageOf = tuple[str, int]
"""A bake's id and the index of one of its stages."""


@dataclass(frozen=True, slots=True)
class Wish:
    """One bake to plan: a formula, and when it is wanted (UTC, µs; None: as soon as it can be).

    ``halves``: the same for each of two half batches that may be made instead, if any.
    """

    letter: str
    formula: Formula
    ready_us: int | None = None
    not_before_us: int | None = None
    halves: tuple[Formula, ...] = ()


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
    used = {chain.letter for chain in chains} | {wish.letter for wish in wishes}
    other = next((letter for letter in LETTERS if letter not in used), None)
    for wish in wishes:
        chain = chain_of_wish(wish, origin_us, places)
        chains.append(chain if other is None else replace(chain, split=_split(wish, other, origin_us, places)))
    spans = tuple((seconds(begin_us, origin_us), seconds(end_us, origin_us)) for begin_us, end_us in quiet)
    capacity = capacity_of(kitchen, oven_heat_c(states, origin_us))
    return Problem(tuple(chains), capacity, 0, tuple(span for span in spans if span[1] > 0))


def capacity_of(kitchen: Kitchen, oven_now_c: float | None = None) -> Capacity:
    """The hands and the oven that all share."""
    return Capacity(
        people=max(1, kitchen.hands),
        trays=max(1, kitchen.oven.trays),
        up_s_per_k=kitchen.oven.heat_up_s / FROM_20_TO_200_K,
        down_s_per_k=kitchen.oven.cool_down_s / COOLS_BY_K,
        oven_c=kitchen.room_c if oven_now_c is None else oven_now_c,
        room_c=kitchen.room_c,
    )


def chain_of_wish(wish: Wish, origin_us: int, places: int = 1) -> Chain:
    """A bake that has not begun, in an oven of so many places."""
    formula = wish.formula
    stages = [with_tasks(step_of(formula, index), stage) for index, stage in enumerate(formula.stages)]
    steps = _in_loads(_weighed(stages, [weigh_before_s(formula, index) for index in range(len(stages))]), places)
    ready_s = None if wish.ready_us is None else seconds(wish.ready_us, origin_us)
    not_before_s = 0 if wish.not_before_us is None else max(0, seconds(wish.not_before_us, origin_us))
    return Chain(wish.letter, steps, ready_by_s=ready_s, not_before_s=not_before_s, name=formula.name)


def _split(wish: Wish, other: str, origin_us: int, places: int) -> tuple[Chain, ...]:
    """The half batches of a bake that is wanted, the second with a letter of its own."""
    halves = zip((wish.letter, other), wish.halves, strict=False)
    return tuple(
        chain_of_wish(replace(wish, letter=letter, formula=half, halves=()), origin_us, places)
        for letter, half in halves
    )


def chain_of_state(state: BakeState, origin_us: int, settled: Container[StageOf] = (), places: int = 1) -> Chain:
    """A live bake: what is past stays, what runs goes on, the rest is open until it is wanted.

    What hands have still to weigh and to read is in it; what is weighed or read already is not.
    """
    now_s = (origin_us - state.wall_us(0.0)) / 1_000_000
    live = [_live_step(state, index, origin_us, settled) for index in range(len(state.stages))]
    steps = _in_loads(_live_loads(state, _weighed(live, _still_to_weigh_s(state, now_s))), places)
    planned = None if state.start_s is None or state.begun else seconds(state.wall_us(state.start_s), origin_us)
    ready_s = None if state.ready_by_s is None else seconds(state.wall_us(state.ready_by_s), origin_us)
    return Chain(state.letter, steps, ready_by_s=ready_s, not_before_s=max(0, planned or 0), name=state.formula.name)


def _weighed(stages: Sequence[Step], weigh_s: Sequence[int]) -> list[Step]:
    """The steps with a weigh-out, of so many seconds, before each stage that has one."""
    found: list[Step] = []
    place: dict[int, int] = {}
    for index, step in enumerate(stages):
        after = tuple(place[one] for one in step.after or ())
        if weigh_s[index]:
            after = (*after, len(found))
            found.append(weigh_step("Weigh out", weigh_s[index]))
        place[index] = len(found)
        found.append(replace(step, after=after))
    return found


def _still_to_weigh_s(state: BakeState, now_s: float) -> list[int]:
    """Seconds of the weigh-out before each stage of a live bake; 0 where all is in the bowl, or the stage has begun.

    Nobody ticks off every line. So where a stage is to begin before all that is left could be weighed, the weigh-out is
    taken to be under way, and to be over by then; so is one that the plan has put earlier, from when it calls.
    """
    begins_s = {span.stage: span.begin_s for span in outlook(state, now_s, lit=True)}
    found: list[int] = []
    for index, run in enumerate(state.stages):
        whole_s = 0 if run.begun_s is not None else weigh_before_s(state.formula, index)
        into = "" if index == (state.formula.dough_begins or 0) else state.stage(index).made_for
        bowl = [n for n, line in enumerate(state.batch.lines) if line.into == into] if whole_s else []
        left_s = whole_s * sum(not all_in(state, n) for n in bowl) / len(bowl) if bowl else float(whole_s)
        if state.begun or state.start_s is not None:
            left_s = min(left_s, begins_s.get(index, now_s) - now_s)
        if not state.begun and state.weigh_from_s is not None:
            left_s = min(left_s, whole_s - max(0.0, now_s - state.weigh_from_s))
        found.append(max(0, round(left_s)))
    return found


def _still_asked(state: BakeState, index: int, now_s: float) -> Stage:
    """A stage of a live bake with those readings and that turn of its tray alone that are to come."""
    stage, run = state.stage(index), state.stages[index]
    if run.ended_s is not None:
        return replace(stage, checks=(), rise=None, turn_s=None)
    at_end = any(check.read == "rise" and check.when == "end" for check in stage.checks)
    judged = (at_end or bool(state.readings_in(index, "rise"))) and short_rise(state, index) is None
    due = run.due_s is not None and run.due_s <= now_s
    return replace(
        stage,
        checks=tuple(check for number, check in enumerate(stage.checks) if _is_to_come(state, index, number, now_s)),
        rise=None if judged or due else stage.rise,
        turn_s=None if state.done(OvenTask("turn", index)) else stage.turn_s,
    )


def _is_to_come(state: BakeState, index: int, number: int, now_s: float) -> bool:
    """Whether a reading is still to be taken: one that is due already rings, and is taken as it is answered."""
    begun_s, check = state.stages[index].begun_s, state.stage(index).checks[number]
    if begun_s is not None and begun_s + check_at_s(state, index, check) <= now_s:
        return False
    return not answered(state, index, number) and not state.done(Skipped(check_id(state, index, number)))


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
    for step in steps:
        number, count = (None if step.of is None else state.formula.stages[step.of].load) or (1, 1)
        keeps = replace(step, wait_s=KEEP_S) if number < count else step
        found.append(_waiting(found, keeps) if number > 1 and step.begun_s is None else keeps)
    return found


def _live_step(state: BakeState, index: int, origin_us: int, settled: Container[StageOf]) -> Step:
    run = state.stages[index]
    formula = replace(state.formula, oven=replace(state.formula.oven, trays=oven_places(state.formula, state.batch)))
    step = step_of(formula, index, coming_s(state, index), _no_sooner_than_read(state, index))
    # No plan asks for a shorter cooling on the bench, so none may reckon with it.
    if run.said or (state.id, index) in settled or step.kind == "cool":
        step = replace(step, least_s=step.nominal_s, instead=None)
    now_s = (origin_us - state.wall_us(0.0)) / 1_000_000
    step = with_tasks(step, _still_asked(state, index, now_s))
    if run.begun_s is None:
        return step
    step = _for_its_butter(state, index, _warmed(state, index, step, now_s), now_s)
    begun_s = seconds(state.wall_us(run.begun_s), origin_us)
    ended_s = None if run.ended_s is None else seconds(state.wall_us(run.ended_s), origin_us)
    # A preferment that is ready before the other waits for it: that is a fact, and no fault of a plan.
    joins = ended_s is not None and len(state.formula.follows(state.formula.followed_by(index) or 0)) > 1
    return replace(step, begun_s=begun_s, ended_s=ended_s, instead=None, wait_s=KEEP_S if joins else step.wait_s)


def _no_sooner_than_read(state: BakeState, index: int) -> Stage:
    """A stage with what its dough forgives, at its short end no less than its reading leaves open: that is not ready.

    At its long end a dough may have to wait for oven and hands whatever was read of it.
    """
    stage, read = forgives(state, index), bears(state, index)
    if stage.stretch is None or read is None or read[0] <= stage.stretch[0]:
        return stage
    return replace(stage, stretch=(read[0], max(read[0], stage.stretch[1])))


def _for_its_butter(state: BakeState, index: int, step: Step, now_s: float) -> Step:
    """A stage that runs with the chill that is advised after it; over now where it goes into the cold at once."""
    run = state.stages[index]
    soft_s, chill_s = goes_on_now_s(state, index, now_s), to_chill_s(state, index, now_s)
    if run.ended_s is not None or (soft_s is None and not chill_s):
        return step
    into_s = now_s - (run.begun_s or 0.0)
    if soft_s is not None:
        now = max(1, math.ceil(into_s))
        return replace(step, least_s=now, nominal_s=now, most_s=now, tasks=())
    whole_s = math.ceil(max(into_s, step.nominal_s) + chill_s)
    return replace(step, least_s=whole_s, nominal_s=whole_s, most_s=max(step.most_s, whole_s))


def _warmed(state: BakeState, index: int, step: Step, now_s: float) -> Step:
    """A proof that runs with what its dough warms before the oven, and the hands that take it out of the cold."""
    first = warming(state, index, now_s)
    if first is None or state.stages[index].ended_s is not None:
        return step
    whole_s = max(step.nominal_s, math.ceil(first.ready_s))
    warm = replace(step, least_s=whole_s, nominal_s=whole_s, most_s=max(step.most_s, whole_s))
    if not first.to_take_out:
        return warm
    return replace(warm, tasks=(*step.tasks, Task(TAKE_OUT, round(first.out_s), READ_S)))
