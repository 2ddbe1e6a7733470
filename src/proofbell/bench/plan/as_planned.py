"""The plan that was begun, kept in the log of each bake: people have set their day by it, and so later plans stay near.

Each window plans for itself; from what the logs have all of them come to the same day.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from proofbell.bake.events import AsPlanned
from proofbell.bake.state import BakeState
from proofbell.bench.plan.stage_steps import WEIGH
from proofbell.bench.plan.timetable import BakeTimes
from proofbell.planner.effort import BESIDE, steps_for
from proofbell.planner.objective import cost_of
from proofbell.planner.plan import Plan, Times
from proofbell.planner.problem import Chain, Problem
from proofbell.planner.repair.minimal_change import (
    as_before,
    keeps_promises,
    least_disruptive,
    uncoordinated_times,
)
from proofbell.planner.repair.replan import replan
from proofbell.planner.solver.branch_and_bound import Stop


def hours_of(bake: BakeTimes) -> AsPlanned:
    """The hours of one bake in a plan, from its start; a bake in loads has those of each load."""

    def from_start_s(at_us: int) -> float:
        return (at_us - bake.begins_us) / 1_000_000

    begins: list[float] = []
    ends: list[float] = []
    weighs: list[float | None] = []
    weighed = dict(zip(bake.weighed_for, bake.weighs, strict=True))
    for at, line in enumerate(bake.lines):
        spans = [(load.begins_us, load.ends_us) for load in line.loads] or [(line.begins_us, line.ends_us)]
        for number, (begins_us, ends_us) in enumerate(spans):
            begins.append(from_start_s(begins_us))
            ends.append(from_start_s(ends_us))
            weigh = None if number else weighed.get(at)
            weighs.append(None if weigh is None else from_start_s(weigh[0]))
    return AsPlanned(tuple(begins), tuple(ends), tuple(weighs))


def planned_times(problem: Problem, states: Sequence[BakeState], origin_us: int) -> tuple[Times, ...]:
    """The hours of each chain as the plan that was begun has them; by itself where none was."""
    live = {state.letter: state for state in states}
    found = []
    for chain, alone in zip(problem.chains, uncoordinated_times(problem), strict=True):
        state = live.get(chain.letter)
        times = None if state is None else _planned(chain, state, origin_us, alone)
        found.append(alone if times is None else times)
    return tuple(found)


def wanted_as_planned(problem: Problem, states: Sequence[BakeState], origin_us: int) -> Problem:
    """The same day with each bake that a plan began wanted when that has it ready, and not at the hour of the wish.

    What its own dough takes longer is no lateness before that hour; what was planned later than wished was agreed to.
    """
    live = {state.letter: state for state in states}
    alone = uncoordinated_times(problem)
    chains = [
        _wanted(chain, live.get(chain.letter), times, origin_us)
        for chain, times in zip(problem.chains, alone, strict=True)
    ]
    return replace(problem, chains=tuple(chains))


def _wanted(chain: Chain, state: BakeState | None, alone: Times, origin_us: int) -> Chain:
    begins_s = None if state is None else _begins_s(state, origin_us)
    if state is None or state.as_planned is None or begins_s is None:
        return chain
    planned_s = round(begins_s + state.as_planned.ends_s[-1])
    wished_s = planned_s if chain.ready_by_s is None else chain.ready_by_s
    return replace(chain, ready_by_s=max(planned_s, min(alone.ready_s, wished_s)))


def _begins_s(state: BakeState, origin_us: int) -> float | None:
    """When the first stage began, or is to begin (s from the origin)."""
    at_s = state.start_s if state.begun_s is None else state.begun_s
    return None if at_s is None else (state.wall_us(at_s) - origin_us) / 1_000_000


def _planned(chain: Chain, state: BakeState, origin_us: int, alone: Times) -> Times | None:
    hours = state.as_planned
    if hours is None or state.start_s is None or len(hours.begins_s) != len(state.stages):
        return None
    # By the paper's hours, also where it began late: they are the order in which hands and oven were to be had.
    begins_s = (state.wall_us(state.start_s) - origin_us) / 1_000_000
    begins, ends = list(alone.begins_s), list(alone.ends_s)
    for at in range(len(chain.steps) - 1, -1, -1):
        step = chain.steps[at]
        if step.begun_s is not None:
            continue
        if step.of is not None:
            begins[at] = round(begins_s + hours.begins_s[step.of])
            ends[at] = round(begins_s + hours.ends_s[step.of])
        elif step.kind == WEIGH and at + 1 < len(chain.steps):
            stage = chain.steps[at + 1].of
            weigh_s = None if stage is None else hours.weighs_s[stage]
            begins[at] = begins[at + 1] - step.nominal_s if weigh_s is None else round(begins_s + weigh_s)
            ends[at] = begins[at] + step.nominal_s
    return Times(chain.letter, tuple(begins), tuple(ends))


def plans_beside(problem: Problem, live: Sequence[BakeState], origin_us: int) -> Callable[[Stop], Iterator[Plan]]:
    """The plans beside the bench, ever better ones: from the plan that was begun, never from what was found before.

    So every window comes to the same plan, however long it has been open. While the day goes by that plan nothing is
    looked for; a bake that no plan began has the bench's own times.
    """
    day = wanted_as_planned(problem, live, origin_us)
    before = planned_times(day, live, origin_us)
    most = steps_for(day, BESIDE)

    def looking(dropped: Stop) -> Iterator[Plan]:
        near = as_before(day, before) if any(state.as_planned for state in live) else None
        if near is not None and keeps_promises(near, before):
            yield near
            return
        better = replan(day, Plan(day, before, cost_of(day, before)), 0, dropped, most_steps=most)
        yield from least_disruptive(better, dropped, near, before if near is not None else None)

    return looking
