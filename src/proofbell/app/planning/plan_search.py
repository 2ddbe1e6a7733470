"""The plans of a day as they are found: a sound one at once, better ones after it, and the ways out of a clash."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from proofbell.app.planning.planner_thread import better_plans
from proofbell.frozen import dataclass
from proofbell.planner.clashes import WayOut, alone_violation_s, feasible_beside, ways_out
from proofbell.planner.oven_timeline import oven_day
from proofbell.planner.plan import Clash, Plan, Times
from proofbell.planner.problem import Problem
from proofbell.planner.reasons import Reason, clashes_between, reasons_of
from proofbell.planner.search import improve
from proofbell.planner.solver.branch_and_bound import Stop


@dataclass(frozen=True, slots=True)
class PlanShown:
    """A plan, whether it may be begun, why not all is as wanted, and the ways out of its first clash that are known."""

    plan: Plan
    may_begin: bool
    ways: tuple[WayOut, ...] = ()
    reasons: tuple[Reason, ...] = ()


def plans_to_show(
    problem: Problem,
    start: tuple[Times, ...] | None,
    live: frozenset[str],
    wanted: Callable[[], bool],
    better_for_s: float | None,
) -> Iterator[PlanShown]:
    """Ever better plans, for as long as they are ``wanted``; to be looked for in a thread.

    ``live`` are the letters of the bench: a clash among those alone keeps nobody from beginning the others.
    """

    def look(should_stop: Stop) -> Iterator[Plan]:
        return improve(problem, start, should_stop)

    shown: PlanShown | None = None
    alone_s: int | None = None
    for found in better_plans(look, wanted, better_for_s):
        reasons = reasons_of(found)
        clashes = _new_first(clashes_between(found, reasons), live)
        plan = replace(found, oven=oven_day(found), clashes=clashes)
        if not found.feasible and alone_s is None:
            alone_s = alone_violation_s(problem, live)
        ways = shown.ways if shown is not None and plan.clashes else ()
        shown = PlanShown(plan, found.feasible or feasible_beside(found, live, alone_s or 0), ways, reasons)
        yield shown
        if plan.clashes and not ways:
            # Better ones may take a while; nobody should have to wait for a way out until then.
            shown = replace(shown, ways=ways_out(plan, plan.clashes[0]))
            yield shown
    if shown is not None and shown.plan.clashes and wanted():
        yield replace(shown, ways=ways_out(shown.plan, shown.plan.clashes[0]))


def _new_first(clashes: tuple[Clash, ...], live: frozenset[str]) -> tuple[Clash, ...]:
    """A clash that a new bake has a part in is the one to see first."""
    return tuple(sorted(clashes, key=lambda clash: {clash.first_letter, clash.second_letter} <= live))
