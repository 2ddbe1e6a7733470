"""A temporal constraint network: points in time, and arcs that say what the time between two of them costs.

Every arc has a convex, piecewise linear cost: slopes between breakpoints. A bound is an arc with a very steep slope
outside it, so that any times have a cost and a search may start from any times whatever. A spanning tree of arcs, each
at one of its breakpoints, fixes the times: the basis of the network simplex (see ``network_simplex``).

Seconds are scaled by 2**24 and every arc gets a small offset of its own, so that no two breakpoints coincide: no
pivot is degenerate. Offsets are so small that rounding the scaled times gives exact ones.
"""

from __future__ import annotations

from typing import NamedTuple

SHIFT = 24
HALF = 1 << (SHIFT - 1)
HARD = 1_000_000_000_000
"""Cost of each second against what cannot be otherwise, such as an order of two uses of one resource."""

NO_ARC = -1
NO_COST = (0,) * 8

Slopes = tuple[int, ...]
ArcEnd = tuple[int, int, bool]
"""An arc as seen from one of its nodes: the arc, the other node, and whether this one is its head."""


class NetworkState(NamedTuple):
    """A saved state of a network; each field as the network has it."""

    t: list[int]
    parent: list[int]
    tree_arc: list[int]
    children: list[list[int]]
    arcs_at: list[list[ArcEnd]]
    tail: list[int]
    head: list[int]
    breaks: list[tuple[int, ...]]
    slopes: list[Slopes]
    segment_of: list[int]
    flow: list[int]
    value: int
    unbalanced: set[int]
    free: list[int]

    def copy(self) -> NetworkState:
        """The same state in lists of its own."""
        return NetworkState(
            self.t[:], self.parent[:], self.tree_arc[:], self.children[:], self.arcs_at[:], self.tail[:], self.head[:],
            self.breaks[:], self.slopes[:], self.segment_of[:], self.flow[:], self.value, self.unbalanced.copy(),
            self.free[:],
        )  # fmt: skip


