"""One problem as a constraint network: when each step may begin and end, and what that costs.

Every chain is at its own best times, as if it were alone; its uses of hands and oven are noted, not yet ordered.
"""

from __future__ import annotations

from proofbell.planner import objective
from proofbell.planner.plan import Times
from proofbell.planner.problem import Chain, Flexibility, Problem, Step
from proofbell.planner.solver.network import HARD, NO_ARC, SHIFT, ConstraintNetwork
from proofbell.planner.solver.network_simplex import NetworkSimplex
from proofbell.planner.solver.resources import OvenSetup, Point, ResourceUse


def length_cost(step: Step, least_s: int, most_s: int) -> tuple[tuple[int, ...], tuple[int, ...], int]:
    """Breakpoints and slopes of what the length of a step costs, and which of them it is best at."""
    weight = objective.deviation_weight(step)
    if step.shared and not step.flat and not step.running:
        breaks, slopes = objective.shared_arc(least_s, step.nominal_s, most_s, -HARD)
        return breaks, slopes, breaks.index(step.nominal_s)
    if least_s < step.nominal_s:
        return (least_s, step.nominal_s, most_s), (-HARD, -weight, weight, objective.VIOLATION), 1
    return (least_s, most_s), (-HARD, weight, objective.VIOLATION), 0


