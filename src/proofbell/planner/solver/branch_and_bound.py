"""Resolve a draft's conflicts one by one, trying the cheaper order first and going back where it pays.

An order that cannot come out cheaper than another is timed only when its turn comes, if ever.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from heapq import heappop, heappush

from proofbell.planner import objective
from proofbell.planner.model import Cost, Times
from proofbell.planner.solver import conflicts
from proofbell.planner.solver.partial_schedule import HANDS, HOT, OVEN, Decision, Draft, Kept

Spans = list[tuple[int, int]]
Guide = tuple[Spans, Spans]
BLINK = 0.1
NO_END = 1_000_000
Stop = Callable[[], bool]


Waiting = tuple[int, int, Kept, Decision | None]
"""A state that was passed over: its cost or less, a number, and the decision that is still to be timed in it."""


def go_on() -> bool:
    """Never stop of oneself."""
    return False


def at_most(times: int, should_stop: Stop = go_on) -> Stop:
    """Stop after so many questions, or before if another says so."""
    asked = 0

    def enough() -> bool:
        nonlocal asked
        asked += 1
        return asked > times or should_stop()

    return enough


@dataclass(frozen=True, slots=True)
class Found:
    """A timetable without conflicts, its cost, and the draft's state that gave it."""

    times: tuple[Times, ...]
    cost: Cost
    kept: Kept
    total: int


def guide_of(draft: Draft, times: tuple[Times, ...] | None = None) -> Guide:
    """When each use of the hands and of the oven begins and ends, in the draft or in a given timetable."""
    t = draft.timing.seconds()
    if times is not None:
        t = draft.node_times(times)
    spans = [
        [(t[task.begin[0]] + task.begin[1], t[task.end[0]] + task.end[1]) for task in tasks]
        for tasks in (draft.tasks, draft.uses)
    ]
    return spans[0], spans[1]


