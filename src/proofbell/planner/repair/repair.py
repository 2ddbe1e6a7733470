"""Repair, at once, an order that no longer works.

First a few decisions are reversed, for what is near disturbs least. Where that does not help, only the
chains that cannot be put off are looked at: those that have begun. Whatever has not begun can follow after everything
else, so there is a feasible plan if, and only if, there is one for these alone; and they are few.
"""

from __future__ import annotations

from dataclasses import replace

from proofbell.planner import objective
from proofbell.planner.alone import forced_s
from proofbell.planner.greedy import empty_profile, fits, insert_near_due, reserve
from proofbell.planner.plan import Times
from proofbell.planner.problem import Problem
from proofbell.planner.repair.reversal import CriticalReversal, is_feasible
from proofbell.planner.solver.branch_and_bound import (
    ANY_COST,
    UNLIMITED,
    BranchAndBound,
    SearchContext,
    Solution,
    reference_order,
    stop_after,
)
from proofbell.planner.solver.partial_schedule import PartialSchedule

REVERSALS = (10, 20)
"""So many decisions are reversed before it is asked whether any feasible order exists, and so many after it."""

ORDERS = 400
"""Orders of the chains that have begun that are evaluated before it is left undecided whether one is feasible."""

CUTOFF = 60 * objective.VIOLATION
"""An order of these that costs so much more than none is not gone on from: a minute of violation."""


def repaired(schedule: PartialSchedule, found: Solution) -> tuple[Solution, bool]:
    """A feasible order near an infeasible one, or else the cheapest met; and whether there may be a feasible one.

    Args:
        schedule: of the same problem; left in any state.
        found: the infeasible timetable.
    """
    least_s = forced_s(schedule.problem, found.times)
    reversal = CriticalReversal(schedule, found, least_s)
    reversal.run(REVERSALS[0])
    if reversal.done or reversal.proved_infeasible or least_s:
        return reversal.best, is_feasible(reversal.best)
    held, sure = schedule_committed(schedule.problem, found.times)
    if held is None:
        return reversal.best, not sure
    reversal.run(REVERSALS[1])
    if reversal.done:
        return reversal.best, True
    schedule.restore(found.snapshot)
    schedule.release(set(range(len(schedule.problem.chains))))
    schedule.optimise()
    reference = reference_order(schedule, _rest_around(schedule.problem, held, found.times))
    context = SearchContext(bound=ANY_COST, reference=reference, decide_heating=False)
    after = BranchAndBound(schedule, context).run()
    best = reversal.best if after is None else min(reversal.best, after, key=lambda one: one.cost.total)
    return best, True


def schedule_committed(problem: Problem, near: tuple[Times, ...]) -> tuple[dict[str, Times] | None, bool]:
    """Feasible times for the chains that cannot be put off, by themselves; None if there are none, or none was found.

    Args:
        problem: the whole day.
        near: times to be near to.

    Returns:
        The times by letter, and whether all orders were looked at.
    """
    who = [number for number, chain in enumerate(problem.chains) if chain.begun or chain.latest_s is not None]
    chains = tuple(replace(problem.chains[number], ready_by_s=None) for number in who)
    schedule = PartialSchedule(replace(problem, chains=chains))
    schedule.choose_as(tuple(near[number] for number in who))
    schedule.attract_to(tuple(near[number] for number in who))
    schedule.optimise()
    context = SearchContext(
        bound=schedule.cost() + CUTOFF,
        budget=UNLIMITED,
        should_stop=stop_after(ORDERS),
        decide_heating=False,
        good_enough=is_feasible,
    )
    search = BranchAndBound(schedule, context)
    found = search.run()
    if found is None or not is_feasible(found):
        # Next to one that is over by little, a feasible one may have been passed over as dearer.
        return None, search.complete and (found is None or objective.VIOLATION * found.cost.violation_s >= CUTOFF)
    return {times.letter: times for times in found.times}, True


def _rest_around(problem: Problem, held: dict[str, Times], near: tuple[Times, ...]) -> tuple[Times, ...]:
    """The other chains where they were, or where there is room."""
    times = dict(held)
    profile = empty_profile(problem)
    for letter, moments in held.items():
        reserve(profile, problem.by_letter[letter], moments)
    for moments in sorted(near, key=lambda moments: moments.begins_s):
        chain = problem.by_letter[moments.letter]
        if moments.letter not in held:
            stays = fits(problem, profile, chain, moments)
            times[moments.letter] = moments if stays else insert_near_due(problem, profile, chain)
            reserve(profile, chain, times[moments.letter])
    return tuple(times[chain.letter] for chain in problem.chains)