class ConstraintNetwork:
    """Nodes, arcs and the spanning tree; node 0 is the origin, at 0 s.

    Lists within lists are replaced and never changed, so that `save` and `restore` need not copy them.

    Attributes:
        nodes: how many nodes there are.
        t: time of each node, scaled.
        parent: the node above each in the tree.
        tree_arc: the arc that ties each node to its parent.
        children: the nodes below each in the tree.
        arcs_at: the arcs at each node.
        tail: where each arc begins: the earlier node.
        head: where each arc ends.
        breaks: each arc's breakpoints, scaled.
        slopes: each arc's slopes, one more than it has breakpoints.
        segment_of: between which breakpoints each arc is; for a tree arc, the breakpoint it is held at.
        flow: each arc's slope; for a tree arc, the slope that would balance the nodes below it.
        value: what the times cost, scaled.
        unbalanced: nodes whose tree arc has another flow than when the times were last optimal.
        free: places of arcs that were dropped.
    """

    __slots__ = (*NetworkState._fields, "nodes", "offset")

    def __init__(self) -> None:
        self.nodes = 1
        self.t = [0]
        self.parent = [NO_ARC]
        self.tree_arc = [NO_ARC]
        self.children: list[list[int]] = [[]]
        self.arcs_at: list[list[ArcEnd]] = [[]]
        self.tail: list[int] = []
        self.head: list[int] = []
        self.breaks: list[tuple[int, ...]] = []
        self.slopes: list[Slopes] = []
        self.segment_of: list[int] = []
        self.flow: list[int] = []
        self.offset = 1
        self.value = 0
        self.unbalanced: set[int] = set()
        self.free: list[int] = []

    def cost(self) -> int:
        """What the times cost, each arc counted from its cheapest length."""
        return (self.value + HALF) >> SHIFT

    def save(self) -> NetworkState:
        """A copy of everything, for `restore`."""
        return NetworkState(
            self.t[:], self.parent[:], self.tree_arc[:], self.children[:], self.arcs_at[:], self.tail[:], self.head[:],
            self.breaks[:], self.slopes[:], self.segment_of[:], self.flow[:], self.value, self.unbalanced.copy(),
            self.free[:],
        )  # fmt: skip

    def restore(self, saved: NetworkState, *, again: bool = True) -> None:
        """Go back to a saved state.

        Args:
            saved: the state.
            again: whether it may be needed once more; if not, it is taken as it is.
        """
        (
            self.t, self.parent, self.tree_arc, self.children, self.arcs_at, self.tail, self.head, self.breaks,
            self.slopes, self.segment_of, self.flow, self.value, self.unbalanced, self.free,
        ) = saved.copy() if again else saved  # fmt: skip

    def arc_cost(self, arc: int) -> int:
        """What one arc costs at the present times, scaled."""
        apart = self.t[self.head[arc]] - self.t[self.tail[arc]]
        bounds, sides = self.breaks[arc], self.slopes[arc]
        last = len(bounds) - 1
        cheapest = 0
        while cheapest < last and sides[cheapest + 1] < 0:
            cheapest += 1
        price = 0
        at = bounds[cheapest]
        if apart > at:
            for number in range(cheapest, len(bounds)):
                end = bounds[number + 1] if number < last else apart
                if end >= apart:
                    return price + sides[number + 1] * (apart - at)
                price += sides[number + 1] * (end - at)
                at = end
        else:
            for number in range(cheapest, -1, -1):
                end = bounds[number - 1] if number else apart
                if end <= apart:
                    return price + sides[number] * (apart - at)
                price += sides[number] * (end - at)
                at = end
        return price

    def seconds(self) -> list[int]:
        """The time of every node, in whole seconds."""
        return [(time + HALF) >> SHIFT for time in self.t]

    def add_node(self, behind: int, breaks_s: tuple[int, ...], slopes: Slopes, pin: int) -> int:
        """Add a point in time, tied to an earlier one.

        Args:
            behind: the node it is tied to, as the arc's tail.
            breaks_s: rising breakpoints of the time between them, seconds.
            slopes: cost of each further second before, between and after the breakpoints; rising.
            pin: the breakpoint it is held at to begin with; the slopes beside it are of different sign.

        Returns:
            The number of the new node.
        """
        node = self.nodes
        self.nodes += 1
        arc = self.new_arc(behind, node, breaks_s, slopes)
        self.segment_of[arc] = pin
        self.t.append(self.t[behind] + self.breaks[arc][pin])
        self.parent.append(behind)
        self.tree_arc.append(arc)
        self.children[behind] = [*self.children[behind], node]
        self.children.append([])
        self.arcs_at.append([(arc, behind, True)])
        self.arcs_at[behind] = [*self.arcs_at[behind], (arc, node, False)]
        return node

    def new_arc(self, tail: int, head: int, breaks_s: tuple[int, ...], slopes: Slopes) -> int:
        """An arc with breakpoints of its own that is not yet at its nodes."""
        # A linear congruential sequence: offsets of 12 bits, alike on every machine.
        self.offset = (self.offset * 1103515245 + 12345) & 0x7FFFFFFF
        noise = self.offset >> 19
        breaks = tuple([(second << SHIFT) + noise for second in breaks_s])
        if self.free:
            arc = self.free.pop()
            self.tail[arc], self.head[arc] = tail, head
            self.breaks[arc], self.slopes[arc] = breaks, slopes
            self.segment_of[arc] = self.flow[arc] = 0
            return arc
        self.tail.append(tail)
        self.head.append(head)
        self.breaks.append(breaks)
        self.slopes.append(slopes)
        self.segment_of.append(0)
        self.flow.append(0)
        return len(self.tail) - 1

    def add_arc(self, tail: int, head: int, breaks_s: tuple[int, ...], slopes: Slopes) -> int:
        """Add an arc between two nodes that are there; `optimise` afterwards.

        Args:
            tail: the earlier node.
            head: the later node.
            breaks_s: rising breakpoints of the time from tail to head, seconds.
            slopes: cost of each further second, one more than there are breakpoints; rising.

        Returns:
            The number of the arc.
        """
        arc = self.new_arc(tail, head, breaks_s, slopes)
        apart = self.t[head] - self.t[tail]
        segment = 0
        for bound in self.breaks[arc]:
            if apart < bound:
                break
            segment += 1
        self.segment_of[arc] = segment
        slope = self.flow[arc] = slopes[segment]
        self.arcs_at[tail] = [*self.arcs_at[tail], (arc, head, False)]
        self.arcs_at[head] = [*self.arcs_at[head], (arc, tail, True)]
        if slope:
            self.rebalance(head, slope, [(tail, -slope)])
            self.value += self.arc_cost(arc)
        return arc

    def drop_arc(self, arc: int) -> None:
        """Take an arc away; `optimise` afterwards. A tree arc stays, at no cost, until it leaves the tree."""
        tail, head = self.tail[arc], self.head[arc]
        for node in (head, tail):
            if self.tree_arc[node] == arc:
                self.value -= self.arc_cost(arc)
                self.slopes[arc] = NO_COST
                self.unbalanced.add(node)
                return
        self.value -= self.arc_cost(arc)
        self.unlink(arc)
        slope = self.flow[arc]
        if slope:
            self.flow[arc] = 0
            self.rebalance(head, -slope, [(tail, slope)])

    def unlink(self, arc: int) -> None:
        """Take an arc from its nodes; its place is used again."""
        self.free.append(arc)
        for node in (self.tail[arc], self.head[arc]):
            self.arcs_at[node] = [end for end in self.arcs_at[node] if end[0] != arc]

    def rebalance(self, node: int, amount: int, others: list[tuple[int, int]]) -> None:
        """Restore the flow balance along the tree when the slopes of some nodes have grown by amounts that sum to zero.

        Args:
            node: one of these nodes.
            amount: by how much its own slope has grown.
            others: the other nodes, each with its amount.
        """
        parent, tree_arc, head, flow, unbalanced = self.parent, self.tree_arc, self.head, self.flow, self.unbalanced
        joining = {}
        one = node
        while one >= 0:
            joining[one] = 0
            one = parent[one]
        for other, more in others:
            one = other
            while one not in joining:
                arc = tree_arc[one]
                flow[arc] += more if head[arc] != one else -more
                unbalanced.add(one)
                one = parent[one]
            joining[one] += more
        single = len(others) == 1
        for one, more in joining.items():
            amount += more
            if amount:
                arc = tree_arc[one]
                flow[arc] += amount if head[arc] != one else -amount
                unbalanced.add(one)
            elif single:
                return
