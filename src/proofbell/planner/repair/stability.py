"""Schedule stability: people have set their day by a plan, so nothing moves for less than they would notice.

Two things are kept: the order, unless another is better by what is worth a word; and, in whatever order, the times
so far wherever keeping them costs next to nothing.
"""

from __future__ import annotations

from dataclasses import replace

from proofbell.planner import objective
from proofbell.planner.plan import Plan, Times
from proofbell.planner.problem import Problem
from proofbell.planner.repair.repair import repaired
from proofbell.planner.solver import conflicts
from proofbell.planner.solver.branch_and_bound import ANY_COST, BranchAndBound, SearchContext, Stop, never_stop
from proofbell.planner.solver.network import HARD
from proofbell.planner.solver.partial_schedule import HANDS, OVEN, PartialSchedule

TOLERANCE_S = 5 * 60
"""A wait, or a lateness, of less than this does no harm: nobody is asked for less. Common practice, no source."""

WORTH_CHANGING_S = 5 * 60
"""A gain of less than this, in readiness or in time of the oven, moves nothing: common practice, no source."""

ORDERS = 300
"""Branches evaluated to find the times nearest to those shown."""

ANYWHERE = 60
"""Branches evaluated to find the sides of quiet spans on which an order may stay."""

LENGTH_WEIGHT = 20
"""Cost of each second that a length deviates: a person is asked for it, and then what follows may come as it does."""


def worth_changing(running: Plan, better: Plan) -> bool:
    """Whether a cheaper plan is better by so much that a person would want to hear of it."""
    if better.cost.violation_s != running.cost.violation_s:
        return better.cost.violation_s < running.cost.violation_s
    sooner_s = running.cost.late_s + running.cost.quiet_s - better.cost.late_s - better.cost.quiet_s
    if abs(sooner_s) >= WORTH_CHANGING_S:
        return sooner_s > 0
    return _beside_lateness(running) - _beside_lateness(better) >= objective.OVEN * WORTH_CHANGING_S


def _beside_lateness(plan: Plan) -> int:
    return plan.cost.total - objective.LATE * plan.cost.late_s - objective.QUIET * plan.cost.quiet_s


def stabilised(plan: Plan, before: tuple[Times, ...]) -> Plan:
    """The same order at times as near to those before as can be; the plan itself where that would cost too much.

    Args:
        plan: the new plan.
        before: the times so far, of the same chains in the same order.
    """
    still = nearest_in_order(plan.problem, plan.times, before) if plan.feasible else None
    return plan if still is None or worth_changing(still, plan) else replace(still, proved=plan.proved)


def minimal_repair(problem: Problem, before: tuple[Times, ...]) -> tuple[Plan | None, bool]:
    """The order so far at times as near as can be to those so far; repaired where that is not feasible any more.

    Args:
        problem: what is to be planned now.
        before: the times so far, of the same chains in the same order.

    Returns:
        The plan, which may not be feasible, or None where what has happened stands against that order; and whether
        there may be a feasible one.
    """
    schedule = _attracted(problem, before)
    start = schedule.save()
    context = SearchContext(bound=ANY_COST, decide_heating=False)
    if problem.quiet:
        context = replace(context, budget=ANYWHERE, good_enough=lambda _: True)
    if not schedule.overbooked:
        _fix_order(schedule, before)
    schedule.optimise()
    found = BranchAndBound(schedule, context).run()
    if found is None and problem.quiet and not schedule.overbooked:
        # A chain may have to come after a night that it was to be ready before.
        schedule.restore(start)
        _fix_order(schedule, before, sides=False)
        schedule.optimise()
        found = BranchAndBound(schedule, context).run()
    if found is None:
        return None, True
    may_be_feasible = True
    if found.cost.violation_s:
        found, may_be_feasible = repaired(schedule, found)
    return Plan(problem, found.times, found.cost), may_be_feasible


def nearest_in_any_order(problem: Problem, shown: tuple[Times, ...], should_stop: Stop = never_stop) -> Plan | None:
    """In whatever order, lengths and times as near as can be to those shown, which may clash.

    None where no feasible times are found.
    """
    schedule = _attracted(problem, shown)
    for times, begins, ends in zip(shown, schedule.begin_at, schedule.end_at, strict=True):
        for begin_s, end_s, begin, end in zip(times.begins_s, times.ends_s, begins, ends, strict=True):
            schedule.constrain(begin, end, end_s - begin_s, (-LENGTH_WEIGHT, LENGTH_WEIGHT))
    schedule.optimise()
    context = SearchContext(
        bound=ANY_COST, budget=ORDERS, should_stop=should_stop, decide_heating=False, by_schedule_cost=True
    )
    found = BranchAndBound(schedule, context).run()
    return None if found is None or found.cost.violation_s else Plan(problem, found.times, found.cost)


