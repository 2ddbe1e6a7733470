"""A plan in the making: the net of one problem's moments, and what has been decided about hands and oven.

A draft starts with no decisions at all: every bake at its own best times, as if it were alone. Decisions order
two uses of hands or oven, or say from which bake the oven is kept hot. Only what the present times make
necessary is ever decided, so a draft stays loose where nothing presses.
"""

from __future__ import annotations

from dataclasses import dataclass

from proofbell.bench import objective
from proofbell.bench.model import Chain, Problem, Step, Times
from proofbell.bench.net import HARD, NOBODY, Saved
from proofbell.bench.timing import Timing
from proofbell.bench.uses import OvenFacts, Point, Task

Decision = tuple[str, int, int]

HANDS = "hands"
OVEN = "oven"
HOT = "hot"
FRESH = -2
NOW = -3


@dataclass(frozen=True, slots=True)
class Kept:
    """A saved state of a draft."""

    timing: Saved
    hands: dict[tuple[int, int], int]
    oven: dict[tuple[int, int], int]
    hot: dict[int, tuple[int, int, int, int]]
    extra: int


class Draft:
    """One problem's net, its uses of hands and oven, and the decisions so far."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.timing = Timing()
        self.begin_at: list[list[Point]] = []
        self.end_at: list[list[Point]] = []
        self.tasks: list[Task] = []
        self.uses: list[Task] = []
        in_hand = sum(step.running and step.hands_s is None for chain in problem.chains for step in chain.steps)
        self.crowded = in_hand > problem.capacity.people
        for number, chain in enumerate(problem.chains):
            self._add_chain(number, chain)
        self.facts = OvenFacts(problem.capacity, self.uses)
        self.hands: dict[tuple[int, int], int] = {}
        self.oven: dict[tuple[int, int], int] = {}
        self.hot: dict[int, tuple[int, int, int, int]] = {}
        self.extra = 0
        self.look_at(set(range(len(problem.chains))))
        for number, use in enumerate(self.uses):
            if not use.begun:
                self._bound_first_heat(use)
            if not self.facts.shares[number]:
                self._link(use.begin, use.end, 0, (0, objective.OVEN))
        self.settle()
        self.constant = self._constant()

    # Building

    def _add_chain(self, number: int, chain: Chain) -> None:
        """Nodes and links of one bake, from its first step that has not ended."""
        now_s = self.problem.now_s
        begins: list[Point] = []
        ends: list[Point] = []
        self.begin_at.append(begins)
        self.end_at.append(ends)
        for at, step in enumerate(chain.steps):
            if step.ended_s is not None and step.begun_s is not None:
                begins.append((0, step.begun_s))
                ends.append((0, step.ended_s))
                continue
            if step.begun_s is not None:
                begin = (0, step.begun_s)
            elif at == 0:
                start = max(now_s, chain.not_before_s)
                begin = (self.timing.add_node(0, (start,), (-HARD, 0), 0), 0)
            else:
                begin = self._after(chain.steps[at - 1], ends[-1])
            begins.append(begin)
            ends.append(self._end_of(step, begin))
            self._add_uses(number, at, step)
        if not chain.steps[-1].ended:
            self._add_wish(chain, ends[-1])

    def _after(self, before: Step, end: Point) -> Point:
        """Where the step after another begins."""
        wait_s = before.wait_s
        if before.ended_s is not None:
            least_s = max(0, self.problem.now_s - before.ended_s)
            breaks = (end[1] + least_s, end[1] + max(wait_s, least_s))
            slopes = (-HARD, objective.WAIT, objective.OVER)
            return self.timing.add_node(0, breaks, slopes, 0), 0
        if wait_s == 0:
            return end
        node, offset = end
        breaks = (offset, offset + wait_s)
        return self.timing.add_node(node, breaks, (-HARD, objective.WAIT, objective.OVER), 0), 0

    def _end_of(self, step: Step, begin: Point) -> Point:
        """Where a step ends: at a fixed distance from its begin, or a node of its own."""
        least_s, most_s = step.bounds_s(self.problem.now_s)
        if least_s == most_s and step.kind == HANDS and not step.running:
            return begin[0], begin[1] + least_s
        weight = objective.stray_weight(step)
        node, offset = begin
        if least_s < step.nominal_s:
            breaks: tuple[int, ...] = (offset + least_s, offset + step.nominal_s, offset + most_s)
            slopes: tuple[int, ...] = (-HARD, -weight, weight, objective.OVER)
            pin = 1
        else:
            breaks = (offset + least_s, offset + most_s)
            slopes = (-HARD, weight, objective.OVER)
            pin = 0
        return self.timing.add_node(node, breaks, slopes, pin), 0

    def _add_uses(self, number: int, at: int, step: Step) -> None:
        begin, end = self.begin_at[number][at], self.end_at[number][at]
        if step.hands_s is None:
            if step.begun_s is not None and self.crowded:
                # More is in hand than there are hands: a fact. Each is taken to be done when it should be, or
                # they would wait for each other without end.
                end = (0, step.begun_s + step.bounds_s(self.problem.now_s)[0])
            last = self.tasks[-1] if self.tasks else None
            if last and last.end == begin and last.chain == number and not last.begun:
                # Hands stages that follow at once on each other are one use of hands.
                self.tasks[-1] = Task(last.begin, end, number, last.step, begun=False)
            else:
                self.tasks.append(Task(begin, end, number, at, step.running))
        else:
            past = step.begun_s is not None and step.begun_s + step.hands_s <= self.problem.now_s
            if step.hands_s and not past:
                until = (begin[0], begin[1] + step.hands_s)
                self.tasks.append(Task(begin, until, number, at, step.running))
            if step.hands_end_s:
                since = (end[0], end[1] - step.hands_end_s)
                self.tasks.append(Task(since, end, number, at, begun=False))
        if step.heats:
            first, last_heat = step.heats[0].oven_c, step.heats[-1].oven_c
            single = len(step.heats) == 1
            self.uses.append(Task(begin, end, number, at, step.running, step.trays, first, last_heat, single))

    def _add_wish(self, chain: Chain, end: Point) -> None:
        node, offset = end
        if chain.ready_by_s is None:
            self.timing.add_link(0, node, (self.problem.now_s - offset,), (0, objective.SOON))
        else:
            self.timing.add_link(0, node, (chain.ready_by_s - offset,), (-objective.EARLY, objective.LATE))
        if chain.latest_s is not None:
            self.timing.add_link(0, node, (chain.latest_s - offset,), (0, objective.OVER))

    def _bound_first_heat(self, use: Task) -> None:
        capacity = self.problem.capacity
        first_s = self.problem.now_s + capacity.change_s(capacity.oven_c, use.first_c)
        if use.begin[0]:
            self.timing.add_link(0, use.begin[0], (first_s - use.begin[1],), (-HARD, 0))

    def _constant(self) -> int:
        """What the net leaves out of the true cost, apart from decisions still open."""
        times = self.times()
        cost = objective.cost_of(self.problem, times)
        known = cost.total - objective.OVEN * cost.oven_s
        now_s = self.problem.now_s
        for number, use in enumerate(self.uses):
            if self.facts.shares[number]:
                continue
            moments = times[use.chain]
            begin_s, end_s = moments.begins_s[use.step], moments.ends_s[use.step]
            if use.begun:
                spent_s = end_s - now_s if self.facts.hot_now else end_s - begin_s + self.facts.heat_up[number]
            else:
                spent_s = end_s - begin_s + self.facts.least_change[number]
            known += objective.OVEN * spent_s
        return known - self.timing.cost()

    # Deciding

    def _link(self, tail: Point, head: Point, apart_s: int, slopes: tuple[int, int]) -> int:
        """A link between two points that are on different nodes; NOBODY otherwise."""
        if tail[0] == head[0]:
            return NOBODY
        return self.timing.add_link(tail[0], head[0], (apart_s + tail[1] - head[1],), slopes)

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
                self.hands[one, other] = self._link(first.end, second.begin, 0, (-HARD, 0))
        elif about == OVEN:
            if (one, other) not in self.oven:
                first, second = self.uses[one], self.uses[other]
                self.oven[one, other] = self._link(first.end, second.begin, self.facts.change[one][other], (-HARD, 0))
        else:
            self._keep_hot(one, other)

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
                link = self._link(use.begin, use.end, 0, slopes)
            extra = objective.OVEN * (self.facts.heat_up[number] - self.facts.least_change[number])
        else:
            before = self.uses[since].end if since >= 0 else (0, self.problem.now_s)
            if self.facts.shares[number]:
                link = self._link(before, use.end, 0, slopes)
                if since >= 0:
                    after = self._link(self.uses[since].begin, use.begin, 0, (-HARD, 0))
            else:
                link = self._link(before, use.begin, self.facts.least_change[number], slopes)
        self.hot[number] = (since, link, after, extra)
        self.extra += extra

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

    def settle(self) -> bool:
        """Find the cheapest times for what is decided."""
        return self.timing.settle()

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

    def times(self) -> tuple[Times, ...]:
        """The present times of every step."""
        t = self.timing.seconds()
        return tuple(
            Times(
                chain.letter,
                tuple([t[node] + offset for node, offset in begins]),
                tuple([t[node] + offset for node, offset in ends]),
            )
            for chain, begins, ends in zip(self.problem.chains, self.begin_at, self.end_at, strict=True)
        )

    def node_times(self, times: tuple[Times, ...]) -> list[int]:
        """The time of every node in a given timetable of the same problem, seconds."""
        t = [0] * self.timing.nodes
        for moments, begins, ends in zip(times, self.begin_at, self.end_at, strict=True):
            for at, (begin, end) in enumerate(zip(begins, ends, strict=True)):
                if begin[0]:
                    t[begin[0]] = moments.begins_s[at] - begin[1]
                if end[0]:
                    t[end[0]] = moments.ends_s[at] - end[1]
        return t
