"""Branch and bound: resolve a schedule's conflicts one by one, the cheaper order first, and go back where it pays.

The cost of the present times is a lower bound of every schedule below them. A branch that cannot come out cheaper than
another is evaluated only when its turn comes, if ever. The cheapest schedule so far is the incumbent (`best`).
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from heapq import heappop, heappush

from proofbell.planner import objective
from proofbell.planner.plan import Cost, Times
from proofbell.planner.problem import Problem
from proofbell.planner.solver import conflicts
from proofbell.planner.solver.network import HARD
from proofbell.planner.solver.partial_schedule import HANDS, HOT, OVEN, Decision, PartialSchedule, Snapshot

DISCREPANCY = 0.1
"""How often, with chance, the dearer branch goes first (as in limited discrepancy search)."""

ANY_COST = HARD
"""A bound dearer than any timetable in which every order is kept."""

UNLIMITED = 1_000_000
"""A budget without end: all branches are looked at."""

Spans = list[tuple[int, int]]
ReferenceOrder = tuple[Spans, Spans]
"""When each use of the hands, and of the oven, begins and ends in a timetable whose order is to be kept."""

OpenNode = tuple[int, int, Snapshot, Decision | None]
"""A node that was passed over: its lower bound, a number, its state, and the decision to be evaluated in it yet."""

Stop = Callable[[], bool]
"""Asked between steps; says whether to stop."""


def never_stop() -> bool:
    """Never."""
    return False


def stop_after(times: int, should_stop: Stop = never_stop) -> Stop:
    """Stop after so many questions, or before if another says so."""
    asked = 0

    def enough() -> bool:
        nonlocal asked
        asked += 1
        return asked > times or should_stop()

    return enough


@dataclass(frozen=True)
class Solution:
    """A timetable without conflicts, and the state of the schedule that gave it.

    Attributes:
        problem: what it is a timetable of.
        times: one entry for each chain.
        snapshot: the state of the schedule.
        total: what solutions of one search are compared by.
        reckoned: what it costs, where that is known already.
    """

    problem: Problem
    times: tuple[Times, ...]
    snapshot: Snapshot
    total: int
    reckoned: Cost | None = None

    @cached_property
    def cost(self) -> Cost:
        """What it costs: reckoned only when it is asked for, for many solutions are compared by `total` alone."""
        return self.reckoned or objective.cost_of(self.problem, self.times)


def reference_order(schedule: PartialSchedule, times: tuple[Times, ...] | None = None) -> ReferenceOrder:
    """The order of uses in a schedule's present times, or in a given timetable."""
    t = schedule.network.seconds() if times is None else schedule.node_times(times)
    hands, oven = (
        [(t[use.begin[0]] + use.begin[1], t[use.end[0]] + use.end[1]) for use in uses]
        for uses in (schedule.hand_uses, schedule.oven_uses)
    )
    return hands, oven


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchContext:
    """How one search goes about it, and when it ends.

    Attributes:
        bound: upper bound: only timetables cheaper than this are of interest.
        budget: about so many branches are evaluated, best first; UNLIMITED tries all there are, depth first.
        reference: uses keep this order wherever no free chain is touched.
        free: indices of the chains whose order is open.
        should_stop: asked before each branch is evaluated.
        rng: now and then the dearer branch goes first, by this; None for never.
        decide_heating: whether to decide from when the oven is kept hot.
        by_time: conflicts in order of time, not the worst first: quicker where a reference order decides them anyway.
        good_enough: whether a solution is good enough to look for no other.
        by_schedule_cost: solutions are compared by all that the schedule was told of cost, not by the objective alone.
    """

    bound: int
    budget: int = 0
    reference: ReferenceOrder | None = None
    free: frozenset[int] = frozenset()
    should_stop: Stop = never_stop
    rng: random.Random | None = None
    decide_heating: bool = True
    by_time: bool = False
    good_enough: Callable[[Solution], bool] | None = None
    by_schedule_cost: bool = False


