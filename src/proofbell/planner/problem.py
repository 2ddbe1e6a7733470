"""What the planner is asked, in whole seconds from an origin that is handed in.

Seconds are ints; temperatures are floats in °C. Names and kinds of steps are the caller's own words: the planner hands
them on and reads nothing in them.
"""

from __future__ import annotations

import dataclasses
import math
from dataclasses import field
from enum import Enum
from functools import cached_property

from proofbell.frozen import dataclass


class Flexibility(Enum):
    """What may be done about the length of a step beyond its bounds."""

    RIGID = "rigid"
    """Done when it is done: where its bounds are one length, it never lasts longer."""
    FIXED = "fixed"
    """Nobody is asked for another length, but it may overrun at the price of a violation."""
    ELASTIC = "elastic"
    """Somebody may be asked for another length."""
    FREE = "free"
    """Its length matters to nobody; it stays open when all other lengths are kept."""


@dataclass(frozen=True, slots=True)
class Heat:
    """One part of a step at one oven temperature.

    Attributes:
        seconds_s: how long this heat is nominally held.
        oven_c: oven temperature, °C.
        steam: whether the oven is kept full of steam meanwhile.
    """

    seconds_s: int
    oven_c: float
    steam: bool = False


@dataclass(frozen=True, slots=True)
class Task:
    """A short use of hands inside a step, such as a reading.

    Attributes:
        kind: what sort of task it is, in the caller's own word.
        at_s: seconds from the step's beginning; below zero: from its end.
        hands_s: how long hands are needed, seconds.
        what: what exactly, each in the caller's own word.
    """

    kind: str
    at_s: int
    hands_s: int
    what: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a chain (an operation of a job): its lengths, what it takes of hands and oven, what has happened.

    Attributes:
        name: what it is called.
        kind: what sort of step it is, in the caller's own word.
        least_s: shortest length allowed, seconds.
        nominal_s: wanted length, seconds.
        most_s: longest length allowed, seconds.
        hands_s: seconds of hands at its start; None means hands for as long as it lasts.
        hands_end_s: seconds of hands at its end, such as unloading; they lie inside the step.
        critical: whether a deviation from nominal does harm, or hardly any.
        flexibility: what may be done about its length.
        heats: what it asks of the oven, in order; empty without an oven.
        trays: oven places it takes.
        wait_s: longest wait allowed between its end and the next step's start, seconds.
        begun_s: when it began, if it has.
        ended_s: when it ended, if it has.
        instead: a longer step that may take this one's place, if there is one.
        after: indices of the steps that it follows; None: the one before it. None of them: it begins a strand.
        tasks: what else takes hands in it; they lie inside the shortest length.
        flat: whether any length inside the bounds is as good as another.
        shared: whether what a deviation costs grows with it, so that those who wait for each other share it.
        since: the index of an earlier step that has gone on, in effect, until this one begins; None for none.
        lag_s: what lies between the end of that step and this one besides, seconds.
        of: the caller's own number for what it is a part of.
        ahead: whether it may come before its chain may begin; then it follows nothing.
    """

    name: str
    kind: str
    least_s: int
    nominal_s: int
    most_s: int
    hands_s: int | None = 0
    hands_end_s: int = 0
    critical: bool = False
    flexibility: Flexibility = Flexibility.FIXED
    heats: tuple[Heat, ...] = ()
    trays: int = 1
    wait_s: int = 0
    begun_s: int | None = None
    ended_s: int | None = None
    instead: Step | None = None
    after: tuple[int, ...] | None = None
    tasks: tuple[Task, ...] = ()
    flat: bool = False
    shared: bool = False
    since: int | None = None
    lag_s: int = 0
    of: int | None = None
    ahead: bool = False

    def __post_init__(self) -> None:
        if not 0 <= self.least_s <= self.nominal_s <= self.most_s:
            raise ValueError(f"{self.name}: lengths must rise from least to nominal to most")
        if self.wait_s < 0 or self.hands_end_s < 0 or (self.hands_s or 0) < 0:
            raise ValueError(f"{self.name}: waits and hands cannot be negative")
        if (self.hands_s or 0) + self.hands_end_s > self.least_s:
            raise ValueError(f"{self.name}: hands at start and end must fit into the shortest length")
        if any(not -self.least_s <= task.at_s <= self.least_s - task.hands_s for task in self.tasks):
            raise ValueError(f"{self.name}: tasks must fit into the shortest length")
        if self.ended_s is not None and (self.begun_s is None or self.ended_s < self.begun_s):
            raise ValueError(f"{self.name}: a step ends after it has begun")

    @property
    def ended(self) -> bool:
        """Whether the step is over."""
        return self.ended_s is not None

    @property
    def running(self) -> bool:
        """Whether the step has begun and not ended."""
        return self.begun_s is not None and self.ended_s is None

    def bounds_s(self, now_s: int) -> tuple[int, int]:
        """Shortest and longest length that is still open, seconds.

        A running step cannot end in the past: what has run over is a fact, not a fault of the plan.
        """
        if self.begun_s is None or self.ended_s is not None:
            return self.least_s, self.most_s
        least_s = max(self.least_s, now_s - self.begun_s)
        return least_s, max(self.most_s, least_s)


@dataclasses.dataclass(frozen=True)
class Chain:
    """Steps that follow on each other (a job): one bake, say. Strands may run side by side until a step joins them.

    Attributes:
        letter: tells it from the others.
        steps: steps in order; each comes after all that it follows, and begins once those have ended.
        ready_by_s: when it is wanted, or None for "as soon as it can be".
        not_before_s: the first step begins no earlier than this, but for what may come ahead of it.
        latest_s: the last step must end by then, or the plan is not feasible; None for no such bound.
        name: what it is called.
        split: chains that may be made in its place, the first of its letter, such as two of half the size; or none.
    """

    letter: str
    steps: tuple[Step, ...]
    ready_by_s: int | None = None
    not_before_s: int = 0
    latest_s: int | None = None
    name: str = ""
    split: tuple[Chain, ...] = ()

    def __post_init__(self) -> None:
        if not self.steps:
            raise ValueError(f"{self.letter}: a chain needs at least one step")
        for at, step in enumerate(self.steps):
            before = self.before(at)
            if any(not 0 <= one < at for one in before):
                raise ValueError(f"{self.letter}, {step.name}: a step follows steps that stand before it")
            if step.begun_s is not None and not all(self.steps[one].ended for one in before):
                raise ValueError(f"{self.letter}: steps begin and end in their order")
            if step.since is not None and not 0 <= step.since < at:
                raise ValueError(f"{self.letter}, {step.name}: only a step before it can go on until it begins")

    @cached_property
    def follows(self) -> tuple[tuple[int, ...], ...]:
        """For each step, the indices of those that it follows."""
        return tuple(
            step.after if step.after is not None else (at - 1,) if at else () for at, step in enumerate(self.steps)
        )

    def before(self, at: int) -> tuple[int, ...]:
        """Indices of the steps that a step follows."""
        return self.follows[at]

    def taken(self, instead: tuple[int, ...]) -> tuple[Step, ...]:
        """The steps, some with the longer ones in their place."""
        if not instead:
            return self.steps
        return tuple(
            step.instead if at in instead and step.instead is not None else step for at, step in enumerate(self.steps)
        )

    @property
    def choices(self) -> tuple[tuple[int, ...], ...]:
        """The choices of longer steps: none, or one of those that have not begun."""
        open_ = [(at,) for at, step in enumerate(self.steps) if step.instead is not None and step.begun_s is None]
        return ((), *open_)

    def earliest_s(self, now_s: int) -> int:
        """When its first step may begin, one ahead of the chain as late as it may be, seconds."""
        ahead_s = self.steps[0].nominal_s if self.steps[0].ahead else 0
        return max(now_s, self.not_before_s - ahead_s)

    @property
    def begun(self) -> bool:
        """Whether any of its steps has begun."""
        return any(step.begun_s is not None for step in self.steps)

    @property
    def begun_first_s(self) -> int | None:
        """When the first of its steps to begin began."""
        return min((step.begun_s for step in self.steps if step.begun_s is not None), default=None)


@dataclass(frozen=True, slots=True)
class Capacity:
    """The hands and the oven that all chains share.

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


@dataclasses.dataclass(frozen=True)
class Problem:
    """Everything one plan is made for.

    Attributes:
        chains: what is to be done; letters differ.
        capacity: hands and oven.
        now_s: nothing that has not begun may begin before this.
        quiet: spans without hands, in order of time: chains that have begun keep them where they can, others always.
    """

    chains: tuple[Chain, ...]
    capacity: Capacity = field(default_factory=Capacity)
    now_s: int = 0
    quiet: tuple[tuple[int, int], ...] = ()

    def __post_init__(self) -> None:
        if any(begin_s >= end_s for begin_s, end_s in self.quiet):
            raise ValueError("a quiet span ends after it begins")
        letters = [chain.letter for chain in self.chains]
        if len(set(letters)) != len(letters):
            raise ValueError("two chains have one letter")
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