def in_order(problem: Problem, before: tuple[Times, ...]) -> Plan | None:
    """The order so far, hands, oven and nights, at times as near as can be to those so far; None where that clashes.

    Nothing is looked for: what does not fit by itself is left to `minimal_repair`.
    """
    schedule = _attracted(problem, before)
    if schedule.overbooked:
        return None
    _fix_order(schedule, before)
    schedule.optimise()
    if conflicts.select_conflict(schedule):
        return None
    times = schedule.times()
    found = Plan(problem, times, objective.cost_of(problem, times))
    return found if found.feasible else None


def nearest_in_order(problem: Problem, order: tuple[Times, ...], before: tuple[Times, ...]) -> Plan | None:
    """The order of one timetable at times as near as can be to those of another; None where that is not feasible."""
    schedule = _attracted(problem, before, order)
    if schedule.overbooked:
        return None
    _fix_order(schedule, order)
    schedule.optimise()
    if schedule.cost() >= HARD or conflicts.select_conflict(schedule):
        return None
    times = schedule.times()
    found = Plan(problem, times, objective.cost_of(problem, times))
    return found if found.feasible else None


def _attracted(problem: Problem, before: tuple[Times, ...], like: tuple[Times, ...] | None = None) -> PartialSchedule:
    """Drawn to the times before; longer steps in others' places as there, or as in another timetable."""
    schedule = PartialSchedule(problem, settled=False)
    schedule.choose_as(before if like is None else like)
    schedule.attract_to(before)
    return schedule


def _fix_order(schedule: PartialSchedule, order: tuple[Times, ...], *, sides: bool = True) -> None:
    """Hands and oven in the order of a timetable, on their ``sides`` of quiet spans; `optimise` afterwards.

    What has happened since may not fit into the timetable: what follows is put off first, so that no two orders that
    are read off it stand against each other.
    """
    t = schedule.node_times(order)
    schedule.put_off(t)
    _decide_oven(schedule, t)
    _decide_hands(schedule, t, sides=sides)


def _decide_hands(schedule: PartialSchedule, t: list[int], *, sides: bool) -> None:
    """Each pair of hands does what it does at these times, one after the other."""
    uses, one_pair = schedule.hand_uses, schedule.problem.capacity.people == 1
    spans = sorted(
        [
            (t[use.begin[0]] + use.begin[1], t[use.end[0]] + use.end[1], at)
            for at, use in enumerate(uses)
            if not use.quiet
        ]
    )
    if sides:
        schedule.keep_sides(spans)
    if one_pair:
        # By when it ends: what was put off in its midst comes later, and what goes on at once with more is not left.
        until = {use.begin: t[use.end[0]] + use.end[1] for use in reversed(uses)}
        spans.sort(key=lambda span: (not uses[span[2]].begun, until.get(uses[span[2]].end, span[1]), span[0]))
    people: list[tuple[int, int]] = []
    for begin_s, end_s, number in spans:
        free = next((at for at, (until_s, _) in enumerate(people) if until_s <= begin_s), None)
        if free is None and len(people) < schedule.problem.capacity.people:
            people.append((end_s, number))
            continue
        if free is None:
            free = people.index(min(people))
        if not (uses[people[free][1]].fixed and uses[number].fixed):
            schedule.decide((HANDS, people[free][1], number))
        people[free] = end_s, number


def _decide_oven(schedule: PartialSchedule, t: list[int]) -> None:
    """What follows on each other in the oven at these times goes on doing so; what is in it together may stay so."""
    uses, setup = schedule.oven_uses, schedule.setup
    order = sorted((not use.begun, t[use.begin[0]] + use.begin[1], number) for number, use in enumerate(uses))
    for at, (_, _, number) in enumerate(order):
        begin, offset = uses[number].begin
        # Where none are in it together, what follows on the one before follows on all.
        for _, _, earlier in order[0 if setup.sharing else max(0, at - 1) : at]:
            end, after_s = uses[earlier].end
            until_s = t[end] + after_s
            if setup.sharing and until_s > t[begin] + offset:
                continue
            schedule.decide((OVEN, earlier, number))
            if not setup.sharing and begin and until_s + setup.change[earlier][number] > t[begin] + offset:
                t[begin] = until_s + setup.change[earlier][number] - offset
                schedule.put_off(t)
