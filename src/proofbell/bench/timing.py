"""Exact times for a given order: the cheapest times that keep to a net of bounds between moments.

The cheapest times are found by the network simplex method in its dual form (the times are the potentials of a
minimum-cost flow; Ahuja, Magnanti and Orlin, Network Flows, 1993, ch. 9 and 11). A spanning tree of links is
pinned at breakpoints. The flow on a pinned link is the slope it would need for balance; where that lies outside
the slopes on its two sides, letting go of the link and shifting everything behind it makes the plan cheaper.
The shift passes breakpoint after breakpoint until it no longer pays, and the link reached there is pinned.

No two breakpoints of a net coincide, so each shift gains something and the method ends.
"""

from __future__ import annotations

from bisect import insort

from proofbell.bench.net import GONE, NOBODY, Net

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
        while True:
            most = 0
            letting_go = NOBODY
            for link in pinned[1:]:
                need = flow[link]
                sides = slopes[link]
                pin = seg[link]
                if need > sides[pin + 1]:
                    if need - sides[pin + 1] > most:
                        most = need - sides[pin + 1]
                        letting_go, way = link, 1
                elif need < sides[pin] and sides[pin] - need > most:
                    most = sides[pin] - need
                    letting_go, way = link, -1
            if letting_go < 0:
                return True
            self._shift(pinned.index(letting_go), letting_go, way, most)
            at_most -= 1
            if not at_most:
                return False

    def _shift(self, node: int, leaving: int, way: int, gain: int) -> None:
        """Let go of one pinned link and shift all behind it as long as that pays.

        Args:
            node: the lower end of the link; it and all below it in the tree move.
            leaving: the link.
            way: 1 when its length grows, -1 when it shrinks.
            gain: how much cheaper the plan gets with each step of the shift, to begin with.
        """
        t, head, tail, seg, slopes = self.t, self.head, self.tail, self.seg, self.slopes
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
        flow, push = self.flow, self._push
        for link in crossed:
            if link == entering:
                continue
            slope = slopes[link][seg[link]]
            change = slope - flow[link]
            if change:
                flow[link] = slope
                push(head[link], change)
                push(tail[link], -change)

    def _reach(self, moving: list[int], inside: set[int], later: bool) -> list[Event]:  # noqa: FBT001 - hot
        """The next breakpoint of every link between what moves and what stays, nearest first."""
        t, head, tail, seg, breaks, links_at = self.t, self.head, self.tail, self.seg, self.breaks, self.links_at
        events: list[Event] = []
        for one in moving:
            here = t[one]
            for link in links_at[one]:
                other = tail[link]
                if other == one:
                    other = head[link]
                    if other in inside:
                        continue
                    grows = not later
                    apart = t[other] - here
                elif other in inside:
                    continue
                else:
                    grows = later
                    apart = here - t[other]
                segment = seg[link]
                if grows:
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
