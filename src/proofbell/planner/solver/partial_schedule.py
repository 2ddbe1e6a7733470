"""A plan in the making: the net of one problem's moments, and what has been decided about hands and oven.

A draft starts with no decisions at all: every bake at its own best times, as if it were alone. Decisions order
two uses of hands or oven, or say from which bake the oven is kept hot. Only what the present times make
necessary is ever decided, so a draft stays loose where nothing presses.
"""

from __future__ import annotations

from dataclasses import dataclass

from proofbell.planner import objective
from proofbell.planner.model import Problem, Times
from proofbell.planner.solver.network import HARD, NOBODY, Saved
from proofbell.planner.solver.time_network import Moments

Decision = tuple[str, int, int]

HANDS = "hands"
OVEN = "oven"
HOT = "hot"
FRESH = -2
NOW = -3

STAY = 2
"""Cost of each second that one moment strays from where it is drawn to."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A saved state of a draft."""

    timing: Saved
    hands: dict[tuple[int, int], int]
    oven: dict[tuple[int, int], int]
    hot: dict[int, tuple[int, int, int, int]]
    extra: int


class Draft(Moments):
    """One problem's net, its uses of hands and oven, and the decisions so far."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem)
        self.hands: dict[tuple[int, int], int] = {}
        self.oven: dict[tuple[int, int], int] = {}
        self.hot: dict[int, tuple[int, int, int, int]] = {}
        self.extra = 0
        self.look_at(set(range(len(problem.chains))))

    def decide(self, decision: Decision) -> None:
        """Add one decision; `settle` afterwards.

        Args:
            decision: ("hands", i, j): use i of the hands before use j; ("oven", i, j): likewise for the oven;
                ("hot", i, j): the oven is kept hot for j since i, or FRESH: heated afresh, or NOW: since now.
        """
        about, one, other = decision
        if about == HANDS:
            first, second = self.tasks[one], self.tasks[other]
            if (one, other) not in self.hands:
                self.hands[one, other] = self.link(first.end, second.begin, 0, (-HARD, 0))
        elif about == OVEN:
            if (one, other) not in self.oven:
                first, second = self.uses[one], self.uses[other]
                self.oven[one, other] = self.link(first.end, second.begin, self.facts.change[one][other], (-HARD, 0))
        else:
            self._keep_hot(one, other)

    def turn(self, decision: Decision) -> None:
        """Decide the other way round about two uses of hands or oven, and settle."""
        about, one, other = decision
        link = (self.hands if about == HANDS else self.oven).pop((one, other))
        if link >= 0:
            self.timing.drop_link(link)
        self.decide((about, other, one))
        self.settle()

    def at_least(self, decision: Decision) -> int:
        """A cost that no plan with this decision falls below; without it, the present times are the cheapest."""
        about, one, other = decision
        if about == HOT:
            return self.cost()
        if about == HANDS:
            first, second, apart_s = self.tasks[one].end, self.tasks[other].begin, 0
        else:
            first, second = self.uses[one].end, self.uses[other].begin
            apart_s = self.facts.change[one][other]
        if first[0] == second[0]:
            return self.cost()
        return self.cost() + self.timing.least_rise(first[0], second[0], apart_s + first[1] - second[1])

    def decided(self, decision: Decision) -> bool:
        """Whether an order of hands or oven has been decided already."""
        about, one, other = decision
        orders = self.hands if about == HANDS else self.oven
        return about != HOT and (one, other) in orders

    def _keep_hot(self, since: int, number: int) -> None:
        use = self.uses[number]
        slopes = (0, objective.OVEN)
        extra = 0
        link = after = NOBODY
        if since == FRESH:
            if self.facts.shares[number]:
                link = self.link(use.begin, use.end, 0, slopes)
            extra = objective.OVEN * (self.facts.heat_up[number] - self.facts.least_change[number])
        else:
            before = self.uses[since].end if since >= 0 else (0, self.problem.now_s)
            if self.facts.shares[number]:
                link = self.link(before, use.end, 0, slopes)
                if since >= 0:
                    after = self.link(self.uses[since].begin, use.begin, 0, (-HARD, 0))
            else:
                link = self.link(before, use.begin, self.facts.least_change[number], slopes)
        self.hot[number] = (since, link, after, extra)
        self.extra += extra

    def draw_to(self, times: tuple[Times, ...]) -> None:
        """Draw every moment to the one it has in a given timetable, lightly; `settle` afterwards.

        Before anything is decided.
        """
        now_s = self.problem.now_s
        self.timing.hold([max(wish_s, now_s) for wish_s in self.node_times(times)], (-STAY, STAY))

    def look_at(self, chains: set[int]) -> None:
        """Look for conflicts among these bakes only; the others stand aside."""
        self.looking = chains
        self.open_tasks = [entry for entry in enumerate(self.tasks) if entry[1].chain in chains]
        self.open_uses = [entry for entry in enumerate(self.uses) if entry[1].chain in chains]

    def release(self, chains: set[int]) -> None:
        """Take back every decision that touches one of these bakes; `settle` afterwards."""
        drop = self.timing.drop_link
        for tasks, orders in ((self.tasks, self.hands), (self.uses, self.oven)):
            for one, other in list(orders):
                if tasks[one].chain in chains or tasks[other].chain in chains:
                    link = orders.pop((one, other))
                    if link >= 0:
                        drop(link)
        for number, (since, *_) in list(self.hot.items()):
            touched = self.uses[number].chain in chains
            if touched or (since >= 0 and self.uses[since].chain in chains):
                self.cool(number)

    def cool(self, number: int) -> None:
        """Take back the decision from when the oven is kept hot for one use."""
        _, *links, extra = self.hot.pop(number)
        self.extra -= extra
        for link in links:
            if link >= 0:
                self.timing.drop_link(link)

    def hot_since(self, number: int) -> set[int]:
        """The uses from which, one after the other, the oven is kept hot for one use."""
        found: set[int] = set()
        while number in self.hot and self.hot[number][0] >= 0:
            number = self.hot[number][0]
            found.add(number)
        return found

    def cost(self) -> int:
        """The cost of the present times, open decisions left out: no plan that keeps these is cheaper."""
        return self.timing.cost() + self.constant + self.extra

    def save(self) -> Kept:
        """The present state, for `restore`."""
        return Kept(self.timing.save(), self.hands.copy(), self.oven.copy(), self.hot.copy(), self.extra)

    def restore(self, kept: Kept, *, again: bool = True) -> None:
        """Go back to a saved state.

        Args:
            kept: the state.
            again: whether it may be needed once more; if not, it is taken as it is.
        """
        self.timing.restore(kept.timing, again=again)
        self.hands = kept.hands.copy() if again else kept.hands
        self.oven = kept.oven.copy() if again else kept.oven
        self.hot = kept.hot.copy() if again else kept.hot
        self.extra = kept.extra
