"""The network simplex method: the cheapest times that a constraint network allows.

In its dual form: the times are the potentials of a minimum-cost flow (Ahuja, Magnanti and Orlin, Network Flows, 1993,
ch. 9 and 11). The basis is a spanning tree of arcs, each held at one of its breakpoints. The flow on a tree arc is the
slope it would need for balance; where that lies outside the slopes on its two sides, a pivot pays: the arc leaves the
basis and everything behind it is shifted, past breakpoint after breakpoint, until it no longer pays (a ratio test with
long steps); the arc reached there enters the basis.

No two breakpoints of a network coincide, so each pivot gains something and the method ends. The basis is kept from one
call to the next, so that a small change takes few pivots.
"""

from __future__ import annotations

from bisect import bisect_right, insort

from proofbell.planner.solver.network import HARD, NO_COST, SHIFT, ConstraintNetwork

Event = tuple[int, int, bool]
"""How far away a breakpoint is, its arc, and whether the arc grows towards it."""


class NetworkSimplex:
    """Finds the cheapest times of one network; `optimise` after every change of it."""

    __slots__ = ("network",)

    def __init__(self, network: ConstraintNetwork) -> None:
        self.network = network

    def optimise(self, max_pivots: int = 4000) -> bool:
        """Find the cheapest times. The arc that gains most leaves the tree first.

        Args:
            max_pivots: give up after so many.

        Returns:
            Whether the cheapest times were reached.
        """
        network = self.network
        tree_arc, flow, segment_of, slopes = network.tree_arc, network.flow, network.segment_of, network.slopes
        unbalanced = network.unbalanced
        while True:
            steepest = leaving_node = 0
            settled = []
            for node in unbalanced:
                arc = tree_arc[node]
                need = flow[arc]
                sides = slopes[arc]
                pin = segment_of[arc]
                gain = need - sides[pin + 1]
                if gain <= 0:
                    gain = sides[pin] - need
                    if gain <= 0:
                        settled.append(node)
                        continue
                if gain > steepest or (gain == steepest and node < leaving_node):
                    steepest = gain
                    leaving_node = node
            if not steepest:
                unbalanced.clear()
                return True
            unbalanced.difference_update(settled)
            arc = tree_arc[leaving_node]
            self._pivot(leaving_node, arc, 1 if flow[arc] > slopes[arc][segment_of[arc] + 1] else -1, steepest)
            max_pivots -= 1
            if not max_pivots:
                return False

    def anchor(self, times_s: list[int], slopes: tuple[int, int]) -> None:
        """Put every node where it is wished, and pull it there by an arc of its own; `optimise` afterwards.

        From near the times in the end there are few pivots to them. No arc may have been dropped before.

        Args:
            times_s: for every node, the time it is wished at, seconds; the origin's is left out.
            slopes: cost of each second before and after that time.
        """
        network = self.network
        arcs = range(len(network.tail))
        own = [0] * network.nodes
        network.children = [list(range(1, network.nodes)), *([] for _ in range(1, network.nodes))]
        for node in range(1, network.nodes):
            arc = network.new_arc(0, node, (times_s[node],), slopes)
            network.t[node] = network.breaks[arc][0]
            network.parent[node], network.tree_arc[node] = 0, arc
            network.arcs_at[node] = [*network.arcs_at[node], (arc, 0, True)]
        network.arcs_at[0] = [
            *network.arcs_at[0],
            *((network.tree_arc[node], node, False) for node in range(1, network.nodes)),
        ]
        network.value = 0
        for arc in arcs:
            tail, head = network.tail[arc], network.head[arc]
            network.segment_of[arc] = bisect_right(network.breaks[arc], network.t[head] - network.t[tail])
            slope = network.flow[arc] = network.slopes[arc][network.segment_of[arc]]
            own[tail] -= slope
            own[head] += slope
            network.value += network.arc_cost(arc)
        for node in range(1, network.nodes):
            network.flow[network.tree_arc[node]] = -own[node]
        network.unbalanced = set(range(1, network.nodes))

    def rise_bound(self, tail: int, head: int, apart_s: int) -> int:
        """A lower bound of what it costs to keep two nodes a time apart that they do not keep; `optimise` beforehand.

        The cheapest times cost more and more for each further second between the nodes (the cost is convex). The first
        of these seconds costs the least reduced cost of an arc on the tree's path between them.

        Args:
            tail: the node that comes first.
            head: the node that comes after it.
            apart_s: the least time between them, seconds.

        Returns:
            By how much, at least, times that keep this are dearer than the present ones; 0 if these keep it.
        """
        network = self.network
        short = (apart_s << SHIFT) - network.t[head] + network.t[tail]
        if short <= 0:
            return 0
        parent, tree_arc, flow, segment_of, slopes, heads = (
            network.parent,
            network.tree_arc,
            network.flow,
            network.segment_of,
            network.slopes,
            network.head,
        )
        above = set()
        node = head
        while node >= 0:
            above.add(node)
            node = parent[node]
        least = HARD
        node = tail
        while node not in above:
            arc = tree_arc[node]
            if heads[arc] == node:
                room = flow[arc] - slopes[arc][segment_of[arc]]
            else:
                room = slopes[arc][segment_of[arc] + 1] - flow[arc]
            least = min(least, room)
            node = parent[node]
        top, node = node, head
        while node != top:
            arc = tree_arc[node]
            if heads[arc] == node:
                room = slopes[arc][segment_of[arc] + 1] - flow[arc]
            else:
                room = flow[arc] - slopes[arc][segment_of[arc]]
            least = min(least, room)
            node = parent[node]
        return (least * short) >> SHIFT

    def _pivot(self, node: int, leaving: int, way: int, gain: int) -> None:
        """Let one arc leave the tree and shift all behind it as long as that pays.

        Args:
            node: the lower end of the arc; it and all below it in the tree move.
            leaving: the arc.
            way: 1 when its length grows, -1 when it shrinks.
            gain: how much cheaper the plan gets with each step of the shift, to begin with.
        """
        network = self.network
        t, head, segment_of, slopes = network.t, network.head, network.segment_of, network.slopes
        if way > 0:
            segment_of[leaving] += 1
        if slopes[leaving] is NO_COST:
            network.unlink(leaving)
        later = (head[leaving] == node) == (way > 0)
        moving = [node]
        for one in moving:
            moving += network.children[one]
        inside = set(moving)
        crossed = [leaving]
        distance, entering = self._ratio_test(self._breakpoints_ahead(moving, inside, later), gain, crossed)
        move = distance if later else -distance
        for one in moving:
            t[one] += move
        if entering != leaving:
            self._update_tree(node, entering, inside)
        self._update_flows(crossed, entering, inside)

    def _update_flows(self, crossed: list[int], entering: int, inside: set[int]) -> None:
        """Restore the flow balance along the tree after some arcs have come to another slope."""
        network = self.network
        head, tail, segment_of, slopes, flow = (
            network.head,
            network.tail,
            network.segment_of,
            network.slopes,
            network.flow,
        )
        parent, tree_arc, unbalanced = network.parent, network.tree_arc, network.unbalanced
        inner, outer = head[entering], tail[entering]
        if inner not in inside:
            inner, outer = outer, inner
        unbalanced.add(inner)
        total = 0
        others = []
        for arc in crossed:
            slope = slopes[arc][segment_of[arc]]
            change = slope - flow[arc]
            if arc == entering or not change:
                continue
            flow[arc] = slope
            node, other = head[arc], tail[arc]
            if node not in inside:
                node, other = other, node
                change = -change
            others.append((other, -change))
            total += change
            while node != inner:
                tied = tree_arc[node]
                flow[tied] += change if head[tied] != node else -change
                unbalanced.add(node)
                node = parent[node]
        if others:
            flow[entering] += total if head[entering] != inner else -total
            network.rebalance(outer, total, others)

    def _breakpoints_ahead(self, moving: list[int], inside: set[int], later: bool) -> list[Event]:  # noqa: FBT001 - hot
        """The next breakpoint of every arc between what moves and what stays, nearest first."""
        network = self.network
        t, segment_of, breaks, arcs_at = network.t, network.segment_of, network.breaks, network.arcs_at
        events: list[Event] = []
        for one in moving:
            here = t[one]
            for arc, other, heads in arcs_at[one]:
                if other in inside:
                    continue
                segment = segment_of[arc]
                apart = here - t[other] if heads else t[other] - here
                if heads == later:
                    bounds = breaks[arc]
                    if segment < len(bounds):
                        events.append((bounds[segment] - apart, arc, True))
                elif segment:
                    events.append((apart - breaks[arc][segment - 1], arc, False))
        events.sort()
        return events

    def _ratio_test(self, events: list[Event], gain: int, crossed: list[int]) -> tuple[int, int]:
        """Pass breakpoints until the shift no longer pays: how far, and the arc reached there."""
        network = self.network
        segment_of, breaks, slopes = network.segment_of, network.breaks, network.slopes
        value = network.value
        passed = 0
        at = 0
        while True:
            distance, arc, grows = events[at]
            at += 1
            value -= gain * (distance - passed)
            passed = distance
            segment = segment_of[arc]
            sides = slopes[arc]
            if grows:
                gain -= sides[segment + 1] - sides[segment]
                if gain <= 0:
                    break
                crossed.append(arc)
                segment_of[arc] = segment + 1
                bounds = breaks[arc]
                if segment + 1 < len(bounds):
                    insort(events, (distance + bounds[segment + 1] - bounds[segment], arc, True), at)
            else:
                gain -= sides[segment] - sides[segment - 1]
                segment_of[arc] = segment - 1
                if gain <= 0:
                    break
                crossed.append(arc)
                if segment > 1:
                    bounds = breaks[arc]
                    insort(events, (distance + bounds[segment - 1] - bounds[segment - 2], arc, False), at)
        network.value = value
        return distance, arc

    def _update_tree(self, node: int, entering: int, inside: set[int]) -> None:
        """Hang what moved onto the tree by the arc that stopped it."""
        network = self.network
        parent, tree_arc, children = network.parent, network.tree_arc, network.children
        new_child = network.head[entering]
        new_parent = network.tail[entering]
        if new_child not in inside:
            new_child, new_parent = new_parent, new_child
        arc = entering
        child, above = new_child, new_parent
        while True:
            old_parent, old_arc = parent[child], tree_arc[child]
            children[old_parent] = [one for one in children[old_parent] if one != child]
            parent[child] = above
            tree_arc[child] = arc
            children[above] = [*children[above], child]
            if child == node:
                return
            above, child, arc = child, old_parent, old_arc
