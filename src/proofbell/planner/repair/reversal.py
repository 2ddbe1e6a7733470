"""Repair an order by reversing, one after another, the critical decisions: those that force a violation.

Together they are a proof: wherever all of them are kept, the same bound is broken. So every feasible order has at least
one of them the other way round, and where none is open there is no feasible order at all.
"""

from __future__ import annotations

from heapq import heappop, heappush

from proofbell.planner import objective
from proofbell.planner.solver.branch_and_bound import (
    ANY_COST,
    BranchAndBound,
    ReferenceOrder,
    SearchContext,
    Solution,
    reference_order,
)
from proofbell.planner.solver.network import HARD
from proofbell.planner.solver.partial_schedule import HANDS, OVEN, Decision, PartialSchedule

Fixed = frozenset[Decision]


def is_feasible(found: Solution) -> bool:
    """Whether nothing is kept longer than is allowed."""
    return found.cost.violation_s == 0


def critical_decisions(schedule: PartialSchedule, heavy: int = objective.VIOLATION // 2) -> dict[Decision, int]:
    """The decisions about hands and oven that force what is broken, and the flow on each.

    Args:
        schedule: at its cheapest times. The flow along the path from what breaks a bound is as steep as that bound.
        heavy: no decision with less flow is told.
    """
    flow = schedule.network.flow
    found: dict[Decision, int] = {}
    for about, orders in ((HANDS, schedule.hands), (OVEN, schedule.oven)):
        for (one, other), arc in orders.items():
            weight = abs(flow[arc]) if arc >= 0 else 0
            if weight >= heavy:
                found[about, one, other] = weight
    return found


def heating_is_critical(schedule: PartialSchedule, heavy: int = objective.VIOLATION // 2) -> bool:
    """Whether what was decided about keeping the oven hot is as critical: that is not reversed here."""
    flow = schedule.network.flow
    arcs = (arc for kept in schedule.hot.values() for arc in (kept.arc, kept.after) if arc >= 0)
    return any(abs(flow[arc]) >= heavy for arc in arcs)


class CriticalReversal:
    """A search over orders that differ from one in few decisions; the cheapest is gone on from.

    Attributes:
        best: the cheapest timetable so far.
        forced_s: seconds of violation that no order gets rid of.
        proved_infeasible: whether it is shown that no order is feasible.
    """

    def __init__(self, schedule: PartialSchedule, found: Solution, forced_s: int = 0) -> None:
        """Begin.

        Args:
            schedule: of the problem; `run` leaves it in any state.
            found: an infeasible timetable.
            forced_s: seconds of violation that no order gets rid of.
        """
        self.schedule = schedule
        self.forced_s = forced_s
        self.best = found
        self.proved_infeasible = False
        self.all_seen = True
        self.seen = {found.times}
        self.open: list[tuple[int, int, Solution, Fixed]] = [(found.cost.total, 0, found, frozenset())]
        self.made = 0
        self.base = found
        self.fixed: Fixed = frozenset()
        self.reference: ReferenceOrder | None = None
        self.to_reverse: list[Decision] = []

    def run(self, reversals: int) -> None:
        """Reverse so many decisions at most; end when an order as good as any is found, or none is left to look at."""
        while not self.done:
            if self.to_reverse:
                if not reversals:
                    return
                reversals -= 1
                self._reverse(self.to_reverse.pop())
            elif self.open:
                self._expand(*heappop(self.open)[2:])
            else:
                self.proved_infeasible = self.all_seen
                return

    @property
    def done(self) -> bool:
        """Whether the best is as near to feasible as any order can be."""
        return self.best.cost.violation_s <= self.forced_s

    def _expand(self, base: Solution, fixed: Fixed) -> None:
        self.schedule.restore(base.snapshot)
        self.base, self.fixed, self.reference = base, fixed, reference_order(self.schedule)
        critical = critical_decisions(self.schedule)
        self.all_seen &= not heating_is_critical(self.schedule)
        open_ = [decision for decision in critical if decision not in fixed and self._reversible(decision)]
        self.to_reverse = sorted(open_, key=lambda decision: (critical[decision], decision))

    def _reverse(self, decision: Decision) -> None:
        schedule = self.schedule
        schedule.restore(self.base.snapshot)
        schedule.reverse(decision)
        self.made += 1
        about, one, other = decision
        fixed = self.fixed | {(about, other, one)}
        if schedule.cost() >= HARD:
            critical = critical_decisions(schedule, HARD // 2)
            # Looking at them may itself show that not all is seen: that must not be overwritten here.
            others = any(more not in fixed and self._reversible(more) for more in critical)
            self.all_seen &= not (others or heating_is_critical(schedule, HARD // 2))
            return
        context = SearchContext(bound=ANY_COST, reference=self.reference, decide_heating=False)
        found = BranchAndBound(schedule, context).run()
        if found is None or found.times in self.seen:
            self.all_seen = False
            return
        self.seen.add(found.times)
        heappush(self.open, (found.cost.total, self.made, found, fixed))
        self.best = min(self.best, found, key=lambda one: one.cost.total)

    def _reversible(self, decision: Decision) -> bool:
        """Whether the other order is open; what has begun goes first."""
        about, one, other = decision
        schedule = self.schedule
        uses = schedule.hand_uses if about == HANDS else schedule.oven_uses
        together = schedule.problem.capacity.people > 1 if about == HANDS else schedule.setup.together[one][other]
        # Where both may be at one time, the other order is not the only other way.
        self.all_seen &= not together
        return not uses[one].begun
