"""Each chain by itself, as if hands and oven were its own: what it can be at best, with each choice of longer steps."""

from __future__ import annotations

from dataclasses import replace

from proofbell.frozen import dataclass
from proofbell.planner.greedy import empty_profile, fits, nominal_times
from proofbell.planner.objective import chain_violation_s
from proofbell.planner.plan import Cost, Times
from proofbell.planner.problem import Chain, Problem
from proofbell.planner.solver.branch_and_bound import ANY_COST, UNLIMITED, BranchAndBound, SearchContext, stop_after
from proofbell.planner.solver.partial_schedule import PartialSchedule

MOST_BRANCHES = 400
"""So many branches are evaluated at most for each choice of one chain."""


@dataclass(frozen=True, slots=True)
class Alone:
    """The best that one chain can be by itself, and what it costs."""

    times: Times
    cost: Cost


def alone(problem: Problem, chain: Chain) -> tuple[Alone, ...]:
    """The best times of one chain by itself with each choice of longer steps, the cheapest first.

    Empty where what has happened leaves no order that can be kept.
    """
    own = replace(problem, chains=(chain,))
    schedule = PartialSchedule(own)
    start = schedule.save()
    found: list[Alone] = []
    for choice in chain.choices:
        schedule.restore(start)
        schedule.choose(0, choice)
        schedule.optimise()
        context = SearchContext(bound=ANY_COST, budget=UNLIMITED, should_stop=stop_after(MOST_BRANCHES))
        best = BranchAndBound(schedule, context).run()
        if best is not None:
            found.append(Alone(best.times[0], best.cost))
    return tuple(sorted(found, key=lambda one: one.cost.total))


def forced_s(problem: Problem, times: tuple[Times, ...]) -> int:
    """Seconds beyond what is allowed that no order gets rid of: of what a timetable keeps too long, each chain alone.

    Args:
        problem: what is planned.
        times: the timetable.
    """
    found_s = 0
    for chain, moments in zip(problem.chains, times, strict=True):
        if chain_violation_s(problem, chain, moments):
            by_itself = alone(problem, chain)
            found_s += by_itself[0].cost.violation_s if by_itself else 0
    return found_s


def needs_care(problem: Problem) -> bool:
    """Whether any chain finds no place as it is: because of a quiet span, or because it needs a longer step."""
    return any(_needs_care(problem, chain) for chain in problem.chains)


def _needs_care(problem: Problem, chain: Chain) -> bool:
    if chain.begun:
        return bool(problem.quiet)
    if not problem.quiet and len(chain.choices) == 1:
        return False
    earliest_s = chain.earliest_s(problem.now_s)
    still = nominal_times(chain, earliest_s)
    if chain.ready_by_s is not None:
        still = nominal_times(chain, max(earliest_s, earliest_s + chain.ready_by_s - still.ready_s))
    return not fits(problem, empty_profile(problem), chain, still)
