"""Construction: plans built from nothing, chain by chain, as starts for the search."""

from __future__ import annotations

import random
from dataclasses import replace

from proofbell.planner.greedy import empty_profile, insert_near_due, reserve, serial_schedule
from proofbell.planner.plan import Times
from proofbell.planner.problem import Problem
from proofbell.planner.solver.branch_and_bound import (
    ANY_COST,
    BranchAndBound,
    SearchContext,
    Solution,
    Stop,
    reference_order,
)
from proofbell.planner.solver.partial_schedule import PartialSchedule

BEGUN = 60
"""Branches evaluated for the chains that have begun, before the others are put around them."""

BUILD = 80
"""Branches evaluated for each chain while a plan is built from nothing."""

CHANCE_S = 3600
"""Where the order is left to chance, a slack counts as up to so much more."""


def first_times(problem: Problem) -> tuple[Times, ...]:
    """What has begun in its best order, and everything else around it where there is room."""
    begun = [chain for chain in problem.chains if chain.begun]
    known: dict[str, Times] = {}
    if begun:
        schedule = PartialSchedule(replace(problem, chains=tuple(begun)))
        found = BranchAndBound(schedule, SearchContext(bound=ANY_COST, budget=BEGUN)).run()
        if found is not None:
            known = {times.letter: times for times in found.times}
    return serial_schedule(problem, known)


def least_slack_first(problem: Problem, rng: random.Random | None = None) -> list[int]:
    """The chains' indices: what has begun, then what has least time to spare, by chance if there is any."""
    order: list[tuple[int, int]] = []
    for number, chain in enumerate(problem.chains):
        slack_s = (chain.ready_by_s or 0) - sum(step.nominal_s for step in chain.steps)
        slack_s += 0 if rng is None else rng.randrange(CHANCE_S)
        order.append((slack_s if not chain.begun else -ANY_COST, number))
    return [number for _, number in sorted(order)]


def build(schedule: PartialSchedule, order: list[int], should_stop: Stop) -> Solution | None:
    """Put chains in one by one; where no order is found in time, a chain goes where there is still room.

    Args:
        schedule: without decisions; left at what is found.
        order: the chains' indices.
        should_stop: asked between branches.
    """
    problem = schedule.problem
    inside: set[int] = set()
    found: Solution | None = None
    for number in order:
        times = list(schedule.times())
        profile = empty_profile(problem)
        for other in sorted(inside):
            reserve(profile, problem.chains[other], times[other])
        if not problem.chains[number].begun:
            times[number] = insert_near_due(problem, profile, problem.chains[number])
        inside.add(number)
        schedule.consider(inside)
        here = schedule.save()
        reference = reference_order(schedule, tuple(times))
        context = SearchContext(bound=ANY_COST, reference=reference, decide_heating=False)
        found = BranchAndBound(schedule, context).run()
        if found is None:
            break
        schedule.restore(here)
        context = SearchContext(bound=found.total, budget=BUILD, should_stop=should_stop)
        found = BranchAndBound(schedule, context).run() or found
        schedule.restore(found.snapshot)
    schedule.consider(set(range(len(problem.chains))))
    return found
