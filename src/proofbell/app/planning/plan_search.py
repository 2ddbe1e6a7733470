"""The plans of a day as they are found: a sound one at once, better ones after it, and the ways out of a clash."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from proofbell.app.planning.planner_thread import better_plans
from proofbell.frozen import dataclass
from proofbell.planner.changes import Change, is_alike
from proofbell.planner.clashes import WayOut, alone_violation_s, feasible_beside, ways_out
from proofbell.planner.effort import steps_for
from proofbell.planner.oven_timeline import oven_day
from proofbell.planner.plan import Clash, Plan, Times
from proofbell.planner.problem import Problem
from proofbell.planner.reasons import Reason, clashes_between, reasons_of, ways_out_of, worst
from proofbell.planner.search import improve
from proofbell.planner.solver.branch_and_bound import Stop


@dataclass(frozen=True, slots=True)
class PlanShown:
    """A plan, whether it may be begun, why not all is as wanted, and the ways out that are known.

    They are out of its first clash; where no two doughs clash, out of the worst reason of one by itself.
    ``ways_of`` is the plan that the ways are out of: while better ones are found, an earlier one. ``live`` are the
    letters of the bench: no way out changes those, for their hours are given there.
    """

    plan: Plan
    may_begin: bool
    ways: tuple[WayOut, ...] = ()
    reasons: tuple[Reason, ...] = ()
    ways_of: Plan | None = None
    live: frozenset[str] = frozenset()

    @property
    def ways_hold(self) -> bool:
        """Whether the ways are out of the plan that stands."""
        return self.ways_of is self.plan

    def with_its_ways(self) -> PlanShown:
        """The same with the ways out of this plan; it takes a while, so in a thread."""
        if self.ways_hold:
            return self
        clashes, reason = self.plan.clashes, worst(self.reasons)
        ways: tuple[WayOut, ...] = ()
        if clashes:
            ways = ways_out(self.plan, clashes[0], self.live)
        elif reason is not None:
            ways = ways_out_of(self.plan, reason, self.live)
        return replace(self, ways=ways, ways_of=self.plan)

    def way_like(self, change: Change) -> WayOut | None:
        """The way that changes the same, if by other hours and lengths; None where there is none."""
        return next((way for way in self.ways if is_alike(way.change, change)), None)


def plans_to_show(
    problem: Problem,
    start: tuple[Times, ...] | None,
    live: frozenset[str],
    wanted: Callable[[], bool],
    better_for_s: float | None,
) -> Iterator[PlanShown]:
    """Ever better plans, for as long as they are ``wanted``; to be looked for in a thread.

    ``live`` are the letters of the bench: a clash among those alone keeps nobody from beginning the others. While
    something will be late it looks at least as far as the command does, however slow or busy the machine is; but no
    longer than ``better_for_s``, where that is given.
    """
    least = steps_for(problem) if better_for_s is None else 0

    def look(should_stop: Stop) -> Iterator[Plan]:
        return improve(problem, start, should_stop, least_steps=least, dropped=lambda: not wanted())

    shown: PlanShown | None = None
    alone_s: int | None = None
    for found in better_plans(look, wanted, better_for_s):
        reasons = reasons_of(found)
        clashes = _new_first(clashes_between(found, reasons), live)
        plan = replace(found, oven=oven_day(found), clashes=clashes)
        if not found.feasible and alone_s is None:
            alone_s = alone_violation_s(problem, live)
        ways, ways_of = (shown.ways, shown.ways_of) if shown is not None and reasons else ((), None)
        ways = still_help(ways, plan)
        may_begin = found.feasible or feasible_beside(found, live, alone_s or 0)
        shown = PlanShown(plan, may_begin, ways, reasons, ways_of, live)
        yield shown
        if reasons and ways_of is None:
            # Better ones may take a while; nobody should have to wait for a way out until then.
            shown = shown.with_its_ways()
            yield shown
    if shown is not None and shown.reasons and wanted():
        yield shown.with_its_ways()


def still_help(ways: Sequence[WayOut], plan: Plan) -> tuple[WayOut, ...]:
    """Of ways out of an earlier plan those that leave less amiss than the one that stands now has."""

    def amiss(one: Plan) -> tuple[int, int]:
        return one.cost.violation_s, one.cost.late_s // 60

    return tuple(way for way in ways if amiss(way.plan) < amiss(plan))


def _new_first(clashes: tuple[Clash, ...], live: frozenset[str]) -> tuple[Clash, ...]:
    """A clash that a new bake has a part in is the one to see first."""
    return tuple(sorted(clashes, key=lambda clash: {clash.first_letter, clash.second_letter} <= live))
