"""Where a bake stands: what the fold of its events gives. Nothing here is ever written down."""

from __future__ import annotations

from dataclasses import field, replace
from typing import Literal

from proofbell.bake.events import AsPlanned, Event, Eye, Resized, TimeAdjusted
from proofbell.bake.stamp import Stamp, Timeline
from proofbell.bake.tasks import OvenTask, Task
from proofbell.bake.weigh.batch import Batch
from proofbell.formula.model import Formula, ReadingKind, Stage
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen


@dataclass(frozen=True, slots=True)
class Adjustment:
    """A change of a stage's length that stands, with the event's number and the bake's time (s)."""

    number: int
    at_s: float
    body: TimeAdjusted


@dataclass(frozen=True, slots=True)
class Earlier:
    """A value that a reading had before it was corrected."""

    value: float | None
    typed: str
    eye: Eye | None


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading as it stands now; ``earlier`` holds every value it had before, the first one first."""

    number: int
    at_s: float
    what: ReadingKind
    value: float | None
    typed: str
    raw: float | None
    eye: Eye | None
    stage: int | None
    check: int | None
    source: str = ""
    earlier: tuple[Earlier, ...] = ()


@dataclass(frozen=True, slots=True)
class Stood:
    """A place (°C) that the dough was put into, by name if it has one, and when (the bake's time, s).

    ``agreed``: the plan put it there, for a time that was agreed.
    """

    at_s: float
    place_c: float
    place: str = ""
    agreed: bool = False


@dataclass(frozen=True, slots=True)
class StageState:
    """One stage of this bake. ``length_s`` is the whole length that holds now; ``stood`` is where it was moved to.

    ``declined_s``: the length, or the start, at which the baker left it though the plan asked for another.
    """

    begun_s: float | None = None
    ended_s: float | None = None
    length_s: float = 0.0
    adjustments: tuple[Adjustment, ...] = ()
    stood: tuple[Stood, ...] = ()
    missed: tuple[str, ...] = ()
    declined_s: float | None = None

    @property
    def due_s(self) -> float | None:
        """When the stage is due, in the bake's time (s)."""
        return None if self.begun_s is None else self.begun_s + self.length_s

    @property
    def agreed_place(self) -> bool:
        """Whether it stands where the plan put it."""
        return bool(self.stood) and self.stood[-1].agreed

    @property
    def said(self) -> bool:
        """Whether the length that holds is the baker's own word: by hand, or a yes to the plan."""
        return bool(self.adjustments) and self.adjustments[-1].body.by in {"hand", "plan"}

    def extensions(self) -> int:
        """How often a rise that was short has lengthened it."""
        return sum(1 for a in self.adjustments if a.body.by == "rise" and a.body.to_s > a.body.from_s)


@dataclass(frozen=True, slots=True)
class SizeSaid:
    """The size that was said last, and the stages (indices) that had begun then."""

    body: Resized
    begun: frozenset[int]


@dataclass(frozen=True, slots=True)
class Mark:
    """A task that was done, and when (s). ``stage`` is the stage that ran then."""

    task: Task
    stage: int | None
    at_s: float

    @property
    def from_c(self) -> float | None:
        """The heat (°C) that a hot oven was changed from."""
        return self.task.from_c if isinstance(self.task, OvenTask) else None


@dataclass(frozen=True, slots=True)
class Note:
    number: int
    at_s: float
    text: str
    stage: int | None


@dataclass(frozen=True, slots=True)
class Score:
    line: str
    points: int
    text: str
    at_s: float


@dataclass(frozen=True, slots=True)
class Closed:
    outcome: Literal["finished", "given up"]
    why: str
    at_s: float


@dataclass(frozen=True, slots=True)
class Shift:
    """From event ``since`` on the bake's own time is ``by_us`` later than the clocks alone count it."""

    since: int
    by_us: int


@dataclass(frozen=True, slots=True)
class BakeState:
    """A bake at the moment of its last event. ``times_us`` is the bake's own time of each event (µs).

    ``in_hand``: which of two stages that run is spoken of; None: the one that is due first. ``away``: it is over, and
    was put away.
    """

    id: str
    letter: str
    formula: Formula
    batch: Batch
    kitchen: Kitchen
    version: str
    opened: Stamp
    timeline: Timeline
    stages: tuple[StageState, ...]
    events: tuple[Event, ...]
    times_us: tuple[int, ...]
    shifts: tuple[Shift, ...] = ()
    start_s: float | None = None
    ready_by_s: float | None = None
    weigh_from_s: float | None = None
    as_planned: AsPlanned | None = None
    readings: tuple[Reading, ...] = ()
    marks: tuple[Mark, ...] = ()
    notes: tuple[Note, ...] = ()
    scores: tuple[Score, ...] = ()
    typical: bool = True
    row: float | None = None
    size_said: SizeSaid | None = None
    closed: Closed | None = None
    away: bool = False
    undone: frozenset[int] = field(default_factory=frozenset)
    in_hand: int | None = None

    @property
    def last(self) -> Event:
        return self.events[-1]

    @property
    def current(self) -> int | None:
        """Index of the stage that runs; of two preferments' that which is due first, or is in hand; None for none."""
        running = self.running
        return self.in_hand if self.in_hand in running else next(iter(running), None)

    @property
    def running(self) -> tuple[int, ...]:
        """The stages that run, the one that is due first before the others."""
        found = [i for i, stage in enumerate(self.stages) if stage.begun_s is not None and stage.ended_s is None]
        return tuple(sorted(found, key=lambda i: self.stages[i].due_s or 0.0))

    @property
    def may_begin(self) -> tuple[int, ...]:
        """The stages that wait for nothing but to be begun: a preferment's first, or the very first."""
        return tuple(
            index
            for index, stage in enumerate(self.stages)
            if stage.begun_s is None
            and all(self.stages[one].ended_s is not None for one in self.formula.follows(index))
        )

    @property
    def begun(self) -> bool:
        return self.begun_s is not None

    @property
    def begun_s(self) -> float | None:
        """When its first stage began (s)."""
        return min((stage.begun_s for stage in self.stages if stage.begun_s is not None), default=None)

    def with_stage(self, index: int, stage: StageState) -> BakeState:
        """The same bake with one stage in another state: for working out what would follow."""
        return replace(self, stages=(*self.stages[:index], stage, *self.stages[index + 1 :]))

    def next_number(self, stamp: Stamp) -> int:
        """The number of the first event of a decision made at ``stamp``; a note that the clock was set goes before."""
        return self.last.number + 1 + bool(self.timeline.clock_set_by_us(stamp))

    def stage(self, index: int) -> Stage:
        return self.formula.stages[index]

    def now_s(self, stamp: Stamp) -> float:
        """The bake's own time at ``stamp``, in seconds since it was opened."""
        return self.timeline.at(stamp) / 1_000_000

    def wall_us(self, at_s: float) -> int:
        """The UTC moment (µs) of one of the bake's own times, as the clock stood at the newest event."""
        return self.timeline.wall_us(round(at_s * 1_000_000))

    def done(self, task: Task) -> bool:
        return self.mark(task) is not None

    def mark(self, task: Task) -> Mark | None:
        """When and how a task was done; None where it does not stand as done."""
        return next((mark for mark in self.marks if mark.task == task), None)

    def readings_in(self, index: int, what: ReadingKind | None = None) -> tuple[Reading, ...]:
        """The readings that belong to a stage, in order of time."""
        return tuple(r for r in self.readings if r.stage == index and (what is None or r.what == what))
