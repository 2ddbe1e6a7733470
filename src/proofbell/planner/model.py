"""What the planner is asked and what it answers, in whole seconds from an origin that is handed in.

Nothing here knows formulas, screens or clocks. Seconds are ints; temperatures are floats in °C.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING

from proofbell.bake import letters

if TYPE_CHECKING:
    from collections.abc import Iterator

LETTERS = letters.LETTERS


@dataclass(frozen=True, slots=True)
class Heat:
    """One part of a bake at one oven temperature.

    Attributes:
        seconds_s: how long this heat is nominally held.
        oven_c: oven temperature, °C.
    """

    seconds_s: int
    oven_c: float


@dataclass(frozen=True, slots=True)
class Step:
    """One stage of a chain: its lengths, what it takes of hands and oven, and what has happened of it.

    Attributes:
        name: the stage's name, as the formula has it.
        kind: hands, proof, rest, chill, bake or cool.
        least_s: shortest length the dough forgives, seconds.
        nominal_s: wanted length, seconds.
        most_s: longest length the dough forgives, seconds.
        hands_s: seconds of hands at its start; None means hands for as long as it lasts.
        hands_end_s: seconds of hands at its end, such as unloading; they lie inside the stage.
        critical: whether straying from nominal harms the dough (proofs, bakes), or hardly (rests).
        heats: what a bake asks of the oven, in order; empty without an oven.
        trays: oven places it takes.
        wait_s: longest wait allowed between its end and the next stage's start, seconds.
        begun_s: when it began, if it has.
        ended_s: when it ended, if it has.
        instead: a longer, cold stage that may take this one's place (retarding), if the formula allows.
    """

    name: str
    kind: str
    least_s: int
    nominal_s: int
    most_s: int
    hands_s: int | None = 0
    hands_end_s: int = 0
    critical: bool = False
    heats: tuple[Heat, ...] = ()
    trays: int = 1
    wait_s: int = 0
    begun_s: int | None = None
    ended_s: int | None = None
    instead: Step | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.least_s <= self.nominal_s <= self.most_s:
            raise ValueError(f"{self.name}: lengths must rise from least to nominal to most")
        if self.wait_s < 0 or self.hands_end_s < 0 or (self.hands_s or 0) < 0:
            raise ValueError(f"{self.name}: waits and hands cannot be negative")
        if (self.hands_s or 0) + self.hands_end_s > self.least_s:
            raise ValueError(f"{self.name}: hands at start and end must fit into the shortest length")
        if self.ended_s is not None and (self.begun_s is None or self.ended_s < self.begun_s):
            raise ValueError(f"{self.name}: a stage ends after it has begun")

    @property
    def ended(self) -> bool:
        """Whether the stage is over."""
        return self.ended_s is not None

    @property
    def running(self) -> bool:
        """Whether the stage has begun and not ended."""
        return self.begun_s is not None and self.ended_s is None

    def bounds_s(self, now_s: int) -> tuple[int, int]:
        """Shortest and longest length that is still open, seconds.

        A running stage cannot end in the past: what has run over is a fact, not a fault of the plan.
        """
        if self.begun_s is None or self.ended_s is not None:
            return self.least_s, self.most_s
        least_s = max(self.least_s, now_s - self.begun_s)
        return least_s, max(self.most_s, least_s)


@dataclass(frozen=True, slots=True)
class Chain:
    """One bake as a chain of steps, each following on the one before.

    Attributes:
        letter: A to L.
        steps: stages in order; what has begun comes before what has not.
        ready_by_s: when it is wanted, or None for "as soon as it can be".
        not_before_s: the first stage begins no earlier than this.
        latest_s: the last stage must end by then, or the plan is not sound; None for no such bound.
        name: what the bake is called.
    """

    letter: str
    steps: tuple[Step, ...]
    ready_by_s: int | None = None
    not_before_s: int = 0
    latest_s: int | None = None
    name: str = ""

    def __post_init__(self) -> None:
        if not self.steps:
            raise ValueError(f"{self.letter}: a chain needs at least one step")
        begun = [step.begun_s is not None for step in self.steps]
        ended = [step.ended for step in self.steps]
        if sorted(begun, reverse=True) != begun or sorted(ended, reverse=True) != ended:
            raise ValueError(f"{self.letter}: stages begin and end in their order")
        if sum(step.running for step in self.steps) > 1:
            raise ValueError(f"{self.letter}: only one stage runs at a time")


@dataclass(frozen=True, slots=True)
class Capacity:
    """The hands and the oven that all bakes share.

    Attributes:
        people: pairs of hands.
        trays: oven places.
        up_s_per_k: seconds the oven takes to rise by one kelvin.
        down_s_per_k: seconds it takes to fall by one kelvin.
        oven_c: oven temperature now, °C.
        room_c: where the oven starts from after it has been off, °C.
    """

    people: int = 1
    trays: int = 1
    up_s_per_k: float = 6.0
    down_s_per_k: float = 9.0
    oven_c: float = 20.0
    room_c: float = 20.0

    def __post_init__(self) -> None:
        if self.people < 1 or self.trays < 1:
            raise ValueError("a kitchen has at least one pair of hands and one oven place")

    def change_s(self, from_c: float, to_c: float) -> int:
        """Seconds the oven takes from one temperature to another, rounded up."""
        change_k = to_c - from_c
        rate = self.up_s_per_k if change_k > 0 else self.down_s_per_k
        return math.ceil(abs(change_k) * rate - 1e-9)


@dataclass(frozen=True)
class Problem:
    """Everything one plan is made for.

    Attributes:
        chains: the bakes; letters differ.
        capacity: hands and oven.
        now_s: nothing that has not begun may begin before this.
    """

    chains: tuple[Chain, ...]
    capacity: Capacity = field(default_factory=Capacity)
    now_s: int = 0

    def __post_init__(self) -> None:
        letters = [chain.letter for chain in self.chains]
        if len(set(letters)) != len(letters):
            raise ValueError("two bakes have one letter")
        for chain in self.chains:
            for step in chain.steps:
                if step.trays > self.capacity.trays and step.heats and not step.ended:
                    raise ValueError(
                        f"{chain.letter}, {step.name}: takes {step.trays} oven places, the oven has "
                        f"{self.capacity.trays}"
                    )

    @cached_property
    def by_letter(self) -> dict[str, Chain]:
        """The chains by their letters."""
        return {chain.letter: chain for chain in self.chains}


@dataclass(frozen=True, slots=True)
class Times:
    """When each step of one chain begins and ends, seconds."""

    letter: str
    begins_s: tuple[int, ...]
    ends_s: tuple[int, ...]

    @property
    def ready_s(self) -> int:
        """When the last step ends."""
        return self.ends_s[-1]


@dataclass(frozen=True, slots=True)
class Cost:
    """What a plan costs, in the objective's own terms: seconds first, then the weighted total.

    Attributes:
        over_s: seconds outside what the dough forgives; a sound plan has none.
        late_s: seconds after "ready by", summed over the bakes.
        oven_s: seconds the oven is on.
        proof_s: seconds that proofs and bakes stray from their nominal.
        rest_s: seconds that other stages stray from their nominal.
        wait_s: seconds of waiting between stages.
        early_s: seconds that bakes are ready before they are wanted.
        soon_s: for bakes without "ready by": seconds from now until they are ready.
        total: weighted sum.
    """

    over_s: int
    late_s: int
    oven_s: int
    proof_s: int
    rest_s: int
    wait_s: int
    early_s: int
    soon_s: int
    total: int


@dataclass(frozen=True, slots=True)
class OvenUse:
    """One stretch of the oven's day.

    Attributes:
        begins_s: from when.
        ends_s: until when.
        oven_c: temperature held, or aimed for while it changes.
        state: "heating", "cooling", "holding" (hot, empty) or "baking".
        letter: the bake inside, or the one it is being made ready for.
    """

    begins_s: int
    ends_s: int
    oven_c: float
    state: str
    letter: str


@dataclass(frozen=True, slots=True)
class Clash:
    """Two stages that cannot both have what they need.

    Attributes:
        first_letter: bake of the first stage.
        first_step: index of the first stage in its chain.
        second_letter: bake of the second stage.
        second_step: index of the second stage.
        about: "hands", "oven", or "time" when a single bake cannot keep its own bounds.
        at_s: when they get into each other's way.
        over_s: by how many seconds the dough would be kept beyond what it forgives.
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
        clashes: what cannot be kept; empty in a sound plan.
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
        """Whether every length is inside what the dough forgives."""
        return self.cost.over_s == 0

    def of(self, letter: str) -> Times:
        """The times of one bake.

        Raises:
            KeyError: no bake has that letter.
        """
        for times in self.times:
            if times.letter == letter:
                return times
        raise KeyError(letter)

    def __iter__(self) -> Iterator[Times]:
        return iter(self.times)
