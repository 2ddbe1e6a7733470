"""Why a plan cannot have something as it is wanted: first each chain by itself, then who stands in whose way."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from typing import Literal

from proofbell.frozen import dataclass
from proofbell.planner.alone import alone
from proofbell.planner.clashes import LATE_S, WayOut, clashes_of, ways_out
from proofbell.planner.objective import chain_violation_s
from proofbell.planner.plan import Clash, Plan
from proofbell.planner.problem import Chain, Problem

Cause = Literal["length", "quiet", "turns", "oven", "clash"]


@dataclass(frozen=True, slots=True)
class Reason:
    """Why one chain is late, or is kept beyond what is allowed.

    Attributes:
        letter: the chain.
        cause: its own length; a quiet span; that its steps in the oven wait for each other in turns; an oven that is
            not hot yet; or a clash with another chain.
        late_s: seconds it is ready after it is wanted, in the plan.
        over_s: seconds it is kept beyond what is allowed, in the plan.
        needs_s: seconds it takes from begin to end at the soonest, by itself.
        earliest_s: when it is ready at the soonest, by itself.
        clash: the other chain's step and its own, where that is the cause.
    """

    letter: str
    cause: Cause
    late_s: int
    over_s: int
    needs_s: int
    earliest_s: int
    clash: Clash | None = None


def reasons_of(plan: Plan) -> tuple[Reason, ...]:
    """One reason for each chain that is late or kept too long: its own before one that has to do with others."""
    clashes = {clash.second_letter: clash for clash in reversed(clashes_of(plan))}
    found: list[Reason] = []
    for chain, times in zip(plan.problem.chains, plan.times, strict=True):
        late_s = 0 if chain.ready_by_s is None or chain.steps[-1].ended else max(0, times.ready_s - chain.ready_by_s)
        over_s = chain_violation_s(plan.problem, chain, times)
        if late_s < LATE_S and not over_s:
            continue
        cause = why_not(plan.problem, chain)
        clash = None if cause is not None else clashes.get(chain.letter)
        needs_s, earliest_s = _soonest(plan.problem, chain)
        found.append(Reason(chain.letter, cause or "clash", late_s, over_s, needs_s, earliest_s, clash))
    return tuple(found)


def clashes_between(plan: Plan, reasons: Sequence[Reason]) -> tuple[Clash, ...]:
    """The clashes of a plan that have to do with two chains, each of which would do by itself."""
    alone_ = {reason.letter for reason in reasons if reason.cause != "clash"}
    return tuple(clash for clash in clashes_of(plan) if clash.second_letter not in alone_)


def worst(reasons: Sequence[Reason]) -> Reason | None:
    """The reason of the chain that is worst off; None for none."""
    return max(reasons, key=lambda reason: (reason.over_s, reason.late_s), default=None)


def ways_out_of(plan: Plan, reason: Reason, fixed: Collection[str] = ()) -> tuple[WayOut, ...]:
    """Up to three changes that do away with a reason, the cheapest first; what a chain is by itself no other mends.

    ``fixed`` as for `ways_out`.
    """
    clash = reason.clash or next((one for one in clashes_of(plan) if one.second_letter == reason.letter), None)
    if clash is None:
        return ()
    if reason.cause != "clash":
        clash = replace(clash, first_letter=clash.second_letter, first_step=clash.second_step, about="time")
    return ways_out(plan, clash, fixed)


def why_not(problem: Problem, chain: Chain) -> Cause | None:
    """Why one chain cannot be as it is wanted, even by itself; None where it can.

    What changes the answer is the cause; where nothing does, it is its own length.
    """
    if _missed_s(problem, chain) is None:
        return None
    for cause, other, changed in _otherwise(problem, chain):
        if _missed_s(other, changed) is None:
            return cause
    return "length"


def _otherwise(problem: Problem, chain: Chain) -> Iterator[tuple[Cause, Problem, Chain]]:
    """The same chain without one of the things that may be in its way."""
    if problem.quiet:
        yield "quiet", replace(problem, quiet=()), chain
    if any(step.since is not None for step in chain.steps):
        free = tuple(replace(step, since=None) for step in chain.steps)
        yield "turns", problem, replace(chain, steps=free)
    heat_c = next((step.heats[0].oven_c for step in chain.steps if step.heats and step.begun_s is None), None)
    if heat_c is not None:
        yield "oven", replace(problem, capacity=replace(problem.capacity, oven_c=heat_c)), chain


def _missed_s(problem: Problem, chain: Chain) -> int | None:
    """Seconds that a chain by itself is late or kept too long; None for none that counts."""
    found = alone(problem, chain)
    if not found:
        return None
    cost = found[0].cost
    return cost.late_s + cost.violation_s if cost.violation_s or cost.late_s >= LATE_S else None


def _soonest(problem: Problem, chain: Chain) -> tuple[int, int]:
    """Seconds that a chain takes at the soonest, by itself, and when it is ready then: never later than in the plan."""
    found = alone(problem, replace(chain, ready_by_s=problem.now_s))
    if not found:
        return 0, 0
    times = found[0].times
    return times.ready_s - min(times.begins_s), times.ready_s
