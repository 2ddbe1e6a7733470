"""How the planner grows: first plan, a step of the search and a re-plan of so many doughs, beside those of twelve."""

from __future__ import annotations

import random
from functools import partial

from proofbell.planner.plan import Plan
from proofbell.planner.problem import Problem
from proofbell.planner.repair.replan import replan
from proofbell.planner.search import Search
from tests.benchmarks import kitchens
from tests.benchmarks.speed.figures import Figure, Samples
from tests.benchmarks.speed.store import timed

DOUGHS = (12, 24, 48)
"""The bench holds twelve; the others show how it grows."""


def _first(problem: Problem, plan: Plan) -> Plan:
    """The first plan after something has happened."""
    return next(iter(replan(problem, plan)))


def growth(runs: int) -> list[Figure]:
    """Each kind of work for each number of doughs, the same kitchens each time, by turns."""
    kinds = ("first plan", "a step of the search", "re-plan")
    taken = {(kind, count): Samples() for kind in kinds for count in DOUGHS}
    for number in range(runs):
        for count in DOUGHS:
            problem = kitchens.kitchen(number, count)
            search = timed(partial(Search, problem), taken["first plan", count])
            timed(search.step, taken["a step of the search", count])
            plan = search.plan()
            begun_s = [times.begins_s[0] for times in plan.times]
            now_s = (min(begun_s) + max(begun_s)) // 120 * 60
            later = kitchens.under_way(problem, plan.times, now_s, random.Random(number))
            timed(partial(_first, later, plan), taken["re-plan", count])
    return [
        Figure(
            f"{kind}, {count} doughs", f"the same of {DOUGHS[0]}", ours=taken[kind, count], bare=taken[kind, DOUGHS[0]]
        )
        for kind in kinds
        for count in DOUGHS
    ]