class Dive:
    """One search below a draft's present state."""

    def __init__(
        self,
        draft: Draft,
        bound: int,
        budget: int,
        guide: Guide | None = None,
        free: set[int] | None = None,
        should_stop: Stop | None = None,
        rng: random.Random | None = None,
        *,
        heats: bool = True,
        in_time: bool = False,
        will_do: Callable[[Found], bool] | None = None,
        by_draft: bool = False,
    ) -> None:
        """Prepare.

        Args:
            draft: searched from its present state, and left in any state.
            bound: only timetables cheaper than this are of interest.
            budget: about so many orders are timed; NO_END or more tries all there are, in little memory.
            guide: uses begin in this order wherever no free bake is touched.
            free: indices of the bakes whose order is open.
            should_stop: asked before each order is timed.
            rng: now and then the dearer order goes first, by this; None for never.
            heats: whether to decide from when the oven is kept hot.
            in_time: conflicts in order of time, not the worst first: quicker where a guide decides them anyway.
            will_do: whether a timetable is good enough to look for no other.
            by_draft: timetables are compared by what the draft has been told they cost, not by the objective alone.
        """
        self.draft = draft
        self.bound = bound
        self.budget = budget
        self.guide = guide
        self.free = free
        self.should_stop = should_stop
        self.rng = rng
        self.heats = heats
        self.in_time = in_time
        self.will_do = will_do
        self.best: Found | None = None
        self.by_draft = by_draft or len(draft.looking) < len(draft.problem.chains)
        self.complete = True
        self.open: list[Waiting] = []
        self.kept_count = 0
        self.by_cost = budget < NO_END

    def run(self) -> Found | None:
        """The cheapest timetable found, if any is cheaper than the bound."""
        self._descend()
        while self.open:
            if self._enough():
                self.complete = all(entry[0] >= self.bound for entry in self.open)
                break
            if not self._next():
                break
            self._descend()
        return self.best

    def _enough(self) -> bool:
        """Whether to leave the rest; by cost, a first way down is always finished."""
        if self.best is None and self.by_cost:
            return self.budget <= 0
        if self.best is not None and (self.budget <= 0 or (self.will_do is not None and self.will_do(self.best))):
            return True
        return self.should_stop is not None and self.should_stop()

    def _choices(self) -> list[Decision]:
        choices = conflicts.worst(self.draft, in_time=self.in_time)
        if not choices:
            return conflicts.next_heat(self.draft, every=not self.by_cost) if self.heats else []
        return self._guided(choices)

    def _guided(self, choices: list[Decision]) -> list[Decision]:
        """Leave only the guide's order where no free bake is touched."""
        draft, guide = self.draft, self.guide
        if guide is None:
            return choices
        tasks, spans = (draft.tasks, guide[0]) if choices[0][0] == HANDS else (draft.uses, guide[1])
        if self.free and any(tasks[at].chain in self.free for _, *pair in choices for at in pair):
            return choices
        kept = [choice for choice in choices if spans[choice[1]][1] <= spans[choice[2]][0]]
        return kept[:1] or choices

    def _descend(self) -> None:
        """Go down to the bottom by the cheapest choices; what is passed over is kept for later."""
        while choices := self._forced():
            below = self._below(choices)
            if not below:
                return
            _, kept, _ = below[0]
            for dearer in reversed(below[1:]):
                self._keep(*dearer)
            self.draft.restore(kept, again=False)

    def _keep(self, cost: int, kept: Kept, untimed: Decision | None) -> None:
        self.kept_count += 1
        if self.by_cost:
            heappush(self.open, (cost, self.kept_count, kept, untimed))
        else:
            self.open.append((cost, self.kept_count, kept, untimed))

    def _next(self) -> bool:
        """Take up the next state that was passed over, if any is worth it."""
        draft = self.draft
        while self.open:
            cost, _, kept, untimed = heappop(self.open) if self.by_cost else self.open.pop()
            if cost >= self.bound:
                continue
            draft.restore(kept, again=untimed is not None)
            if untimed is None:
                return True
            self._try(untimed)
            cost = draft.cost()
            if cost < self.bound:
                if not (self.by_cost and self.open and self.open[0][0] < cost):
                    return True
                self._keep(cost, draft.save(), None)
        return False

    def _forced(self) -> list[Decision]:
        """Decide whatever leaves no choice; the next real choice, or none when the bottom is reached."""
        draft = self.draft
        while True:
            choices = self._choices()
            if not choices:
                self._take()
                return []
            if any(draft.decided(choice) for choice in choices):
                # What is decided cannot be kept: some bake's own bounds stand against it.
                return []
            if len(choices) > 1:
                return choices
            self._try(choices[0])
            if draft.cost() >= self.bound:
                return []

    def _below(self, choices: list[Decision]) -> list[tuple[int, Kept, Decision | None]]:
        """The states that each choice leads to, with their costs, in the order to try them.

        A choice that cannot be cheaper than another is left untimed until its turn comes.
        """
        draft = self.draft
        here = draft.save()
        dearer_first = self.rng is not None and self.rng.random() < BLINK
        hopes = sorted((draft.at_least(choice), number) for number, choice in enumerate(choices))
        below: list[tuple[int, int, Kept, Decision | None]] = []
        for at, (hope, number) in enumerate(hopes):
            if hope >= self.bound:
                break
            if below and below[0][0] <= hope and not dearer_first:
                below.append((hope, number, here, choices[number]))
                continue
            if at:
                draft.restore(here)
            self._try(choices[number])
            cost = draft.cost()
            if cost < self.bound:
                below.append((cost, number, draft.save(), None))
                below.sort(key=lambda entry: entry[:2])
        if dearer_first and len(below) > 1:
            below.reverse()
        return [(cost, kept, untimed) for cost, _, kept, untimed in below]

    def _try(self, choice: Decision) -> None:
        self.budget -= 1
        if choice[0] == HOT and choice[1] >= 0 and not self.draft.facts.together[choice[1]][choice[2]]:
            self.draft.decide((OVEN, choice[1], choice[2]))
        self.draft.decide(choice)
        self.draft.settle()

    def _take(self) -> None:
        times = self.draft.times()
        cost = objective.cost_of(self.draft.problem, times)
        total = self.draft.cost() if self.by_draft else cost.total
        if total < self.bound:
            self.bound = total
            self.best = Found(times, cost, self.draft.save(), total)
