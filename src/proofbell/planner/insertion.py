"""A first plan for days with quiet spans: each chain as it is best by itself, put in one by one around the others."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence

from proofbell.planner.alone import Alone
from proofbell.planner.objective import VIOLATION, chain_violation_s
from proofbell.planner.plan import Times
from proofbell.planner.problem import Problem
from proofbell.planner.solver.branch_and_bound import (
    ANY_COST,
    BranchAndBound,
    SearchContext,
    Solution,
    Stop,
    never_stop,
    reference_order,
)
from proofbell.planner.solver.partial_schedule import HANDS, OVEN, PartialSchedule

FIRST = 12
"""Branches evaluated to put one chain in after all others; a first way down is always finished."""

CHANCE_S = 3600
"""Where the order is left to chance, what wants the oven may be so much later."""


def insertion_order(problem: Problem, known: Sequence[Sequence[Alone]], rng: random.Random | None = None) -> list[int]:
    """The chains' indices: what has begun, then by when each would have the oven, by chance if there is any."""

    def wants_oven_s(number: int) -> int:
        chain = problem.chains[number]
        if chain.begun or not known[number]:
            return -ANY_COST
        times = known[number][0].times
        at_s = next((times.begins_s[at] for at, step in enumerate(chain.steps) if step.heats), times.ready_s)
        return at_s + (0 if rng is None else rng.randrange(CHANCE_S))

    return sorted(range(len(problem.chains)), key=lambda number: (wants_oven_s(number), number))


def insert_all(
    schedule: PartialSchedule,
    known: Sequence[Sequence[Alone]],
    order: Sequence[int],
    should_stop: Stop = never_stop,
    budget: int = 1,
) -> Solution | None:
    """Put all chains in; None where what has happened leaves no order that can be kept.

    Args:
        schedule: without decisions; left at what is found.
        known: each chain by itself.
        order: the chains' indices.
        should_stop: asked between branches.
        budget: branches evaluated to put one chain in.
    """
    inside: set[int] = set()
    found: Solution | None = None
    forced_s = 0
    for number in order:
        inside.add(number)
        schedule.consider(inside)
        forced_s += known[number][0].cost.violation_s if known[number] else 0
        found = _insert(schedule, known[number], number, forced_s, should_stop, budget)
        if found is None:
            break
        schedule.restore(found.snapshot)
    schedule.consider(set(range(len(schedule.problem.chains))))
    if found is None:
        return None
    context = SearchContext(bound=ANY_COST, reference=reference_order(schedule), should_stop=should_stop)
    return BranchAndBound(schedule, context).run()


def _insert(
    schedule: PartialSchedule, known: Sequence[Alone], number: int, forced_s: int, should_stop: Stop, budget: int
) -> Solution | None:
    """One chain in the way that is best by itself; in another, or after all, where the chains are kept too long.

    ``forced_s``: how much too long the chains that are in would be kept if each were by itself.
    """
    before = schedule.save()
    best: Solution | None = None
    best_s = 0
    tries = [(way, True) for way in known] + [(way, False) for way in known]
    for way, sides in (*tries, (None, False)):
        schedule.restore(before)
        if way is None:
            found = _after_all(schedule, known, number, should_stop)
        else:
            found = _as_alone(schedule, way, number, should_stop, budget, sides=sides)
        if found is not None:
            found_s = _violation_s(schedule, found)
            if best is None or found_s < best_s:
                best, best_s = found, found_s
            if best_s <= forced_s:
                break
    return best


def _as_alone(
    schedule: PartialSchedule, way: Alone, number: int, should_stop: Stop, budget: int, *, sides: bool
) -> Solution | None:
    """One chain in a way that it has by itself, if need be on the same sides of quiet spans."""
    schedule.choose(number, way.times.instead)
    if sides:
        schedule.keep_sides(_uses_at(schedule, number, way.times))
    schedule.optimise()
    return BranchAndBound(schedule, _context(schedule, number, should_stop, budget)).run()


def _uses_at(schedule: PartialSchedule, number: int, times: Times) -> Iterator[tuple[int, int, int]]:
    """The uses of hands of one chain as they are in a timetable, as `PartialSchedule.keep_sides` has them."""
    begins, ends = schedule.begin_at[number], schedule.end_at[number]
    at_s = {node: begin_s - offset for (node, offset), begin_s in zip(begins, times.begins_s, strict=True)}
    at_s |= {node: end_s - offset for (node, offset), end_s in zip(ends, times.ends_s, strict=True)}
    at_s[0] = 0
    for use_number, use in schedule.considered_hand_uses:
        if use.chain == number and not use.begun:
            yield at_s[use.begin[0]] + use.begin[1], at_s[use.end[0]] + use.end[1], use_number


def _context(schedule: PartialSchedule, number: int, should_stop: Stop, budget: int) -> SearchContext:
    return SearchContext(
        bound=ANY_COST,
        budget=budget,
        reference=reference_order(schedule),
        free=frozenset((number,)),
        should_stop=should_stop,
        decide_heating=False,
        by_schedule_cost=True,
    )


def _violation_s(schedule: PartialSchedule, found: Solution) -> int:
    """By how much the chains that are in leave what is allowed, seconds."""
    if found.total < VIOLATION:
        return 0
    problem = schedule.problem
    return sum(chain_violation_s(problem, problem.chains[at], found.times[at]) for at in schedule.considered)


def _after_all(schedule: PartialSchedule, known: Sequence[Alone], number: int, should_stop: Stop) -> Solution | None:
    """One chain after all that are in: there is always room, on a later day if need be."""
    schedule.choose(number, known[0].times.instead if known else ())
    for about, uses in ((HANDS, schedule.hand_uses), (OVEN, schedule.oven_uses)):
        own = next((at for at, use in enumerate(uses) if use.chain == number), None)
        if own is not None and not uses[own].begun:
            for at, use in enumerate(uses):
                if use.chain in schedule.considered and use.chain != number:
                    schedule.decide((about, at, own))
    schedule.optimise()
    return BranchAndBound(schedule, _context(schedule, number, should_stop, FIRST)).run()
