"""Exact times for a given order: the cheapest times that keep to a net of bounds between moments.

Moments are nodes; a link says what the time between two nodes costs, as a convex, piecewise linear function of
it: slopes between breakpoints. Bounds are links with a very steep slope outside them, so that any times have a
cost and the search may start from any times whatever.

The cheapest times are found by the network simplex method in its dual form (the times are the potentials of a
minimum-cost flow; Ahuja, Magnanti and Orlin, Network Flows, 1993, ch. 9 and 11). A spanning tree of links is
pinned at breakpoints. The flow on a pinned link is the slope it would need for balance; where that lies outside
the slopes on its two sides, letting go of the link and shifting everything behind it makes the plan cheaper.
The shift passes breakpoint after breakpoint until it no longer pays, and the link reached there is pinned.

Seconds are scaled by 2**24 and every link gets a small offset of its own, so that no two breakpoints coincide and
each shift gains something. Offsets are so small that rounding the result gives times that are exact.
"""

from __future__ import annotations

from bisect import insort

SHIFT = 24
HALF = 1 << (SHIFT - 1)
HARD = 1_000_000_000_000
NOBODY = -1
GONE = (0,) * 8

Slopes = tuple[int, ...]
Event = tuple[int, int, bool]
Saved = tuple[
    list[int],
    list[int],
    list[int],
    list[list[int]],
    list[list[int]],
    list[int],
    list[int],
    list[tuple[int, ...]],
    list[Slopes],
    list[int],
    list[int],
    int,
]


class Timing:
    """A net of moments and links, and its cheapest times.

    Node 0 is the origin, at 0 s. After `settle` the times are the cheapest; `save` and `restore` go back to an
    earlier state at little cost.
    """

    __slots__ = (
        "breaks",
        "children",
        "flow",
        "head",
        "links_at",
        "nodes",
        "offset",
        "parent",
        "pinned",
        "pivots",
        "seg",
        "slopes",
        "t",
        "tail",
        "value",
    )

    def __init__(self) -> None:
        self.nodes = 1
        self.t = [0]
        self.parent = [NOBODY]
        self.pinned = [NOBODY]
        self.children: list[list[int]] = [[]]
        self.links_at: list[list[int]] = [[]]
        self.tail: list[int] = []
        self.head: list[int] = []
        self.breaks: list[tuple[int, ...]] = []
        self.slopes: list[Slopes] = []
        self.seg: list[int] = []
        self.flow: list[int] = []
        self.offset = 1
        self.pivots = 0
        self.value = 0

    def cost(self) -> int:
        """What the times cost, each link counted from its cheapest length."""
        return (self.value + HALF) >> SHIFT

    def save(self) -> Saved:
        """A copy of everything, for `restore`."""
        return (
            self.t[:],
            self.parent[:],
            self.pinned[:],
            self.children[:],
            self.links_at[:],
            self.tail[:],
            self.head[:],
            self.breaks[:],
            self.slopes[:],
            self.seg[:],
            self.flow[:],
            self.value,
        )

    def restore(self, saved: Saved, *, again: bool = True) -> None:
        """Go back to a saved state.

        Args:
            saved: the state.
            again: whether it may be needed once more; if not, it is taken as it is.
        """
        if again:
            saved = (
                saved[0][:],
                saved[1][:],
                saved[2][:],
                saved[3][:],
                saved[4][:],
                saved[5][:],
                saved[6][:],
                saved[7][:],
                saved[8][:],
                saved[9][:],
                saved[10][:],
                saved[11],
            )
        (
            self.t,
            self.parent,
            self.pinned,
            self.children,
            self.links_at,
            self.tail,
            self.head,
            self.breaks,
            self.slopes,
            self.seg,
            self.flow,
            self.value,
        ) = saved

    def _price(self, link: int) -> int:
        """What one link costs at the present times, scaled."""
        apart = self.t[self.head[link]] - self.t[self.tail[link]]
        bounds, sides = self.breaks[link], self.slopes[link]
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
        """Add a moment, tied to an earlier one.

        Args:
            behind: the node it is tied to, as the link's tail.
            breaks_s: rising breakpoints of the time between them, seconds.
            slopes: cost of each further second before, between and after the breakpoints; rising.
            pin: the breakpoint to start from; the slopes beside it are of different sign.

        Returns:
            The number of the new node.
        """
        node = self.nodes
        self.nodes += 1
        link = self._new_link(behind, node, breaks_s, slopes)
        self.seg.append(pin)
        self.flow.append(0)
        self.t.append(self.t[behind] + self.breaks[link][pin])
        self.parent.append(behind)
        self.pinned.append(link)
        self.children[behind] = [*self.children[behind], node]
        self.children.append([])
        self.links_at.append([link])
        self.links_at[behind] = [*self.links_at[behind], link]
        return node

    def _new_link(self, tail: int, head: int, breaks_s: tuple[int, ...], slopes: Slopes) -> int:
        # A linear congruential sequence: offsets of 12 bits, alike on every machine.
        self.offset = (self.offset * 1103515245 + 12345) & 0x7FFFFFFF
        noise = self.offset >> 19
        self.tail.append(tail)
        self.head.append(head)
        self.breaks.append(tuple([(second << SHIFT) + noise for second in breaks_s]))
        self.slopes.append(slopes)
        return len(self.tail) - 1

    def add_link(self, tail: int, head: int, breaks_s: tuple[int, ...], slopes: Slopes) -> int:
        """Add a link between two nodes that are there; `settle` afterwards.

        Args:
            tail: the earlier node.
            head: the later node.
            breaks_s: rising breakpoints of the time from tail to head, seconds.
            slopes: cost of each further second, one more than there are breakpoints; rising.

        Returns:
            The number of the link.
        """
        link = self._new_link(tail, head, breaks_s, slopes)
        apart = self.t[head] - self.t[tail]
        segment = 0
        for bound in self.breaks[link]:
            if apart < bound:
                break
            segment += 1
        self.seg.append(segment)
        slope = slopes[segment]
        self.flow.append(slope)
        self.links_at[tail] = [*self.links_at[tail], link]
        self.links_at[head] = [*self.links_at[head], link]
        if slope:
            self._push(head, slope)
            self._push(tail, -slope)
            self.value += self._price(link)
        return link

    def drop_link(self, link: int) -> None:
        """Take a link away; `settle` afterwards. A pinned link stays as one that costs nothing."""
        tail, head = self.tail[link], self.head[link]
        if self.pinned[head] == link or self.pinned[tail] == link:
            self.value -= self._price(link)
            self.slopes[link] = GONE
            return
        self.value -= self._price(link)
        self._forget(link)
        slope = self.flow[link]
        if slope:
            self.flow[link] = 0
            self._push(head, -slope)
            self._push(tail, slope)

    def _forget(self, link: int) -> None:
        for node in (self.tail[link], self.head[link]):
            self.links_at[node] = [one for one in self.links_at[node] if one != link]

    def _push(self, node: int, amount: int) -> None:
        """Restore the balance along the tree after a node's own slope has grown by an amount."""
        parent, pinned, head, flow = self.parent, self.pinned, self.head, self.flow
        while node:
            link = pinned[node]
            if head[link] == node:
                flow[link] -= amount
            else:
                flow[link] += amount
            node = parent[node]

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
        self.pivots += 1
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
