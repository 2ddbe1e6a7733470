"""Uses of hands and oven in a draft, and what follows for the oven from which bake comes after which."""

from __future__ import annotations

from dataclasses import dataclass

from proofbell.planner.model import Capacity

Point = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Task:
    """One use of hands or oven: its begin and end as (node, seconds after it), and whose it is.

    Attributes:
        begin: where it begins.
        end: where it ends.
        chain: index of the bake.
        step: index of the (first) step.
        begun: whether it has begun, and can no longer be moved.
        trays: oven places.
        first_c: heat it begins with; for the oven only.
        last_c: heat it ends with.
        single: whether it needs one heat only, and so may share the oven.
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


class OvenFacts:
    """What holds between the bakes of one problem, whatever their order.

    Attributes:
        hot_now: whether the oven is hotter than the room.
        heat_up: seconds from the room's temperature to each use's first heat.
        change: seconds from each use's last heat to each other's first.
        together: whether two uses may be in the oven at one time.
        shares: whether a use may be together with any other.
        sharing: whether any may.
        least_change: the least seconds of hot oven before each use, whatever comes before it.
    """

    def __init__(self, capacity: Capacity, uses: list[Task]) -> None:
        self.hot_now = capacity.oven_c > capacity.room_c
        self.heat_up = [capacity.change_s(capacity.room_c, use.first_c) for use in uses]
        self.change = [[capacity.change_s(one.last_c, other.first_c) for other in uses] for one in uses]
        self.together = [[_together(capacity, one, other) for other in uses] for one in uses]
        self.shares = [any(row) for row in self.together]
        self.sharing = any(self.shares)
        self.least_change = [self._least(capacity, number, use) for number, use in enumerate(uses)]

    def _least(self, capacity: Capacity, number: int, use: Task) -> int:
        if self.shares[number] or use.begun:
            return 0
        found = [self.heat_up[number]]
        found += [row[number] for other, row in enumerate(self.change) if other != number]
        if self.hot_now:
            found.append(capacity.change_s(capacity.oven_c, use.first_c))
        return min(found)


def _together(capacity: Capacity, one: Task, other: Task) -> bool:
    alike = one.single and other.single and one.first_c == other.first_c
    return one is not other and alike and one.trays + other.trays <= capacity.trays
