"""Resource usage: uses of hands and oven, and the oven's set-up times, which depend on what comes after what."""

from __future__ import annotations

from proofbell.frozen import dataclass
from proofbell.planner.problem import Capacity

Point = tuple[int, int]


@dataclass(frozen=True, slots=True)
class ResourceUse:
    """One use of hands or oven: its begin and end as (node, seconds after it), and whose it is.

    Attributes:
        begin: where it begins.
        end: where it ends.
        chain: index of the chain.
        step: index of the (first) step.
        begun: whether it has begun, and can no longer be moved.
        trays: oven places.
        first_c: heat it begins with; for the oven only.
        last_c: heat it ends with.
        single: whether it needs one heat only, and so may share the oven.
        lead_s: how long before it somebody must be there, after a quiet span.
    """

    begin: Point
    end: Point
    chain: int
    step: int
    begun: bool
    trays: int = 1
    first_c: float = 0.0
    last_c: float = 0.0
    single: bool = False
    lead_s: int = 0

    @property
    def quiet(self) -> bool:
        """Whether it is a span without hands, and nobody's use."""
        return self.chain < 0

    @property
    def fixed(self) -> bool:
        """Whether nothing can move it: two such that are in each other's way are so, whatever is planned."""
        return self.begun or not (self.begin[0] or self.end[0])


class OvenSetup:
    """What holds between the oven uses of one problem, whatever their order.

    Attributes:
        hot_now: whether the oven is hotter than the room.
        heat_up: seconds from the room's temperature to each use's first heat.
        change: seconds from each use's last heat to each other's first.
        together: whether two uses may be in the oven at one time.
        shares: whether a use may be together with any other.
        sharing: whether any may.
        least_change: the least seconds of hot oven before each use, whatever comes before it.
    """

    def __init__(self, capacity: Capacity, oven_uses: list[ResourceUse]) -> None:
        self.hot_now = capacity.oven_c > capacity.room_c
        self.heat_up = [capacity.change_s(capacity.room_c, use.first_c) for use in oven_uses]
        self.change = [[capacity.change_s(one.last_c, other.first_c) for other in oven_uses] for one in oven_uses]
        self.together = [[_together(capacity, one, other) for other in oven_uses] for one in oven_uses]
        self.shares = [any(row) for row in self.together]
        self.sharing = any(self.shares)
        self.least_change = [self._least(capacity, number, use) for number, use in enumerate(oven_uses)]

    def _least(self, capacity: Capacity, number: int, use: ResourceUse) -> int:
        if self.shares[number] or use.begun:
            return 0
        found = [self.heat_up[number]]
        found += [row[number] for other, row in enumerate(self.change) if other != number]
        if self.hot_now:
            found.append(capacity.change_s(capacity.oven_c, use.first_c))
        return min(found)


def _together(capacity: Capacity, one: ResourceUse, other: ResourceUse) -> bool:
    alike = one.single and other.single and one.first_c == other.first_c
    return one is not other and alike and one.trays + other.trays <= capacity.trays
