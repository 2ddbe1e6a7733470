"""Large-neighbourhood search: a feasible plan at once, then better ones for as long as it is let.

After the first plan, each step takes one to three chains out of the order (destroy), those that cost most and those
beside them in the oven more often than others, and puts them back by branch and bound (repair). A dearer plan is
accepted within a random threshold, so that the search leaves a local optimum. It is deterministic: it counts its own
steps and reads no clock, and the same problem gives the same plans.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import islice, product

from proofbell.planner import objective
from proofbell.planner.alone import Alone, alone, forced_s, needs_care
from proofbell.planner.construction import BUILD, build, first_times, least_slack_first
from proofbell.planner.insertion import insert_all, insertion_order
from proofbell.planner.plan import Plan, Times
from proofbell.planner.problem import Problem
from proofbell.planner.repair.repair import repaired
from proofbell.planner.solver.branch_and_bound import (
    ANY_COST,
    UNLIMITED,
    BranchAndBound,
    ReferenceOrder,
    SearchContext,
    Solution,
    Stop,
    never_stop,
    reference_order,
    stop_after,
)
from proofbell.planner.solver.neighbourhood import choose_neighbourhood
from proofbell.planner.solver.partial_schedule import PartialSchedule
from proofbell.planner.symmetry import break_symmetry

BUDGET = 140
"""Branches evaluated for each chain that is put back."""

STARTS = 3
"""Plans built from nothing: at once for a new day, or when a day under way has not got better for long."""

PATIENCE = 30
"""Steps without a better plan after which that is so."""

AT_ONCE = 60
"""Steps taken before a first plan is shown that is not feasible, though there may be a feasible one."""

ACCEPT_EARLY, ACCEPT_LATE = 0.1, 0.25
"""Acceptance thresholds: a plan is gone on from if it is dearer by less than a random part of this share of the best.

