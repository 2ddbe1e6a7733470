"""A partial schedule: the network of one problem's times, and what has been decided about hands and oven.

It starts with no decisions at all: every chain at its own best times, as if it were alone. Decisions order two uses of
hands or oven (precedence constraint posting), or say since which use the oven is kept hot. Only what the present times
make necessary is ever decided, so a schedule stays loose where nothing is scarce.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import NamedTuple

from proofbell.frozen import dataclass
from proofbell.planner import objective
from proofbell.planner.plan import Times
from proofbell.planner.problem import Problem, Step
from proofbell.planner.solver.network import HARD, NO_ARC, NetworkState
from proofbell.planner.solver.resources import ResourceUse
from proofbell.planner.solver.time_network import TimeNetwork, length_cost

Decision = tuple[str, int, int]
"""What a decision is about, and two uses, as `PartialSchedule.decide` has them."""

Span = tuple[int, int, int]
"""From when, until when, and the number of a use."""

HANDS = "hands"
OVEN = "oven"
HOT = "hot"
FRESH = -2
NOW = -3

ATTRACTION = 2
"""Cost of each second that a point in time deviates from where it is drawn to."""


NEAR_QUIET_S = 3 * 3600
"""What comes so near to a quiet span is kept on its side of it."""


class KeptHot(NamedTuple):
    """Since which use the oven is kept hot for another: the arcs that say so, or NO_ARC, and a cost beside them."""

    since: int
    arc: int
    after: int
    extra: int


@dataclass(frozen=True, slots=True)
class Snapshot:
    """A saved state of a partial schedule."""

    network: NetworkState
    hands: dict[tuple[int, int], int]
    oven: dict[tuple[int, int], int]
    hot: dict[int, KeptHot]
    extra: int
    instead: dict[int, tuple[int, ...]]
    length_arcs: dict[tuple[int, int], int]
    gone_on_arcs: dict[tuple[int, int], tuple[int, ...]]


class PartialSchedule(TimeNetwork):
    """A time network (its times are read as those of any other), and the decisions so far.

    Attributes:
        hands: the arc of each order of two hand uses.
        oven: the arc of each order of two oven uses.
        hot: since which use the oven is kept hot, for each oven use of which it is decided.
        extra: cost of decisions that no arc has.
        instead: for each chain, the steps whose longer ones take their place.
        considered: the chains among which conflicts are looked for.
    """

    def __init__(self, problem: Problem, *, settled: bool = True) -> None:
        self.instead: dict[int, tuple[int, ...]] = {}
        super().__init__(problem, settled=settled)
        self.hands: dict[tuple[int, int], int] = {}
        self.oven: dict[tuple[int, int], int] = {}
        self.hot: dict[int, KeptHot] = {}
        self.extra = 0
        self.quiet_spans = [entry for entry in enumerate(self.hand_uses) if entry[1].quiet]
        self.quiet_begins_s = [span.begin[1] for _, span in self.quiet_spans]
        self.quiet_ends_s = [span.end[1] for _, span in self.quiet_spans]
        self.consider(set(range(len(problem.chains))))

    def decide(self, decision: Decision) -> None:
        """Add one decision; `optimise` afterwards.

        Args:
            decision: ("hands", i, j): use i of the hands before use j; ("oven", i, j): likewise for the oven;
                ("hot", i, j): the oven is kept hot for j since i, or FRESH: heated afresh, or NOW: since now.
        """
        about, one, other = decision
        if about == HANDS:
            first, second = self.hand_uses[one], self.hand_uses[other]
            if (one, other) in self.hands:
                return
            if first.quiet or second.quiet:
                self.hands[one, other] = self._keep_quiet(first, second)
            else:
                self.hands[one, other] = self.constrain(first.end, second.begin, 0, (-HARD, 0))
        elif about == OVEN:
            if (one, other) not in self.oven:
                first, second = self.oven_uses[one], self.oven_uses[other]
                self.oven[one, other] = self.constrain(
                    first.end, second.begin, self.setup.change[one][other], (-HARD, 0)
                )
        else:
            self._keep_hot(one, other)

    def _keep_quiet(self, first: ResourceUse, second: ResourceUse) -> int:
        """One use of hands before a quiet span, or after it, and rather not near its edge.

        A chain that has begun cannot be put off to another day: it may break into the span, at a price.
        """
        use, span = (second, first) if first.quiet else (first, second)
        node, offset = use.begin if first.quiet else use.end
        if not node:
            return NO_ARC
        steep = objective.QUIET if self.problem.chains[use.chain].begun else HARD
        if first.quiet:
            from_s = span.end[1] + use.lead_s - offset
            return self.network.add_arc(0, node, (from_s, from_s + objective.EDGE_S), (-steep, -objective.EDGE, 0))
        until_s = span.begin[1] - offset
        return self.network.add_arc(0, node, (until_s - objective.EDGE_S, until_s), (0, objective.EDGE, steep))

    def choose(self, number: int, instead: tuple[int, ...]) -> None:
        """Let longer steps of one chain take others' places, and those only; `optimise` afterwards."""
        chain, so_far = self.problem.chains[number], self.instead.get(number, ())
        for at in {*so_far} ^ {*instead}:
            step, longer = chain.steps[at], chain.steps[at].instead
            if longer is None or (number, at) not in self.length_arcs:
                continue
            taken = longer if at in instead else step
            for arc in (self.length_arcs[number, at], *self.gone_on_arcs.get((number, at), ())):
                self.network.drop_arc(arc)
            self.length_arcs[number, at] = self._length_arc(number, at, taken)
            if (number, at) in self.gone_on_arcs:
                self.gone_on_arcs[number, at] = tuple(
                    self._gone_on_arc(number, at, later, taken, chain.steps[later].lag_s)
                    for later, one in enumerate(chain.steps)
                    if one.since == at and one.begun_s is None
                )
            self.extra += objective.LONGER if at in instead else -objective.LONGER
        self.instead[number] = tuple(at for at in instead if (number, at) in self.length_arcs)

    def choose_as(self, times: tuple[Times, ...]) -> None:
        """The longer steps that a timetable has in others' places; `optimise` afterwards."""
        for number, one in enumerate(times):
            if one.instead or self.instead.get(number):
                self.choose(number, one.instead)

    def _length_arc(self, number: int, at: int, step: Step) -> int:
        begin, end = self.begin_at[number][at], self.end_at[number][at]
        breaks, slopes, _ = length_cost(step, step.least_s, step.most_s)
        apart_s = begin[1] - end[1]
        return self.network.add_arc(begin[0], end[0], tuple(each + apart_s for each in breaks), slopes)

    def times(self) -> tuple[Times, ...]:
        """The present times of every step, and which longer steps take others' places."""
        times = super().times()
        if not self.instead:
            return times
        return tuple(
            replace(one, instead=self.instead[number]) if self.instead.get(number) else one
            for number, one in enumerate(times)
        )

    def keep_sides(self, spans: Iterable[tuple[int, int, int]]) -> None:
        """Keep uses of hands that are near a quiet span on their side of it; `optimise` afterwards.

        Args:
            spans: from when, until when, and the number of the use.
        """
        for begin_s, end_s, number in spans:
            for quiet, span in self.quiet_spans:
                quiet_begin_s, quiet_end_s = span.begin[1], span.end[1]
                if begin_s < quiet_end_s + NEAR_QUIET_S and end_s > quiet_begin_s - NEAR_QUIET_S:
                    after = quiet_end_s - begin_s < end_s - quiet_begin_s
                    self.decide((HANDS, quiet, number) if after else (HANDS, number, quiet))

    def reverse(self, decision: Decision) -> None:
        """Decide the other way round about two uses of hands or oven, and optimise."""
        about, one, other = decision
        arc = (self.hands if about == HANDS else self.oven).pop((one, other))
        if arc >= 0:
            self.network.drop_arc(arc)
        self.decide((about, other, one))
        self.optimise()

    def lower_bound(self, decision: Decision) -> int:
        """A cost that no plan with this decision falls below; without it, the present times are the cheapest."""
        about, one, other = decision
        if about == HOT:
            return self.cost()
        if about == HANDS:
            first, second, apart_s = self.hand_uses[one].end, self.hand_uses[other].begin, self.hand_uses[other].lead_s
            if not self.hand_uses[one].quiet:
                apart_s = 0
            if self._may_be_broken(one, other):
                return self.cost()
        else:
            first, second = self.oven_uses[one].end, self.oven_uses[other].begin
            apart_s = self.setup.change[one][other]
        if first[0] == second[0]:
            return self.cost()
        return self.cost() + self.simplex.rise_bound(first[0], second[0], apart_s + first[1] - second[1])

    def _may_be_broken(self, one: int, other: int) -> bool:
        """Whether an order of two uses of hands is one with a quiet span, of a chain that may break into it."""
        uses = self.hand_uses[one], self.hand_uses[other]
        return any(use.quiet for use in uses) and any(
            self.problem.chains[use.chain].begun for use in uses if not use.quiet
        )

    def decided(self, decision: Decision) -> bool:
        """Whether an order of hands or oven has been decided already."""
        about, one, other = decision
        orders = self.hands if about == HANDS else self.oven
        return about != HOT and (one, other) in orders

    def _keep_hot(self, since: int, number: int) -> None:
        use = self.oven_uses[number]
        slopes = (0, objective.OVEN)
        extra = 0
        arc = after = NO_ARC
        if since == FRESH:
            if self.setup.shares[number]:
                arc = self.constrain(use.begin, use.end, 0, slopes)
            extra = objective.OVEN * (self.setup.heat_up[number] - self.setup.least_change[number])
        else:
            before = self.oven_uses[since].end if since >= 0 else (0, self.problem.now_s)
            if self.setup.shares[number]:
                arc = self.constrain(before, use.end, 0, slopes)
                if since >= 0:
                    after = self.constrain(self.oven_uses[since].begin, use.begin, 0, (-HARD, 0))
            else:
                arc = self.constrain(before, use.begin, self.setup.least_change[number], slopes)
        self.hot[number] = KeptHot(since, arc, after, extra)
        self.extra += extra

    def attract_to(self, times: tuple[Times, ...]) -> None:
        """Draw every point in time to where a given timetable has it, lightly; `optimise` afterwards.

        Before anything is decided.
        """
        now_s = self.problem.now_s
        self.simplex.anchor([max(wish_s, now_s) for wish_s in self.node_times(times)], (-ATTRACTION, ATTRACTION))

    def consider(self, chains: set[int]) -> None:
        """Look for conflicts among these chains only; the others stand aside."""
        self.considered = chains
        self.considered_hand_uses = [entry for entry in enumerate(self.hand_uses) if entry[1].chain in chains]
        self.movable_hand_uses = [
            (number, use.begin[0], use.begin[1] - use.lead_s, *use.end)
            for number, use in self.considered_hand_uses
            if not use.begun and (use.begin[0] or use.end[0])
        ]
        self.considered_oven_uses = [entry for entry in enumerate(self.oven_uses) if entry[1].chain in chains]
        self._hand_points = [(*use.begin, *use.end, number) for number, use in self.considered_hand_uses]
        self._oven_points = [(*use.begin, *use.end, number) for number, use in self.considered_oven_uses]

    def spans(self, about: str, t: list[int]) -> list[Span]:
        """From when, until when, and the number of each considered use of hands or oven, in order of time.

        Args:
            about: hands or oven.
            t: the time of every node, seconds.
        """
        points = self._hand_points if about == HANDS else self._oven_points
        found = [(t[begin] + after_s, t[end] + before_s, number) for begin, after_s, end, before_s, number in points]
        found.sort()
        return found

    def release(self, chains: set[int]) -> None:
        """Take back every decision that touches one of these chains; `optimise` afterwards."""
        drop = self.network.drop_arc
        for uses, orders in ((self.hand_uses, self.hands), (self.oven_uses, self.oven)):
            for one, other in list(orders):
                if uses[one].chain in chains or uses[other].chain in chains:
                    arc = orders.pop((one, other))
                    if arc >= 0:
                        drop(arc)
        for number, kept in list(self.hot.items()):
            touched = self.oven_uses[number].chain in chains
            if touched or (kept.since >= 0 and self.oven_uses[kept.since].chain in chains):
                self.retract_heating(number)

    def retract_heating(self, number: int) -> None:
        """Take back the decision from when the oven is kept hot for one use."""
        kept = self.hot.pop(number)
        self.extra -= kept.extra
        for arc in (kept.arc, kept.after):
            if arc >= 0:
                self.network.drop_arc(arc)

    def heated_through(self, number: int) -> set[int]:
        """The uses from which, one after the other, the oven is kept hot for one use."""
        found: set[int] = set()
        while number in self.hot and self.hot[number].since >= 0:
            number = self.hot[number].since
            found.add(number)
        return found

    def cost(self) -> int:
        """The cost of the present times, open decisions left out: no plan that keeps these is cheaper."""
        return self.network.cost() + self.constant + self.extra

    def save(self) -> Snapshot:
        """The present state, for `restore`."""
        return Snapshot(
            self.network.save(), self.hands.copy(), self.oven.copy(), self.hot.copy(), self.extra,
            self.instead.copy(), self.length_arcs.copy(), self.gone_on_arcs.copy(),
        )  # fmt: skip

    def restore(self, snapshot: Snapshot, *, again: bool = True) -> None:
        """Go back to a saved state.

        Args:
            snapshot: the state.
            again: whether it may be needed once more; if not, it is taken as it is.
        """
        self.network.restore(snapshot.network, again=again)
        self.hands = snapshot.hands.copy() if again else snapshot.hands
        self.oven = snapshot.oven.copy() if again else snapshot.oven
        self.hot = snapshot.hot.copy() if again else snapshot.hot
        self.extra = snapshot.extra
        self.instead = snapshot.instead.copy()
        self.length_arcs = snapshot.length_arcs.copy()
        self.gone_on_arcs = snapshot.gone_on_arcs.copy()
