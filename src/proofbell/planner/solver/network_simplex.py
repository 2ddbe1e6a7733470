"""Exact times for a given order: the cheapest times that keep to a net of bounds between moments.

The cheapest times are found by the network simplex method in its dual form (the times are the potentials of a
minimum-cost flow; Ahuja, Magnanti and Orlin, Network Flows, 1993, ch. 9 and 11). A spanning tree of links is
pinned at breakpoints. The flow on a pinned link is the slope it would need for balance; where that lies outside
the slopes on its two sides, letting go of the link and shifting everything behind it makes the plan cheaper.
The shift passes breakpoint after breakpoint until it no longer pays, and the link reached there is pinned.

No two breakpoints of a net coincide, so each shift gains something and the method ends.
"""

from __future__ import annotations

from bisect import bisect_right, insort

from proofbell.planner.solver.network import GONE, HARD, SHIFT, Net

Event = tuple[int, int, bool]


class Timing(Net):
    """A net that finds its cheapest times; `settle` after every change."""

    __slots__ = ()

    def settle(self, at_most: int = 4000) -> bool:
        """Find the cheapest times. The link that is worth most is let go of first.

        Args:
            at_most: give up after so many shifts.

        Returns:
            Whether the cheapest times were reached.
        """
        pinned, flow, seg, slopes = self.pinned, self.flow, self.seg, self.slopes
        moved = self.moved
        while True:
            most = letting_go = 0
            settled = []
            for node in moved:
                link = pinned[node]
                need = flow[link]
                sides = slopes[link]
                pin = seg[link]
                gain = need - sides[pin + 1]
                if gain <= 0:
                    gain = sides[pin] - need
                    if gain <= 0:
                        settled.append(node)
                        continue
                if gain > most or (gain == most and node < letting_go):
                    most = gain
                    letting_go = node
            if not most:
                moved.clear()
                return True
            moved.difference_update(settled)
            link = pinned[letting_go]
            self._shift(letting_go, link, 1 if flow[link] > slopes[link][seg[link] + 1] else -1, most)
            at_most -= 1
            if not at_most:
                return False

    def hold(self, times_s: list[int], slopes: tuple[int, int]) -> None:
        """Put every node where it is wished, and draw it there by a link of its own; `settle` afterwards.

        From near the times in the end there are few shifts to them. No link may have been dropped before.

        Args:
            times_s: for every node, the time it is wished at, seconds; the origin's is left out.
            slopes: cost of each second before and after that time.
        """
        links = range(len(self.tail))
        own = [0] * self.nodes
        self.children = [list(range(1, self.nodes)), *([] for _ in range(1, self.nodes))]
        for node in range(1, self.nodes):
            link = self._new_link(0, node, (times_s[node],), slopes)
            self.t[node] = self.breaks[link][0]
            self.parent[node], self.pinned[node] = 0, link
            self.links_at[node] = [*self.links_at[node], (link, 0, True)]
        self.links_at[0] = [*self.links_at[0], *((self.pinned[node], node, False) for node in range(1, self.nodes))]
        self.value = 0
        for link in links:
            tail, head = self.tail[link], self.head[link]
            self.seg[link] = bisect_right(self.breaks[link], self.t[head] - self.t[tail])
            slope = self.flow[link] = self.slopes[link][self.seg[link]]
            own[tail] -= slope
            own[head] += slope
            self.value += self._price(link)
        for node in range(1, self.nodes):
            self.flow[self.pinned[node]] = -own[node]
        self.moved = set(range(1, self.nodes))

    def least_rise(self, tail: int, head: int, apart_s: int) -> int:
        """What it costs at least to keep two nodes a time apart that they do not keep now; `settle` beforehand.

        The cheapest times cost more and more for each further second between the nodes. The first of these
        seconds costs what it takes to let go of some link on the way between them.

        Args:
            tail: the node that comes first.
            head: the node that comes after it.
            apart_s: the least time between them, seconds.

        Returns:
            By how much, at least, times that keep this are dearer than the present ones; 0 if these keep it.
        """
        short = (apart_s << SHIFT) - self.t[head] + self.t[tail]
        if short <= 0:
            return 0
        parent, pinned, flow, seg, slopes, heads = self.parent, self.pinned, self.flow, self.seg, self.slopes, self.head
        above = set()
        node = head
        while node >= 0:
            above.add(node)
            node = parent[node]
        least = HARD
        node = tail
        while node not in above:
            link = pinned[node]
            if heads[link] == node:
                room = flow[link] - slopes[link][seg[link]]
            else:
                room = slopes[link][seg[link] + 1] - flow[link]
            least = min(least, room)
            node = parent[node]
        top, node = node, head
        while node != top:
            link = pinned[node]
            if heads[link] == node:
                room = slopes[link][seg[link] + 1] - flow[link]
            else:
                room = flow[link] - slopes[link][seg[link]]
            least = min(least, room)
            node = parent[node]
        return (least * short) >> SHIFT

    def _shift(self, node: int, leaving: int, way: int, gain: int) -> None:
        """Let go of one pinned link and shift all behind it as long as that pays.

        Args:
            node: the lower end of the link; it and all below it in the tree move.
            leaving: the link.
            way: 1 when its length grows, -1 when it shrinks.
            gain: how much cheaper the plan gets with each step of the shift, to begin with.
        """
        t, head, seg, slopes = self.t, self.head, self.seg, self.slopes
        if way > 0:
            seg[leaving] += 1
        if slopes[leaving] is GONE:
            self._forget(leaving)
        later = (head[leaving] == node) == (way > 0)
        moving = [node]
        for one in moving:
            moving += self.children[one]
        inside = set(moving)
        crossed = [leaving]
        distance, entering = self._walk(self._reach(moving, inside, later), gain, crossed)
        move = distance if later else -distance
        for one in moving:
            t[one] += move
        if entering != leaving:
            self._retie(node, entering, inside)
        self._balance(crossed, entering, inside)

    def _balance(self, crossed: list[int], entering: int, inside: set[int]) -> None:
        """Restore the balance along the tree after some links have come to another slope."""
        head, tail, seg, slopes, flow = self.head, self.tail, self.seg, self.slopes, self.flow
        parent, pinned, moved = self.parent, self.pinned, self.moved
        inner, outer = head[entering], tail[entering]
        if inner not in inside:
            inner, outer = outer, inner
        moved.add(inner)
        total = 0
        others = []
        for link in crossed:
            slope = slopes[link][seg[link]]
            change = slope - flow[link]
            if link == entering or not change:
                continue
            flow[link] = slope
            node, other = head[link], tail[link]
            if node not in inside:
                node, other = other, node
                change = -change
            others.append((other, -change))
            total += change
            while node != inner:
                tied = pinned[node]
                flow[tied] += change if head[tied] != node else -change
                moved.add(node)
                node = parent[node]
        if others:
            flow[entering] += total if head[entering] != inner else -total
            self._carry(outer, total, others)

    def _reach(self, moving: list[int], inside: set[int], later: bool) -> list[Event]:  # noqa: FBT001 - hot
        """The next breakpoint of every link between what moves and what stays, nearest first."""
        t, seg, breaks, links_at = self.t, self.seg, self.breaks, self.links_at
        events: list[Event] = []
        for one in moving:
            here = t[one]
            for link, other, heads in links_at[one]:
                if other in inside:
                    continue
                segment = seg[link]
                apart = here - t[other] if heads else t[other] - here
                if heads == later:
                    bounds = breaks[link]
                    if segment < len(bounds):
                        events.append((bounds[segment] - apart, link, True))
                elif segment:
                    events.append((apart - breaks[link][segment - 1], link, False))
        events.sort()
        return events

    def _walk(self, events: list[Event], gain: int, crossed: list[int]) -> tuple[int, int]:
        """Pass breakpoints until the shift no longer pays: how far, and the link reached there."""
        seg, breaks, slopes = self.seg, self.breaks, self.slopes
        value = self.value
        passed = 0
        at = 0
        while True:
            distance, link, grows = events[at]
            at += 1
            value -= gain * (distance - passed)
            passed = distance
            segment = seg[link]
            sides = slopes[link]
            if grows:
                gain -= sides[segment + 1] - sides[segment]
                if gain <= 0:
                    break
                crossed.append(link)
                seg[link] = segment + 1
                bounds = breaks[link]
                if segment + 1 < len(bounds):
                    insort(events, (distance + bounds[segment + 1] - bounds[segment], link, True), at)
            else:
                gain -= sides[segment] - sides[segment - 1]
                seg[link] = segment - 1
                if gain <= 0:
                    break
                crossed.append(link)
                if segment > 1:
                    bounds = breaks[link]
                    insort(events, (distance + bounds[segment - 1] - bounds[segment - 2], link, False), at)
        self.value = value
        return distance, link

    def _retie(self, node: int, entering: int, inside: set[int]) -> None:
        """Hang what moved onto the tree by the link that stopped it."""
        parent, pinned, children = self.parent, self.pinned, self.children
        new_child = self.head[entering]
        new_parent = self.tail[entering]
        if new_child not in inside:
            new_child, new_parent = new_parent, new_child
        link = entering
        child, above = new_child, new_parent
        while True:
            old_parent, old_link = parent[child], pinned[child]
            children[old_parent] = [one for one in children[old_parent] if one != child]
            parent[child] = above
            pinned[child] = link
            children[above] = [*children[above], child]
            if child == node:
                return
            above, child, link = child, old_parent, old_link