class TimeNetwork:
    """The network of one problem, and its uses of hands and oven."""

    def __init__(self, problem: Problem, *, settled: bool = True) -> None:
        """Build the network.

        Args:
            problem: what it is of.
            settled: whether to find the cheapest times at once. Without them the cost is short of what all times have
                alike; that does where the times are drawn elsewhere before they are asked for.
        """
        self.problem = problem
        self.network = ConstraintNetwork()
        self.simplex = NetworkSimplex(self.network)
        self.begin_at: list[list[Point]] = []
        self.end_at: list[list[Point]] = []
        self.hand_uses: list[ResourceUse] = []
        self.oven_uses: list[ResourceUse] = []
        self.length_arcs: dict[tuple[int, int], int] = {}
        self.gone_on_arcs: dict[tuple[int, int], tuple[int, ...]] = {}
        in_hand = sum(step.running and step.hands_s is None for chain in problem.chains for step in chain.steps)
        self.overbooked = in_hand > problem.capacity.people
        for number, chain in enumerate(problem.chains):
            self._add_chain(number, chain)
        for begin_s, end_s in problem.quiet:
            self.hand_uses.append(ResourceUse((0, begin_s), (0, end_s), -1, -1, begun=False))
        self.setup = OvenSetup(problem.capacity, self.oven_uses)
        for number, use in enumerate(self.oven_uses):
            if not use.begun:
                self._bound_first_heat(use)
            if not self.setup.shares[number]:
                self.constrain(use.begin, use.end, 0, (0, objective.OVEN))
        self.constant = 0
        if settled:
            self.optimise()
            self.constant = self._constant()

    def _add_chain(self, number: int, chain: Chain) -> None:
        """Nodes and arcs of one chain, from its first step that has not ended."""
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
            elif not chain.before(at):
                start = now_s if step.ahead else max(now_s, chain.not_before_s)
                begin = (self.network.add_node(0, (start,), (-HARD, 0), 0), 0)
            else:
                first, *others = chain.before(at)
                begin = self._after(chain.steps[first], ends[first])
                for one in others:
                    self._join(chain.steps[one], ends[one], begin)
                if chain.not_before_s > now_s and any(chain.steps[one].ahead for one in chain.before(at)):
                    self.network.add_arc(0, begin[0], (chain.not_before_s - begin[1],), (-HARD, 0))
            begins.append(begin)
            ends.append(self._end_of(step, begin))
            if step.instead is not None and step.begun_s is None:
                self.length_arcs[number, at] = self.network.tree_arc[ends[-1][0]]
            if step.since is not None and step.begun_s is None:
                self._go_on(number, chain, at)
            self._add_uses(number, at, step)
        if not chain.steps[-1].ended:
            self._add_due_date(chain, ends[-1])

    def _after(self, before: Step, end: Point) -> Point:
        """Where the step after another begins."""
        wait_s = before.wait_s
        if before.ended_s is not None:
            least_s = max(0, self.problem.now_s - before.ended_s)
            breaks = (end[1] + least_s, end[1] + max(wait_s, least_s))
            slopes = (-HARD, objective.WAIT, objective.VIOLATION)
            return self.network.add_node(0, breaks, slopes, 0), 0
        if wait_s == 0:
            return end
        node, offset = end
        breaks = (offset, offset + wait_s)
        return self.network.add_node(node, breaks, (-HARD, objective.WAIT, objective.VIOLATION), 0), 0

    def _join(self, before: Step, end: Point, begin: Point) -> None:
        """Let a step that begins after another begin after this one as well."""
        gone_s = 0 if before.ended_s is None else max(0, self.problem.now_s - before.ended_s)
        apart_s = end[1] + gone_s - begin[1]
        wait_s = max(0, before.wait_s - gone_s)
        breaks = (apart_s, apart_s + wait_s) if wait_s else (apart_s,)
        slopes = (-HARD, objective.WAIT, objective.VIOLATION) if wait_s else (-HARD, objective.VIOLATION)
        self.network.add_arc(end[0], begin[0], breaks, slopes)

    def _go_on(self, number: int, chain: Chain, at: int) -> None:
        """Bound the time from the begin of the step that goes on until this one begins."""
        since = chain.steps[at].since
        if since is not None:
            before, lag_s = chain.steps[since], chain.steps[at].lag_s
            arc = self._gone_on_arc(number, since, at, before, lag_s)
            self.gone_on_arcs[number, since] = (*self.gone_on_arcs.get((number, since), ()), arc)

    def _gone_on_arc(self, number: int, since: int, at: int, before: Step, lag_s: int) -> int:
        tail, head = self.begin_at[number][since], self.begin_at[number][at]
        least_s, nominal_s, most_s = objective.gone_on_bounds(before, lag_s, self.problem.now_s)
        apart_s = tail[1] - head[1]
        if before.flat:
            return self.network.add_arc(tail[0], head[0], (most_s + apart_s,), (0, objective.VIOLATION))
        breaks, slopes = objective.shared_arc(least_s + apart_s, nominal_s + apart_s, most_s + apart_s, -objective.FAR)
        return self.network.add_arc(tail[0], head[0], breaks, slopes)

    def _end_of(self, step: Step, begin: Point) -> Point:
        """Where a step ends: at a fixed distance from its begin, or a node of its own."""
        least_s, most_s = step.bounds_s(self.problem.now_s)
        if least_s == most_s and step.flexibility is Flexibility.RIGID and not step.running:
            return begin[0], begin[1] + least_s
        node, offset = begin
        breaks, slopes, pin = length_cost(step, least_s, most_s)
        return self.network.add_node(node, tuple(offset + each for each in breaks), slopes, pin), 0

    def _add_uses(self, number: int, at: int, step: Step) -> None:
        begin, end = self.begin_at[number][at], self.end_at[number][at]
        if step.hands_s is None:
            if step.begun_s is not None and self.overbooked:
                # More is in hand than there are hands: a fact. Each is taken to be done when it should be, or
                # they would wait for each other without end.
                end = (0, step.begun_s + step.bounds_s(self.problem.now_s)[0])
            self._use_hands(number, at, begin, end, begun=step.running)
        else:
            past = step.begun_s is not None and step.begun_s + step.hands_s <= self.problem.now_s
            if step.hands_s and not past:
                self._begin_by_hand(number, at, step, begin)
            self._add_tasks(number, at, step)
            if step.hands_end_s:
                since = (end[0], end[1] - step.hands_end_s)
                self.hand_uses.append(ResourceUse(since, end, number, at, begun=False))
        if step.heats:
            first, last_heat = step.heats[0].oven_c, step.heats[-1].oven_c
            single = len(step.heats) == 1
            self.oven_uses.append(
                ResourceUse(begin, end, number, at, step.running, step.trays, first, last_heat, single)
            )

    def _begin_by_hand(self, number: int, at: int, step: Step, begin: Point) -> None:
        """Hands at the start of a step; after a quiet span somebody must be there before, to heat the oven."""
        until = (begin[0], begin[1] + (step.hands_s or 0))
        capacity, lead_s = self.problem.capacity, 0
        if step.heats and not step.running:
            lead_s = capacity.change_s(capacity.room_c, step.heats[0].oven_c)
        self.hand_uses.append(ResourceUse(begin, until, number, at, step.running, lead_s=lead_s))

    def _add_tasks(self, number: int, at: int, step: Step) -> None:
        for task in step.tasks:
            node, offset = self.begin_at[number][at] if task.at_s >= 0 else self.end_at[number][at]
            if step.begun_s is None or task.at_s < 0 or step.begun_s + task.at_s >= self.problem.now_s:
                since, until = (node, offset + task.at_s), (node, offset + task.at_s + task.hands_s)
                self._use_hands(number, at, since, until, begun=False)

    def _use_hands(self, number: int, at: int, begin: Point, end: Point, *, begun: bool) -> None:
        """Add a use of hands; what follows at once on another of the same chain is one use with it."""
        last = self.hand_uses[-1] if self.hand_uses else None
        if last and last.end == begin and last.chain == number and not last.begun and not last.lead_s:
            self.hand_uses[-1] = ResourceUse(last.begin, end, number, last.step, begun=False)
        else:
            self.hand_uses.append(ResourceUse(begin, end, number, at, begun))

    def _add_due_date(self, chain: Chain, end: Point) -> None:
        node, offset = end
        if chain.ready_by_s is None:
            self.network.add_arc(0, node, (self.problem.now_s - offset,), (0, objective.SOON))
        else:
            breaks, slopes = objective.due_arc(self.problem, chain, offset)
            self.network.add_arc(0, node, breaks, slopes)
        if chain.latest_s is not None:
            self.network.add_arc(0, node, (chain.latest_s - offset,), (0, objective.VIOLATION))

    def _bound_first_heat(self, use: ResourceUse) -> None:
        capacity = self.problem.capacity
        first_s = self.problem.now_s + capacity.change_s(capacity.oven_c, use.first_c)
        if use.begin[0]:
            self.network.add_arc(0, use.begin[0], (first_s - use.begin[1],), (-HARD, 0))

    def _constant(self) -> int:
        """What the network leaves out of the true cost, apart from decisions still open."""
        times = self.times()
        cost = objective.cost_of(self.problem, times)
        # Uses of hands stand anywhere yet, in quiet spans too: what that costs is decided later.
        known = (
            cost.total - objective.OVEN * cost.oven_s - objective.QUIET * cost.quiet_s - objective.EDGE * cost.edge_s
        )
        now_s = self.problem.now_s
        for number, use in enumerate(self.oven_uses):
            if self.setup.shares[number]:
                continue
            moments = times[use.chain]
            begin_s, end_s = moments.begins_s[use.step], moments.ends_s[use.step]
            if use.begun:
                spent_s = end_s - now_s if self.setup.hot_now else end_s - begin_s + self.setup.heat_up[number]
            else:
                spent_s = end_s - begin_s + self.setup.least_change[number]
            known += objective.OVEN * spent_s
        return known - self.network.cost()

    def constrain(self, tail: Point, head: Point, apart_s: int, slopes: tuple[int, int]) -> int:
        """An arc between two points that are on different nodes; NO_ARC otherwise."""
        if tail[0] == head[0]:
            return NO_ARC
        return self.network.add_arc(tail[0], head[0], (apart_s + tail[1] - head[1],), slopes)

    def optimise(self) -> bool:
        """Find the cheapest times for what is decided."""
        return self.simplex.optimise()

    def times(self) -> tuple[Times, ...]:
        """The present times of every step."""
        t = self.network.seconds()
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
        t = [0] * self.network.nodes
        for moments, begins, ends in zip(times, self.begin_at, self.end_at, strict=True):
            for at, (begin, end) in enumerate(zip(begins, ends, strict=True)):
                if begin[0]:
                    t[begin[0]] = moments.begins_s[at] - begin[1]
                if end[0]:
                    t[end[0]] = moments.ends_s[at] - end[1]
        return t

    def put_off(self, t: list[int]) -> None:
        """Put times of nodes off where something takes longer than they leave it, so that each step keeps its least.

        Args:
            t: the time of every node, seconds; changed in place.
        """
        network, again = self.network, True
        least = [
            (tail, head, breaks[0] >> SHIFT)
            for tail, head, breaks, slopes in zip(
                network.tail, network.head, network.breaks, network.slopes, strict=True
            )
            if slopes[0] <= -HARD
        ]
        while again:
            again = False
            for tail, head, apart_s in least:
                if t[head] < t[tail] + apart_s:
                    t[head] = t[tail] + apart_s
                    again = True
