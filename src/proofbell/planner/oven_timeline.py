"""The oven's day in a plan: heating, holding, changing and in use, in order of time."""

from __future__ import annotations

from proofbell.planner.plan import OvenUse, Plan, Times
from proofbell.planner.problem import Capacity, Heat, Problem


def oven_day(plan: Plan) -> tuple[OvenUse, ...]:
    """Every stretch in which the oven is on, from the plan's own second 0 on.

    Between two uses the oven is held hot, or, when the gap is longer than heating up afresh, is off until then.
    """
    capacity, now_s = plan.problem.capacity, plan.problem.now_s
    found: list[OvenUse] = []
    heat_c: float | None = capacity.oven_c if capacity.oven_c > capacity.room_c else None
    hot_until = now_s
    for begins_s, ends_s, heats, letter in _bakings(plan.problem, plan.times):
        if begins_s >= now_s:
            found += _ready(capacity, heat_c, hot_until, begins_s, heats[0].oven_c, letter)
        found += _baking(begins_s, ends_s, heats, letter)
        heat_c, hot_until = heats[-1].oven_c, max(hot_until, ends_s)
    return tuple(sorted(found, key=lambda use: (use.begins_s, use.ends_s)))


def _bakings(problem: Problem, times: tuple[Times, ...]) -> list[tuple[int, int, tuple[Heat, ...], str]]:
    return sorted(
        (
            (moments.begins_s[at], moments.ends_s[at], step.heats, chain.letter)
            for chain, moments in zip(problem.chains, times, strict=True)
            for at, step in enumerate(chain.steps)
            if step.heats and not step.ended
        ),
        key=lambda use: (use[0], use[1], use[3]),
    )


def _ready(
    capacity: Capacity, from_c: float | None, hot_until: int, begins_s: int, to_c: float, letter: str
) -> list[OvenUse]:
    """What makes the oven ready for a use: a fresh start, or holding and changing the heat."""
    fresh_s = capacity.change_s(capacity.room_c, to_c)
    if from_c is None or begins_s - hot_until > fresh_s:
        return [OvenUse(begins_s - fresh_s, begins_s, to_c, "heating", letter)]
    change_s = min(capacity.change_s(from_c, to_c), max(0, begins_s - hot_until))
    found: list[OvenUse] = []
    if begins_s - change_s > hot_until:
        found.append(OvenUse(hot_until, begins_s - change_s, from_c, "holding", letter))
    if change_s:
        state = "heating" if to_c > from_c else "cooling"
        found.append(OvenUse(begins_s - change_s, begins_s, to_c, state, letter))
    return found


def _baking(begins_s: int, ends_s: int, heats: tuple[Heat, ...], letter: str) -> list[OvenUse]:
    found: list[OvenUse] = []
    at_s = begins_s
    for number, heat in enumerate(heats):
        until_s = ends_s if number + 1 == len(heats) else min(at_s + heat.seconds_s, ends_s)
        found.append(OvenUse(at_s, until_s, heat.oven_c, "baking", letter, heat.steam))
        at_s = until_s
    return found
