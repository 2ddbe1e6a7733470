"""Minimal perturbation: every length as it now is; only when that does not work out is a change of one proposed."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from proofbell.planner.objective import cost_of, quiet_s
from proofbell.planner.plan import Plan, Times
from proofbell.planner.problem import Chain, Flexibility, Problem, Step
from proofbell.planner.repair.repair import schedule_committed
from proofbell.planner.repair.stability import (
    TOLERANCE_S,
    in_order,
    minimal_repair,
    nearest_in_any_order,
    nearest_in_order,
)
from proofbell.planner.search import plan as best_plan
from proofbell.planner.solver.branch_and_bound import Stop, never_stop

SLACK_S = 4 * 60
"""An elastic step may be so much longer or shorter; with a minute of rounding it is still within the tolerance."""

ROUNDED_S = 60
"""What rounding to whole minutes makes of a use of hands at the edge of a quiet span."""

PROMISED_S = 15 * 60
"""So much later than promised a chain may be without another day being looked for: common practice, no source."""

STEPS = 6
"""Steps of the search: enough to find the order that the lengths leave open."""


def least_disruptive(
    better: Iterator[Plan],
    should_stop: Stop = never_stop,
    little: Plan | None = None,
    before: tuple[Times, ...] | None = None,
) -> Iterator[Plan]:
    """Of ever better plans of one day those to propose: what changes little comes before what is better.

    Args:
        better: the plans.
        should_stop: asked between steps.
        little: what changes little, where it is known already.
        before: the times that people go by; None for each chain by itself.
    """
    for number, plan in enumerate(better):
        if not number and little is None:
            little = minimal_perturbation(plan.problem, should_stop)
        yield prefer_stable(little, plan, before)


def as_before(problem: Problem, before: tuple[Times, ...]) -> Plan | None:
    """The day as near to a plan before as can be: in its order or nearly so, with all lengths kept if that will do.

    The first that keeps its promises, or else the least harm; None where nothing near it works.
    """
    found: list[Plan] = []
    for one in (with_lengths_kept(problem), problem):
        for look in (in_order, _repaired):
            near = look(one, before)
            if near is None or not near.feasible:
                continue
            found.append(Plan(problem, near.times, near.cost))
            if keeps_promises(found[-1], before):
                return found[-1]
    return min(found, key=harm_s, default=None)


def _repaired(problem: Problem, before: tuple[Times, ...]) -> Plan | None:
    return minimal_repair(problem, before)[0]


def keeps_promises(plan: Plan, before: tuple[Times, ...]) -> bool:
    """Whether no chain is later than wanted by what anybody would mind, nor hands needed at night as not before."""
    chains = zip(plan.problem.chains, plan.times, strict=True)
    late = (chain.ready_by_s is not None and times.ready_s >= chain.ready_by_s + PROMISED_S for chain, times in chains)
    return not any(late) and plan.cost.quiet_s <= cost_of(plan.problem, before).quiet_s + ROUNDED_S


def harm_s(plan: Plan) -> int:
    """What people mind of a plan: seconds that chains are late, and that hands are needed in quiet spans."""
    return plan.cost.late_s + plan.cost.quiet_s


def lengths_kept(problem: Problem, should_stop: Stop = never_stop) -> Plan | None:
    """The day with all lengths kept and nothing that clashes; None when somebody has to give way.

    It is as near to the uncoordinated times as can be. A chain may wait between two steps, and an elastic step last
    longer or shorter, by what is within the tolerance.
    """
    kept = with_lengths_kept(problem)
    if schedule_committed(kept, uncoordinated_times(kept)) == (None, True):
        return None
    shown = nearest_in_any_order(kept, uncoordinated_times(kept), should_stop)
    if shown is not None and harm_s(shown) < TOLERANCE_S:
        return shown
    found = best_plan(kept, STEPS, should_stop)
    if found.cost.violation_s:
        return shown
    return found if shown is None or harm_s(shown) > harm_s(found) + TOLERANCE_S else shown


def minimal_perturbation(problem: Problem, should_stop: Stop = never_stop) -> Plan | None:
    """The day with all lengths kept, or else with the least that chains which clash must give way to each other."""
    left = lengths_kept(problem, should_stop)
    slips = left is not None and _quiet_unless_asked_s(problem) > left.cost.quiet_s + ROUNDED_S
    if left is not None and harm_s(left) < TOLERANCE_S and not slips:
        return left
    given = nearest_in_any_order(problem, uncoordinated_times(problem), should_stop)
    if left is None or given is None:
        return left or given
    return given if slips and harm_s(given) <= harm_s(left) else prefer_stable(left, given)


def _quiet_unless_asked_s(problem: Problem) -> int:
    """Hands in quiet spans (s) when nothing is asked: nobody waits those minutes that are within the tolerance."""
    shown = uncoordinated_times(problem)
    return sum(quiet_s(problem, chain, times)[0] for chain, times in zip(problem.chains, shown, strict=True))


def prefer_stable(little: Plan | None, better: Plan, before: tuple[Times, ...] | None = None) -> Plan:
    """The plan that changes little, unless a better one spares more lateness than the tolerance.

    Of a better plan only the order is taken where that will do: the rest stays as near to the uncoordinated times as
    can be, so that nothing gives way for the sake of a shorter day.
    """
    most_s = harm_s(better) + TOLERANCE_S
    if little is not None and harm_s(little) <= most_s:
        return little
    shown = uncoordinated_times(better.problem) if before is None else before
    near = nearest_in_order(better.problem, better.times, shown) if better.feasible else None
    return better if near is None or harm_s(near) > most_s else near


def uncoordinated_times(problem: Problem) -> tuple[Times, ...]:
    """Every chain by itself, clashes and all, as if there were hands and ovens enough."""
    return tuple(_back_to_back(chain, problem.now_s) for chain in problem.chains)


def _back_to_back(chain: Chain, now_s: int) -> Times:
    """Each step as soon as those before it are over, at the length that now holds; of strands the shorter begins later.

    What may come ahead of the chain comes just before it.
    """
    begins: list[int] = []
    ends: list[int] = []
    for at, step in enumerate(chain.steps):
        before = chain.before(at)
        first = not step.ahead and all(chain.steps[one].ahead for one in before)
        at_s = max([now_s, chain.not_before_s if first else now_s, *(ends[one] for one in before)])
        begins.append(at_s if step.begun_s is None else step.begun_s)
        end_s = begins[-1] + step.nominal_s
        ends.append(step.ended_s if step.ended_s is not None else max(now_s, end_s) if step.running else end_s)
    for at in range(len(ends) - 1, -1, -1):
        for one in chain.before(at) if chain.steps[at].begun_s is None else ():
            if chain.steps[one].begun_s is None:
                ends[one] = begins[at]
                begins[one] = ends[one] - chain.steps[one].nominal_s
    return Times(chain.letter, tuple(begins), tuple(ends))


def with_lengths_kept(problem: Problem) -> Problem:
    """The same day with every length kept: only starts, and what is within the tolerance, are left open."""
    return _with_lengths(problem, lambda step: max(step.wait_s, TOLERANCE_S), SLACK_S)


def without_waits(problem: Problem) -> Problem:
    """The same day with every length kept and no wait between two steps: only the starts are left open."""
    return _with_lengths(problem, lambda _: 0, 0)


def _with_lengths(problem: Problem, wait_s: Callable[[Step], int], slack_s: int) -> Problem:
    chains = (
        replace(chain, steps=tuple(_length_kept(step, wait_s(step), slack_s) for step in chain.steps))
        for chain in problem.chains
    )
    return replace(problem, chains=tuple(chains))


def _length_kept(step: Step, wait_s: int, slack_s: int) -> Step:
    if step.ended or step.flexibility is Flexibility.FREE:
        return replace(step, wait_s=wait_s)
    slack_s = slack_s if step.flexibility is Flexibility.ELASTIC else 0
    least_s, most_s = max(step.least_s, step.nominal_s - slack_s), min(step.most_s, step.nominal_s + slack_s)
    if step.shared:
        # What waits for its turn in the oven goes on meanwhile: that is no other length.
        most_s = step.most_s
    return replace(step, least_s=least_s, most_s=most_s, wait_s=wait_s, instead=None)
