"""The planner: a sound plan at once, then better ones for as long as it is let.

After the first plan, the search takes one to three bakes out of the order at a time, those that suffer most and
those beside them in the oven more often than others, and lets them find a better order among the rest. It is
deterministic: it counts its own steps and reads no clock, and the same problem gives the same plans.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace

from proofbell.planner import objective
from proofbell.planner.greedy import Reserved, place, place_all, reserve
from proofbell.planner.model import Plan, Problem, Times
from proofbell.planner.repair.repair import mended
from proofbell.planner.solver.branch_and_bound import NO_END, Dive, Found, Guide, Stop, at_most, go_on, guide_of
from proofbell.planner.solver.neighbourhood import chosen
from proofbell.planner.solver.network import HARD
from proofbell.planner.solver.partial_schedule import Draft
from proofbell.planner.symmetry import in_order_of_letters

NEVER = HARD
"""Dearer than any timetable in which every order is kept."""

BUDGET = 140
"""Orders timed for each bake that is put back."""

BUILD = 80
"""Orders timed for each bake while a plan is built from nothing."""

STARTS = 3
"""Plans built from nothing: at once for a new day, or when a day under way has not got better for long."""

PATIENCE = 30
"""Steps without a better plan after which that is so."""

AT_ONCE = 60
"""Steps of the search taken before a first plan is shown that is not sound, though a sound one may be had."""

HEAT, HOT = 0.1, 0.25
"""A dearer plan is gone on from if it is dearer by less than a random part of this share: at first, and later on."""

NEAR = 3
"""Steps for each pair of bakes, after which what is near has been tried: then only a leap finds more."""

FEW = 4
"""Up to so many bakes, all orders are tried in the end."""

MOST_ORDERS = 4000
"""So many orders are timed to prove that there is no better plan."""


class Search:
    """One problem's search; `best` is sound from the beginning wherever a sound plan was found.

    ``hope`` says that a first plan is not sound, and that it is not known that none is.
    """

    def __init__(
        self, problem: Problem, start: tuple[Times, ...] | None = None, seed: int = 1, *, hope: bool | None = None
    ) -> None:
        """Find a first plan.

        Args:
            problem: what to plan.
            start: a timetable to start from, such as the plan so far; its order is kept to begin with.
            seed: another seed gives another course of the search.
            hope: where the order of the start has been mended as well as can be at once, whether a sound one is hoped
                for; None where it has not.
        """
        self.problem = problem
        self.rng = random.Random(seed)  # noqa: S311 - nothing secret
        self.draft = Draft(problem)
        self.steps = 0
        self.proved = False
        self.stale = 0
        self.tried_all = False
        self.starts = STARTS
        self.fresh = start is None
        times = start if start is not None else self._first_times()
        self.hope = bool(hope)
        found = self._follow(times, mend=hope is None)
        self.current = found
        self.best = found

    def _first_times(self) -> tuple[Times, ...]:
        begun = [chain for chain in self.problem.chains if chain.steps[0].begun_s is not None]
        known: dict[str, Times] = {}
        if begun:
            draft = Draft(Problem(tuple(begun), self.problem.capacity, self.problem.now_s))
            found = Dive(draft, NEVER, 60).run()
            if found is not None:
                known = {times.letter: times for times in found.times}
        return place_all(self.problem, known)

    def _follow(self, times: tuple[Times, ...], *, mend: bool) -> Found:
        """The cheapest timetable that uses hands and oven in the order of a given one."""
        guide: Guide | None = guide_of(self.draft, times)
        alone = self.draft.save()
        found = Dive(self.draft, NEVER, 0, guide, heats=False, in_time=not self.fresh).run()
        if found is None:
            # What has happened since stands against that order: any order that can be kept will do.
            self.draft.restore(alone)
            patience = at_most(MOST_ORDERS)
            found = Dive(self.draft, NEVER, NO_END, None, None, patience, heats=False, will_do=lambda _: True).run()
        if found is None:
            return self._as_it_is()
        if found.cost.over_s and mend:
            found, self.hope = mended(self.draft, found)
            guide = None
        self.draft.restore(found.kept)
        return Dive(self.draft, found.cost.total, 0, guide).run() or found

    def _as_it_is(self) -> Found:
        """What has happened leaves no order that can be kept: the times without one, said to be unsound."""
        self.draft = Draft(self.problem)
        times = self.draft.times()
        cost = objective.cost_of(self.problem, times)
        total = cost.total + objective.OVER
        return Found(times, replace(cost, over_s=cost.over_s + 1, total=total), self.draft.save(), total)

    def press_on(self, should_stop: Stop = go_on) -> None:
        """Before a first plan is shown that is not sound: some steps to find one that is, if there is hope."""
        while self.hope and self.best.cost.over_s and self.steps < AT_ONCE and not should_stop():
            self.step(should_stop)

    def step(self, should_stop: Stop = go_on) -> bool:
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
        return self._loosen(should_stop)

    def _build(self, should_stop: Stop) -> bool:
        """A plan from nothing: bakes are put in one by one, the most pressed first, among those already in."""
        problem, rng = self.problem, self.rng
        pressed = []
        for number, chain in enumerate(problem.chains):
            slack_s = (chain.ready_by_s or 0) - sum(step.nominal_s for step in chain.steps)
            pressed.append((slack_s + (rng.randrange(3600) if self.starts < STARTS - 1 else 0), number))
            if chain.steps[0].begun_s is not None:
                pressed[-1] = -NEVER, number
        order = [number for _, number in sorted(pressed)]
        self.draft = Draft(problem)
        found = self._put_in(order, should_stop)
        if found is None or found.cost.total >= self.best.cost.total:
            self.draft.restore(self.best.kept)
            return False
        self.best = self.current = found
        return True

    def _put_in(self, order: list[int], should_stop: Stop) -> Found | None:
        """Put bakes in one by one; where no order is found in time, a bake goes where there is still room."""
        draft, problem = self.draft, self.problem
        inside: set[int] = set()
        found: Found | None = None
        for number in order:
            times = list(draft.times())
            reserved = Reserved([[] for _ in range(problem.capacity.people)])
            for other in sorted(inside):
                reserve(reserved, problem.chains[other], times[other])
            if problem.chains[number].steps[0].begun_s is None:
                times[number] = place(problem, reserved, problem.chains[number])
            inside.add(number)
            draft.look_at(inside)
            here = draft.save()
            found = Dive(draft, NEVER, 0, guide_of(draft, tuple(times)), heats=False).run()
            if found is None:
                break
            draft.restore(here)
            found = Dive(draft, found.total, BUILD, None, None, should_stop).run() or found
            draft.restore(found.kept)
        draft.look_at(set(range(len(problem.chains))))
        return found

    def _try_all(self, should_stop: Stop) -> bool:
        """All orders, or as many as there is patience for; then the search goes on as before, without a proof."""
        self.draft = Draft(self.problem)
        self.tried_all = True
        dive = Dive(self.draft, self.best.cost.total, NO_END, should_stop=at_most(MOST_ORDERS, should_stop))
        found = dive.run()
        self.proved = dive.complete
        if found:
            self.best = self.current = found
        return found is not None

    def _loosen(self, should_stop: Stop) -> bool:
        """Take some bakes out of the order and put them back one by one where they cost least."""
        free = chosen(self.problem, self.current.times, self.rng)
        draft = self.draft
        draft.restore(self.current.kept)
        guide = guide_of(draft)
        draft.release(set(free))
        draft.settle()
        self.stale += 1
        heat = HEAT if self.steps <= NEAR * len(self.problem.chains) ** 2 else HOT
        limit = self.current.cost.total + int(heat * self.best.cost.total * self.rng.random())
        found = self._insert(free, guide, limit, should_stop)
        if found is None:
            return False
        self.current = found
        if found.cost.total < self.best.cost.total:
            self.best = found
            self.stale = 0
            return True
        return False

    def _insert(self, free: list[int], guide: Guide | None, limit: int, should_stop: Stop) -> Found | None:
        """Put released bakes back one by one; None when the limit cannot be kept."""
        draft, rng = self.draft, self.rng
        everyone = set(range(len(self.problem.chains)))
        aside = set(free)
        found: Found | None = None
        done: set[int] = set()
        for number in free:
            aside.discard(number)
            done.add(number)
            draft.look_at(everyone - aside)
            found = Dive(draft, limit, BUDGET, guide, set(done), should_stop, rng).run()
            if found is None:
                break
            draft.restore(found.kept)
        draft.look_at(everyone)
        return found

    def plan(self) -> Plan:
        """The best plan so far."""
        times = in_order_of_letters(self.problem, self.best.times)
        return Plan(self.problem, times, self.best.cost, proved=self.proved)


def improve(
    problem: Problem, start: tuple[Times, ...] | None = None, should_stop: Stop = go_on, *, hope: bool | None = None
) -> Iterator[Plan]:
    """A sound plan at once, then each better one as it is found, until it is proved or time is up.

    Args:
        problem: what to plan.
        start: a timetable to start from.
        should_stop: asked between steps; the search itself reads no clock.
        hope: as for `Search`.
    """
    search = Search(problem, start, hope=hope)
    search.press_on(should_stop)
    yield search.plan()
    while not search.proved and not should_stop():
        if search.step(should_stop):
            yield search.plan()


def plan(problem: Problem, steps: int = 200, should_stop: Stop = go_on) -> Plan:
    """The best plan within a number of steps.

    Args:
        problem: what to plan.
        steps: how many steps the search may take after the first plan.
        should_stop: asked between steps.
    """
    search = Search(problem)
    while search.steps < steps and not (search.proved or should_stop()):
        search.step(should_stop)
    return search.plan()