class BranchAndBound:
    """One search below a schedule's present state.

    Attributes:
        best: the cheapest solution so far, the incumbent.
        complete: after `run`, whether nothing cheaper than the bound was left out.
    """

    def __init__(self, schedule: PartialSchedule, context: SearchContext) -> None:
        """Prepare.

        Args:
            schedule: searched from its present state, and left in any state.
            context: how to search.
        """
        self.schedule = schedule
        self.context = context
        self.bound = context.bound
        self.budget = context.budget
        self.best: Solution | None = None
        self.complete = True
        self.by_schedule_cost = context.by_schedule_cost or len(schedule.considered) < len(schedule.problem.chains)
        self.best_first = context.budget < UNLIMITED
        self.open: list[OpenNode] = []
        self.pushed = 0

    def run(self) -> Solution | None:
        """The cheapest timetable found, if any is cheaper than the bound."""
        if self.schedule.problem.quiet and self.schedule.cost() >= HARD:
            # Decisions about quiet spans that are not kept are no conflict that would be seen further down.
            return None
        self._dive()
        while self.open:
            if self._enough():
                self.complete = all(entry[0] >= self.bound for entry in self.open)
                break
            if not self._pop():
                break
            self._dive()
        return self.best

    def _enough(self) -> bool:
        """Whether to leave the rest; best first, a first way down is always finished."""
        good_enough = self.context.good_enough
        if self.best is None and self.best_first:
            return self.budget <= 0
        if self.best is not None and (self.budget <= 0 or (good_enough is not None and good_enough(self.best))):
            return True
        return self.context.should_stop()

    def _choices(self) -> list[Decision]:
        choices = conflicts.select_conflict(self.schedule, by_time=self.context.by_time)
        if not choices:
            if not self.context.decide_heating:
                return []
            return conflicts.select_heating(self.schedule, every=not self.best_first)
        return self._in_reference_order(choices)

    def _in_reference_order(self, choices: list[Decision]) -> list[Decision]:
        """Leave only the reference order where no free chain is touched."""
        reference, free = self.context.reference, self.context.free
        if reference is None:
            return choices
        of_hands = choices[0][0] == HANDS
        uses = self.schedule.hand_uses if of_hands else self.schedule.oven_uses
        spans = reference[0] if of_hands else reference[1]
        if free and any(uses[at].chain in free for _, *pair in choices for at in pair):
            return choices
        kept = [choice for choice in choices if spans[choice[1]][1] <= spans[choice[2]][0]]
        return kept[:1] or choices

    def _dive(self) -> None:
        """Go down to the bottom by the cheapest branches; what is passed over is kept for later."""
        while choices := self._propagate():
            below = self._children(choices)
            if not below:
                return
            _, snapshot, _ = below[0]
            for dearer in reversed(below[1:]):
                self._push(*dearer)
            if snapshot is not None:
                self.schedule.restore(snapshot, again=False)

    def _push(self, cost: int, snapshot: Snapshot | None, unevaluated: Decision | None) -> None:
        self.pushed += 1
        snapshot = snapshot or self.schedule.save()
        if self.best_first:
            heappush(self.open, (cost, self.pushed, snapshot, unevaluated))
        else:
            self.open.append((cost, self.pushed, snapshot, unevaluated))

    def _pop(self) -> bool:
        """Take up the next open node, if any is worth it."""
        schedule = self.schedule
        while self.open:
            cost, _, snapshot, unevaluated = heappop(self.open) if self.best_first else self.open.pop()
            if cost >= self.bound:
                continue
            schedule.restore(snapshot, again=unevaluated is not None)
            if unevaluated is None:
                return True
            self._branch(unevaluated)
            cost = schedule.cost()
            if cost < self.bound:
                if not (self.best_first and self.open and self.open[0][0] < cost):
                    return True
                self._push(cost, None, None)
        return False

    def _propagate(self) -> list[Decision]:
        """Decide whatever leaves no choice; the next real choice, or none when the bottom is reached."""
        schedule = self.schedule
        while True:
            choices = self._choices()
            if not choices:
                self._accept()
                return []
            if any(schedule.decided(choice) for choice in choices):
                # What is decided cannot be kept: some chain's own bounds stand against it.
                return []
            if len(choices) > 1:
                return choices
            self._branch(choices[0])
            if schedule.cost() >= self.bound:
                return []

    def _children(self, choices: list[Decision]) -> list[tuple[int, Snapshot | None, Decision | None]]:
        """The nodes that each choice leads to, with their lower bounds, in the order to try them.

        A choice that cannot be cheaper than another is left unevaluated until its turn comes. A node without a
        snapshot is the schedule's present state.
        """
        schedule = self.schedule
        here, rng = schedule.save(), self.context.rng
        dearer_first = rng is not None and rng.random() < DISCREPANCY
        bounds = sorted([(schedule.lower_bound(choice), number) for number, choice in enumerate(choices)])
        below: list[tuple[int, int, Snapshot | None, Decision | None]] = []
        for at, (bound, number) in enumerate(bounds):
            if bound >= self.bound:
                break
            if below and below[0][0] <= bound and not dearer_first:
                below.append((bound, number, here, choices[number]))
                continue
            if at:
                below = [(*node[:2], node[2] or schedule.save(), None) for node in below]
                schedule.restore(here)
            self._branch(choices[number])
            cost = schedule.cost()
            if cost < self.bound:
                below.append((cost, number, schedule.save() if at else None, None))
                below.sort(key=lambda entry: entry[:2])
        if dearer_first and len(below) > 1:
            below.reverse()
        return [(cost, snapshot, unevaluated) for cost, _, snapshot, unevaluated in below]

    def _branch(self, choice: Decision) -> None:
        self.budget -= 1
        if choice[0] == HOT and choice[1] >= 0 and not self.schedule.setup.together[choice[1]][choice[2]]:
            self.schedule.decide((OVEN, choice[1], choice[2]))
        self.schedule.decide(choice)
        self.schedule.optimise()

    def _accept(self) -> None:
        problem, times = self.schedule.problem, self.schedule.times()
        cost = None if self.by_schedule_cost else objective.cost_of(problem, times)
        total = self.schedule.cost() if cost is None else cost.total
        if total < self.bound:
            self.bound = total
            self.best = Solution(problem, times, self.schedule.save(), total, cost)
