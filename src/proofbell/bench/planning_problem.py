"""Formulas and live bakes as the planner sees them: chains of steps in whole seconds from an origin.

The origin is a UTC moment (µs); what a formula leaves open is filled in here, in one place.
"""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass, replace

from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bench.oven_heat import oven_heat_c
from proofbell.formula.model import Formula, Stage, StageKind
from proofbell.kitchen.model import Kitchen
from proofbell.planner.model import Capacity, Chain, Flexibility, Heat, Problem, Step

LOAD_S = 60
"""Hands to load a bake, and as much to unload it, when the formula does not say."""

PAUSE_S = 5 * 60
"""A dough may wait this long after a hands stage before the next begins: common practice, no source."""

KEEP_S = 24 * 3600
"""What has cooled may wait a day."""


FLEXIBILITY: dict[StageKind, Flexibility] = {
    "hands": Flexibility.RIGID,
    "bake": Flexibility.FIXED,
    "proof": Flexibility.ELASTIC,
    "rest": Flexibility.ELASTIC,
    "chill": Flexibility.ELASTIC,
    "cool": Flexibility.FREE,
}
"""A bake ends by its core temperature, so no plan asks for another length; what has cooled may stand."""

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
) -> Problem:
    """A day to plan from now (the origin): bakes that are wanted, beside those that are live.

    A stage that is ``settled``, because the baker would not have it changed, is not planned shorter or elsewhere.
    """
    chains = [chain_of_state(state, origin_us, settled) for state in states if state.closed is None]
    chains += [chain_of_wish(wish, origin_us) for wish in wishes]
    hot_c = oven_heat_c(states, origin_us)
    widest = max((step.trays for chain in chains for step in chain.steps if step.heats), default=1)
    return Problem(tuple(chains), capacity_of(kitchen, hot_c, widest), 0)


def capacity_of(kitchen: Kitchen, oven_now_c: float | None = None, least_trays: int = 1) -> Capacity:
    """The hands and the oven that all share. A batch that needs more places than the oven has fills it."""
    return Capacity(
        people=max(1, kitchen.hands),
        trays=max(1, kitchen.oven.trays, least_trays),
        up_s_per_k=kitchen.oven.heat_up_s / 180.0,
        down_s_per_k=kitchen.oven.cool_down_s / 100.0,
        oven_c=kitchen.room_c if oven_now_c is None else oven_now_c,
        room_c=kitchen.room_c,
    )


def chain_of_wish(wish: Wish, origin_us: int) -> Chain:
    """A bake that has not begun."""
    formula = wish.formula
    steps = tuple(step_of(formula, index) for index in range(len(formula.stages)))
    ready_s = None if wish.ready_us is None else seconds(wish.ready_us, origin_us)
    not_before_s = 0 if wish.not_before_us is None else max(0, seconds(wish.not_before_us, origin_us))
    return Chain(wish.letter, steps, ready_by_s=ready_s, not_before_s=not_before_s, name=formula.name)


def chain_of_state(state: BakeState, origin_us: int, settled: Container[StageOf] = ()) -> Chain:
    """A live bake: what is past stays, what runs goes on, the rest is open until it is wanted."""
    steps = tuple(_live_step(state, index, origin_us, settled) for index in range(len(state.stages)))
    planned = None if state.start_s is None or state.begun else seconds(state.wall_us(state.start_s), origin_us)
    ready_s = None if state.ready_by_s is None else seconds(state.wall_us(state.ready_by_s), origin_us)
    return Chain(state.letter, steps, ready_by_s=ready_s, not_before_s=max(0, planned or 0), name=state.formula.name)


def step_of(formula: Formula, index: int, nominal_s: float | None = None, live: Stage | None = None) -> Step:
    """One stage with its bounds.

    ``nominal_s`` is the length that holds now, when readings have changed it, ``live`` the stage with what its dough
    forgives as it is.
    """
    stage = formula.stages[index] if live is None else live
    nominal = round(stage.time_s if nominal_s is None else nominal_s)
    # A bake ends by its core temperature; no plan makes it shorter or longer.
    low, high = (nominal, nominal) if stage.kind == "bake" or stage.stretch is None else stage.stretch
    least, most = min(round(low), nominal), max(round(high), nominal)
    hands_s, hands_end_s = hands_needed(stage, least)
    return Step(
        name=stage.name,
        kind=stage.kind,
        least_s=least,
        nominal_s=nominal,
        most_s=most,
        hands_s=hands_s,
        hands_end_s=hands_end_s,
        critical=stage.kind in ("proof", "bake"),
        flexibility=FLEXIBILITY[stage.kind],
        heats=_heats(formula, stage, nominal),
        trays=formula.oven.trays if stage.kind == "bake" else 1,
        wait_s=_wait_s(stage),
        instead=_instead(stage),
        after=formula.follows(index),
    )


def _live_step(state: BakeState, index: int, origin_us: int, settled: Container[StageOf]) -> Step:
    run = state.stages[index]
    formula = replace(state.formula, oven=replace(state.formula.oven, trays=oven_places(state.formula, state.batch)))
    step = step_of(formula, index, run.length_s, forgives(state, index))
    if run.said or (state.id, index) in settled:
        step = replace(step, least_s=step.nominal_s, instead=None)
    if run.begun_s is None:
        return step
    begun_s = seconds(state.wall_us(run.begun_s), origin_us)
    ended_s = None if run.ended_s is None else seconds(state.wall_us(run.ended_s), origin_us)
    # A preferment that is ready before the other waits for it: that is a fact, and no fault of a plan.
    joins = ended_s is not None and len(state.formula.follows(state.formula.followed_by(index) or 0)) > 1
    return replace(step, begun_s=begun_s, ended_s=ended_s, instead=None, wait_s=KEEP_S if joins else step.wait_s)


def hands_needed(stage: Stage, within_s: int) -> tuple[int | None, int]:
    """Seconds of hands at a stage's start (None: all through it) and at its end; they fit into ``within_s``."""
    if stage.kind == "hands" and stage.hands_s is None:
        return None, 0
    if stage.kind == "bake":
        load_s = LOAD_S if stage.hands_s is None else round(stage.hands_s)
        load_s = min(load_s, within_s)
        return load_s, min(LOAD_S, within_s - load_s)
    return min(round(stage.hands_s or 0), within_s), 0


def _heats(formula: Formula, stage: Stage, nominal: int) -> tuple[Heat, ...]:
    if stage.kind != "bake":
        return ()
    if stage.phases:
        return tuple(Heat(round(phase.time_s), phase.oven_c) for phase in stage.phases)
    heat_c = formula.oven.temperature_c
    return () if heat_c is None else (Heat(nominal, heat_c),)


def _wait_s(stage: Stage) -> int:
    if stage.kind == "cool":
        return KEEP_S
    return PAUSE_S if stage.kind == "hands" else 0


def _instead(stage: Stage) -> Step | None:
    chill = stage.chill_instead
    if chill is None:
        return None
    least, most = round(chill.least_s), round(chill.most_s)
    elastic = FLEXIBILITY["chill"]
    return Step(f"{stage.name}, in the cold", "chill", least, least, most, critical=True, flexibility=elastic)