The first holds for the first steps, the second later on.
"""

CHANGE = 0.5
"""How often, with chance, a chain that is taken out goes back with another choice of longer steps."""

MOST_CHOICES = 16
"""Up to so many choices of longer steps, over all chains, all are tried in the end."""

NEAR = 3
"""Steps for each pair of chains, after which what is near has been tried and the later threshold holds."""

FEW = 4
"""Up to so many chains, all orders are tried in the end, and a first plan is made better before it is shown."""

STALE = 80
"""Steps without a better plan after which a counted search ends: half a second for five chains on a small machine."""

MOST_ORDERS = 4000
"""So many branches are evaluated to prove that there is no better plan."""


class Search:
    """One problem's search.

    Attributes:
        best: the incumbent: the cheapest solution so far.
        current: the solution that the next step goes on from.
        steps: how many steps have been taken.
        proved: whether no better plan exists.
        may_be_feasible: whether the first plan was not feasible, and it is not known that none is.
    """

    def __init__(
        self,
        problem: Problem,
        start: tuple[Times, ...] | None = None,
        seed: int = 1,
        *,
        may_be_feasible: bool | None = None,
    ) -> None:
        """Find a first plan.

        Args:
            problem: what to plan.
            start: a timetable to start from, such as the plan so far; its order is kept to begin with.
            seed: another seed gives another course of the search.
            may_be_feasible: where the order of the start has been repaired as well as can be at once, whether there
                may be a feasible one; None where it has not.
        """
        self.problem = problem
        self.rng = random.Random(seed)  # noqa: S311 - nothing secret
        self.steps = 0
        self.proved = False
        self.stale = 0
        self.tried_all = False
        self.starts = STARTS
        self.fresh = start is None
        self.choices = [chain.choices for chain in problem.chains]
        self.careful = needs_care(problem)
        self.alone: list[tuple[Alone, ...]] = []
        self.may_be_feasible = bool(may_be_feasible)
        found = self._insert() if self.careful and self.fresh else None
        if found is None:
            self.schedule = PartialSchedule(problem)
            times = start if start is not None else first_times(problem)
            found = self._follow(times, repair=may_be_feasible is None)
        self.current = found
        self.best = found

    def _follow(self, times: tuple[Times, ...], *, repair: bool) -> Solution:
        """The cheapest timetable that uses hands and oven in the order of a given one."""
        self.schedule.choose_as(times)
        self.schedule.optimise()
        reference: ReferenceOrder | None = reference_order(self.schedule, times)
        alone = self.schedule.save()
        keep_order = SearchContext(bound=ANY_COST, reference=reference, decide_heating=False, by_time=not self.fresh)
        found = BranchAndBound(self.schedule, keep_order).run()
        if found is None and self.careful:
            found = self._insert()
        if found is None:
            # What has happened since stands against that order: any order that can be kept will do.
            self.schedule = PartialSchedule(self.problem) if self.careful else self.schedule
            self.schedule.restore(alone)
            any_order = SearchContext(
                bound=ANY_COST,
                budget=UNLIMITED,
                should_stop=stop_after(MOST_ORDERS),
                decide_heating=False,
                good_enough=lambda _: True,
            )
            found = BranchAndBound(self.schedule, any_order).run()
        if found is None:
            return self._relaxed()
        if found.cost.violation_s and repair:
            found, self.may_be_feasible = repaired(self.schedule, found)
            reference = None
        self.schedule.restore(found.snapshot)
        context = SearchContext(bound=found.cost.total, reference=reference)
        return BranchAndBound(self.schedule, context).run() or found

    def _relaxed(self) -> Solution:
        """What has happened leaves no order that can be kept: the times without any, said to be infeasible."""
        self.schedule = PartialSchedule(self.problem)
        times = self.schedule.times()
        cost = objective.cost_of(self.problem, times)
        total = cost.total + objective.VIOLATION
        cost = replace(cost, violation_s=cost.violation_s + 1, total=total)
        return Solution(self.problem, times, self.schedule.save(), total, cost)

    def seek_feasible(self, should_stop: Stop = never_stop) -> None:
        """Before a first plan is shown that is not feasible: some steps to find one that is, if there may be one."""
        better = True
        while self.may_be_feasible and self.best.cost.violation_s and self.steps < AT_ONCE and not should_stop():
            if better and forced_s(self.problem, self.best.times):
                self.may_be_feasible = False
                return
            better = self.step(should_stop)

    def step(self, should_stop: Stop = never_stop) -> bool:
        """One step of the search; says whether `best` has become better."""
        self.steps += 1
        if self.proved:
            return False
        count = len(self.problem.chains)
        if self.starts and (self.fresh or self.stale > PATIENCE):
            self.starts -= 1
            self.stale = 0
            return self._build(should_stop)
        if count <= FEW and self.stale > 30 * count and not self.tried_all:
            return self._try_all(should_stop)
        return self._destroy_and_repair(should_stop)

    def _build(self, should_stop: Stop) -> bool:
        """A plan from nothing."""
        rng = self.rng if self.starts < STARTS - 1 else None
        self.schedule = PartialSchedule(self.problem)
        if self.careful:
            found = self._insert(rng, should_stop, BUILD)
        else:
            found = build(self.schedule, least_slack_first(self.problem, rng), should_stop)
        if found is None or found.cost.total >= self.best.cost.total:
            self.schedule.restore(self.best.snapshot)
            return False
        self.best = self.current = found
        return True

    def _insert(
        self, rng: random.Random | None = None, should_stop: Stop = never_stop, budget: int = 1
    ) -> Solution | None:
        """A plan from nothing, chain by chain, where a chain finds no place as it is."""
        self.alone = self.alone or [alone(self.problem, chain) for chain in self.problem.chains]
        self.schedule = PartialSchedule(self.problem)
        return insert_all(
            self.schedule, self.alone, insertion_order(self.problem, self.alone, rng), should_stop, budget
        )

    def _try_all(self, should_stop: Stop) -> bool:
        """All orders, or as many as there is patience for; then the search goes on as before, without a proof."""
        self.schedule = PartialSchedule(self.problem)
        self.tried_all = True
        start, before = self.schedule.save(), self.best
        every = list(islice(product(*self.choices), MOST_CHOICES + 1))
        complete = len(every) <= MOST_CHOICES
        enough = stop_after(MOST_ORDERS, should_stop)
        for chosen in every if complete else [tuple(one.instead for one in self.best.times)]:
            self.schedule.restore(start)
            for number, choice in enumerate(chosen):
                self.schedule.choose(number, choice)
            self.schedule.optimise()
            context = SearchContext(bound=self.best.cost.total, budget=UNLIMITED, should_stop=enough)
            search = BranchAndBound(self.schedule, context)
            found = search.run()
            complete = complete and search.complete
            if found:
                self.best = self.current = found
        self.proved = complete
        return self.best is not before

    def _destroy_and_repair(self, should_stop: Stop) -> bool:
        """Take some chains out of the order and put them back where they cost least."""
        free = choose_neighbourhood(self.problem, self.current.times, self.rng)
        schedule = self.schedule
        schedule.restore(self.current.snapshot)
        reference = reference_order(schedule)
        schedule.release(set(free))
        for number in free:
            if len(self.choices[number]) > 1 and self.rng.random() < CHANGE:
                schedule.choose(number, self.rng.choice(self.choices[number]))
        schedule.optimise()
        self.stale += 1
        threshold = ACCEPT_EARLY if self.steps <= NEAR * len(self.problem.chains) ** 2 else ACCEPT_LATE
        limit = self.current.cost.total + int(threshold * self.best.cost.total * self.rng.random())
        found = self._reinsert(free, reference, limit, should_stop)
        if found is None:
            return False
        self.current = found
        if found.cost.total < self.best.cost.total:
            self.best = found
            self.stale = 0
            return True
        return False

    def _reinsert(
        self, free: list[int], reference: ReferenceOrder | None, limit: int, should_stop: Stop
    ) -> Solution | None:
        """The repair operator: put released chains back one by one; None when the limit cannot be kept."""
        schedule, rng = self.schedule, self.rng
        everyone = set(range(len(self.problem.chains)))
        aside = set(free)
        found: Solution | None = None
        done: set[int] = set()
        for number in free:
            aside.discard(number)
            done.add(number)
            schedule.consider(everyone - aside)
            context = SearchContext(
                bound=limit, budget=BUDGET, reference=reference, free=frozenset(done), should_stop=should_stop, rng=rng
            )
            found = BranchAndBound(schedule, context).run()
            if found is None:
                break
            schedule.restore(found.snapshot)
        schedule.consider(everyone)
        return found

    def plan(self) -> Plan:
        """The best plan so far."""
        times = break_symmetry(self.problem, self.best.times)
        return Plan(self.problem, times, self.best.cost, proved=self.proved)


def improve(
    problem: Problem,
    start: tuple[Times, ...] | None = None,
    should_stop: Stop = never_stop,
    *,
    may_be_feasible: bool | None = None,
    least_steps: int = 0,
    most_steps: int | None = None,
    dropped: Stop = never_stop,
) -> Iterator[Plan]:
    """A feasible plan at once, then each better one as it is found, until it is proved or time is up.

    With ``most_steps`` it is counted, and finds the same however fast the machine is.

    Args:
        problem: what to plan.
        start: a timetable to start from.
        should_stop: asked between steps; the search itself reads no clock.
        may_be_feasible: as for `Search`.
        least_steps: so many steps are taken whatever ``should_stop`` says, while something will be late.
        most_steps: so many steps at most, and ``STALE`` after the last better plan unless something will be late.
        dropped: whether nobody wants the plans any more, which ends the search all the same.
    """
    search = Search(problem, start, may_be_feasible=may_be_feasible)
    better_at = 0

    def ends() -> bool:
        cost = search.best.cost
        late = bool(cost.late_s or cost.violation_s)
        if most_steps is not None and search.steps >= (most_steps if late else min(most_steps, better_at + STALE)):
            return True
        goes_on = search.steps < least_steps and late
        return should_stop() and (dropped() or not goes_on)

    search.seek_feasible(ends)
    if search.fresh and len(problem.chains) <= FEW:
        # Of a few the next is as good as at once, and the first is often early: it puts one after the other.
        search.step(ends)
    yield search.plan()
    while not search.proved and not ends():
        if search.step(ends):
            better_at = search.steps
            yield search.plan()


def plan(problem: Problem, steps: int = 200, should_stop: Stop = never_stop) -> Plan:
    """The best plan within a number of steps; fewer once nothing better is found, unless something will be late.

    Args:
        problem: what to plan.
        steps: how many steps the search may take after the first plan.
        should_stop: asked between steps.
    """
    search = Search(problem)
    better_at = 0
    while search.steps < steps and not (search.proved or should_stop()):
        if search.step(should_stop):
            better_at = search.steps
        cost = search.best.cost
        done = search.tried_all or len(problem.chains) > FEW
        if done and search.steps - better_at >= STALE and not (cost.late_s or cost.violation_s):
            break
    return search.plan()
