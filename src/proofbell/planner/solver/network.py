"""A net of moments and links: what the times between moments cost, and a tree of links that pins the times.

Moments are nodes; a link says what the time between two nodes costs, as a convex, piecewise linear function of
it: slopes between breakpoints. Bounds are links with a very steep slope outside them, so that any times have a
cost and a search may start from any times whatever.

Seconds are scaled by 2**24 and every link gets a small offset of its own, so that no two breakpoints coincide.
Offsets are so small that rounding the scaled times gives exact ones.
"""

from __future__ import annotations

SHIFT = 24
HALF = 1 << (SHIFT - 1)
HARD = 1_000_000_000_000
NOBODY = -1
GONE = (0,) * 8

Slopes = tuple[int, ...]
End = tuple[int, int, bool]
"""A link as seen from one of its nodes: the link, the other node, and whether this one is its head."""

Saved = tuple[
    list[int],
    list[int],
    list[int],
    list[list[int]],
    list[list[End]],
    list[int],
    list[int],
    list[tuple[int, ...]],
    list[Slopes],
    list[int],
    list[int],
    int,
    set[int],
    list[int],
]


class Net:
    """Moments, links and the tree of pinned links; node 0 is the origin, at 0 s.

    Lists within lists are replaced and never changed, so that `save` and `restore` need not copy them. ``moved`` are
    the nodes whose link has another flow than when the times were last settled, ``free`` the places of dropped links.
    """

    __slots__ = (
        "breaks",
        "children",
        "flow",
        "free",
        "head",
        "links_at",
        "moved",
        "nodes",
        "offset",
        "parent",
        "pinned",
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
        self.links_at: list[list[End]] = [[]]
        self.tail: list[int] = []
        self.head: list[int] = []
        self.breaks: list[tuple[int, ...]] = []
        self.slopes: list[Slopes] = []
        self.seg: list[int] = []
        self.flow: list[int] = []
        self.offset = 1
        self.value = 0
        self.moved: set[int] = set()
        self.free: list[int] = []

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
            self.moved.copy(),
            self.free[:],
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
                saved[12].copy(),
                saved[13][:],
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
            self.moved,
            self.free,
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
        self.seg[link] = pin
        self.t.append(self.t[behind] + self.breaks[link][pin])
        self.parent.append(behind)
        self.pinned.append(link)
        self.children[behind] = [*self.children[behind], node]
        self.children.append([])
        self.links_at.append([(link, behind, True)])
        self.links_at[behind] = [*self.links_at[behind], (link, node, False)]
        return node

    def _new_link(self, tail: int, head: int, breaks_s: tuple[int, ...], slopes: Slopes) -> int:
        # A linear congruential sequence: offsets of 12 bits, alike on every machine.
        self.offset = (self.offset * 1103515245 + 12345) & 0x7FFFFFFF
        noise = self.offset >> 19
        breaks = tuple([(second << SHIFT) + noise for second in breaks_s])
        if self.free:
            link = self.free.pop()
            self.tail[link], self.head[link] = tail, head
            self.breaks[link], self.slopes[link] = breaks, slopes
            self.seg[link] = self.flow[link] = 0
            return link
        self.tail.append(tail)
        self.head.append(head)
        self.breaks.append(breaks)
        self.slopes.append(slopes)
        self.seg.append(0)
        self.flow.append(0)
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
        self.seg[link] = segment
        slope = self.flow[link] = slopes[segment]
        self.links_at[tail] = [*self.links_at[tail], (link, head, False)]
        self.links_at[head] = [*self.links_at[head], (link, tail, True)]
        if slope:
            self._carry(head, slope, [(tail, -slope)])
            self.value += self._price(link)
        return link

    def drop_link(self, link: int) -> None:
        """Take a link away; `settle` afterwards. A pinned link stays as one that costs nothing."""
        tail, head = self.tail[link], self.head[link]
        for node in (head, tail):
            if self.pinned[node] == link:
                self.value -= self._price(link)
                self.slopes[link] = GONE
                self.moved.add(node)
                return
        self.value -= self._price(link)
        self._forget(link)
        slope = self.flow[link]
        if slope:
            self.flow[link] = 0
            self._carry(head, -slope, [(tail, slope)])

    def _forget(self, link: int) -> None:
        self.free.append(link)
        for node in (self.tail[link], self.head[link]):
            self.links_at[node] = [end for end in self.links_at[node] if end[0] != link]

    def _carry(self, node: int, amount: int, others: list[tuple[int, int]]) -> None:
        """Restore the balance along the tree after the slopes of some nodes have grown by amounts that sum to zero.

        Args:
            node: one of these nodes.
            amount: by how much its own slope has grown.
            others: the other nodes, each with its amount.
        """
        parent, pinned, head, flow, moved = self.parent, self.pinned, self.head, self.flow, self.moved
        joining = {}
        one = node
        while one >= 0:
            joining[one] = 0
            one = parent[one]
        for other, more in others:
            one = other
            while one not in joining:
                link = pinned[one]
                flow[link] += more if head[link] != one else -more
                moved.add(one)
                one = parent[one]
            joining[one] += more
        single = len(others) == 1
        for one, more in joining.items():
            amount += more
            if amount:
                link = pinned[one]
                flow[link] += amount if head[link] != one else -amount
                moved.add(one)
            elif single:
                return
