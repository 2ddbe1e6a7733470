"""Keep a plan still: bakers have set their morning by it, so nothing moves for less than they would notice.

Two things are kept: the order, unless another is better by what is worth a word; and, in whatever order, the times
so far wherever keeping them costs next to nothing.
"""

from __future__ import annotations

from dataclasses import replace

from proofbell.planner import objective
from proofbell.planner.model import Plan, Problem, Times
from proofbell.planner.repair.repair import mended
from proofbell.planner.solver import conflicts
from proofbell.planner.solver.branch_and_bound import Dive, Stop, go_on
from proofbell.planner.solver.network import HARD
from proofbell.planner.solver.partial_schedule import HANDS, OVEN, Draft

WORTH_MOVING_S = 5 * 60
"""A gain of less than this, in readiness or in time of the oven, moves nothing: common practice, no source."""

ORDERS = 300
"""Orders timed to find the times nearest to those shown."""

KEEP = 20
"""Cost of each second that a length strays: a baker is asked for it, and then what follows may come as it does."""


def worth_moving(running: Plan, better: Plan) -> bool:
    """Whether a cheaper plan is better by so much that a baker would want to hear of it."""
    if better.cost.over_s != running.cost.over_s:
        return better.cost.over_s < running.cost.over_s
    sooner_s = running.cost.late_s - better.cost.late_s
    if abs(sooner_s) >= WORTH_MOVING_S:
        return sooner_s > 0
    return _beside_lateness(running) - _beside_lateness(better) >= objective.OVEN * WORTH_MOVING_S


def _beside_lateness(plan: Plan) -> int:
    return plan.cost.total - objective.LATE * plan.cost.late_s


def kept_still(plan: Plan, before: tuple[Times, ...]) -> Plan:
    """The same order at times as near to those before as can be; the plan itself where that would cost too much.

    Args:
        plan: the new plan.
        before: the times so far, of the same bakes in the same order.
    """
    still = near_to(plan.problem, plan.times, before) if plan.feasible else None
    return plan if still is None or worth_moving(still, plan) else replace(still, proved=plan.proved)


def at_once(problem: Problem, before: tuple[Times, ...]) -> tuple[Plan | None, bool]:
    """The order so far at times as near as can be to those so far; mended where that is not sound any more.

    Args:
        problem: what is to be planned now.
        before: the times so far, of the same bakes in the same order.

    Returns:
        The plan, which may not be sound, or None where what has happened stands against that order; and whether there
        may be a sound one.
    """
    draft = _drawn_to(problem, before)
    if not draft.crowded:
        _decide_as_in(draft, before)
    draft.settle()
    found = Dive(draft, HARD, 0, heats=False).run()
    if found is None:
        return None, True
    hope = True
    if found.cost.over_s:
        found, hope = mended(draft, found)
    return Plan(problem, found.times, found.cost), hope


def nearest(problem: Problem, shown: tuple[Times, ...], should_stop: Stop = go_on) -> Plan | None:
    """In whatever order, lengths and times as near as can be to those shown, which may clash.

    None where no sound times are found.
    """
    draft = _drawn_to(problem, shown)
    for times, begins, ends in zip(shown, draft.begin_at, draft.end_at, strict=True):
        for begin_s, end_s, begin, end in zip(times.begins_s, times.ends_s, begins, ends, strict=True):
            draft.link(begin, end, end_s - begin_s, (-KEEP, KEEP))
    draft.settle()
    found = Dive(draft, HARD, ORDERS, should_stop=should_stop, heats=False, by_draft=True).run()
    return None if found is None or found.cost.over_s else Plan(problem, found.times, found.cost)


def near_to(problem: Problem, order: tuple[Times, ...], before: tuple[Times, ...]) -> Plan | None:
    """The order of one timetable at times as near as can be to those of another; None where that is not sound."""
    draft = _drawn_to(problem, before)
    if draft.crowded:
        return None
    _decide_as_in(draft, order)
    draft.settle()
    if draft.cost() >= HARD or conflicts.worst(draft):
        return None
    times = draft.times()
    found = Plan(problem, times, objective.cost_of(problem, times))
    return found if found.feasible else None


def _drawn_to(problem: Problem, before: tuple[Times, ...]) -> Draft:
    draft = Draft(problem)
    draft.draw_to(before)
    return draft


def _decide_as_in(draft: Draft, order: tuple[Times, ...]) -> None:
    """Hands and oven in the order of a timetable; `settle` afterwards."""
    t = draft.node_times(order)
    _decide_hands(draft, t)
    _decide_oven(draft, t)


def _decide_hands(draft: Draft, t: list[int]) -> None:
    """Each pair of hands does what it does at these times, one after the other."""
    spans = sorted(
        (t[task.begin[0]] + task.begin[1], t[task.end[0]] + task.end[1], number)
        for number, task in enumerate(draft.tasks)
    )
    people: list[tuple[int, int]] = []
    for begin_s, end_s, number in spans:
        free = next((at for at, (until_s, _) in enumerate(people) if until_s <= begin_s), None)
        if free is None and len(people) < draft.problem.capacity.people:
            people.append((end_s, number))
            continue
        if free is None:
            free = people.index(min(people))
        draft.decide((HANDS, people[free][1], number))
        people[free] = end_s, number


def _decide_oven(draft: Draft, t: list[int]) -> None:
    """Bakes that follow on each other in the oven at these times go on doing so; those that are in it together may."""
    spans = sorted(
        (t[use.begin[0]] + use.begin[1], t[use.end[0]] + use.end[1], number) for number, use in enumerate(draft.uses)
    )
    for at, (begin_s, _, number) in enumerate(spans):
        # Where none are in it together, what follows on the one before follows on all.
        first = 0 if draft.facts.sharing else max(0, at - 1)
        for _, until_s, earlier in spans[first:at]:
            if until_s <= begin_s or not draft.facts.sharing:
                draft.decide((OVEN, earlier, number))
