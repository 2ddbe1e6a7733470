"""What the planner answers, in whole seconds from the origin of its problem."""

from __future__ import annotations

from typing import TYPE_CHECKING

from proofbell.frozen import dataclass
from proofbell.planner.problem import Problem

if TYPE_CHECKING:
    from collections.abc import Iterator


@dataclass(frozen=True, slots=True)
class Times:
    """When each step of one chain begins and ends, seconds; ``instead``: those whose longer ones took their place."""

    letter: str
    begins_s: tuple[int, ...]
    ends_s: tuple[int, ...]
    instead: tuple[int, ...] = ()

    @property
    def ready_s(self) -> int:
        """When the last step ends."""
        return self.ends_s[-1]


@dataclass(frozen=True, slots=True)
class Cost:
    """What a plan costs, in the objective's own terms: seconds first, then the weighted total.

    Attributes:
        violation_s: seconds outside what is allowed; a feasible plan has none.
        late_s: seconds after "ready by", summed over the chains (tardiness).
        oven_s: seconds the oven is on.
        critical_s: seconds that critical steps deviate from their nominal.
        other_s: seconds that other steps deviate from their nominal.
        wait_s: seconds of waiting between steps.
        early_s: seconds that chains are ready before they are wanted.
        soon_s: for chains without "ready by": seconds from now until they are ready.
        total: weighted sum.
        quiet_s: seconds that hands are needed inside quiet spans.
        edge_s: seconds that hands are needed nearer to a quiet span than is wanted.
        shared: what deviations cost that are shared out, weighed.
        longer: how many longer steps took another's place.
        stale_s: seconds that chains are ready before the day on which they are wanted has begun.
    """

    violation_s: int
    late_s: int
    oven_s: int
    critical_s: int
    other_s: int
    wait_s: int
    early_s: int
    soon_s: int
    total: int
    quiet_s: int = 0
    edge_s: int = 0
    shared: int = 0
    longer: int = 0
    stale_s: int = 0


@dataclass(frozen=True, slots=True)
class OvenUse:
    """One stretch of the oven's day.

    Attributes:
        begins_s: from when.
        ends_s: until when.
        oven_c: temperature held, or aimed for while it changes.
        state: "heating", "cooling", "holding" (hot, empty) or "baking" (something is in it).
        letter: the chain inside, or the one it is being made ready for.
        steam: whether it is kept full of steam.
    """

    begins_s: int
    ends_s: int
    oven_c: float
    state: str
    letter: str
    steam: bool = False


@dataclass(frozen=True, slots=True)
class Clash:
    """Two steps that cannot both have what they need.

    Attributes:
        first_letter: chain of the first step.
        first_step: index of the first step in its chain.
        second_letter: chain of the second step.
        second_step: index of the second step.
        about: "hands", "oven", or "time" when a single chain cannot keep its own bounds.
        at_s: when they get into each other's way.
        over_s: by how many seconds the second step comes too late, or its chain is late.
    """

    first_letter: str
    first_step: int
    second_letter: str
    second_step: int
    about: str
    at_s: int
    over_s: int


@dataclass(frozen=True, slots=True)
class Plan:
    """When everything happens.

    Attributes:
        problem: what it was made for.
        times: one entry for each chain, in the problem's order.
        cost: its cost.
        oven: the oven's day in order of time.
        clashes: what cannot be kept; empty in a feasible plan.
        proved: whether no better plan exists.
    """

    problem: Problem
    times: tuple[Times, ...]
    cost: Cost
    oven: tuple[OvenUse, ...] = ()
    clashes: tuple[Clash, ...] = ()
    proved: bool = False

    @property
    def feasible(self) -> bool:
        """Whether every length is inside what is allowed."""
        return self.cost.violation_s == 0

    def of(self, letter: str) -> Times:
        """The times of one chain.

        Raises:
            KeyError: no chain has that letter.
        """
        for times in self.times:
            if times.letter == letter:
                return times
        raise KeyError(letter)

    def __iter__(self) -> Iterator[Times]:
        return iter(self.times)
