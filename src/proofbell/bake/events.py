"""Everything that can happen to a bake, as stable names and plain numbers.

An event is appended and never changed. ``decision`` is the number of the first event of the same decision, so
that what was said in one breath is undone in one breath. Times in bodies are seconds of the bake's own time.
"""

from __future__ import annotations

from dataclasses import field
from typing import Literal

from proofbell.bake.stamp import Stamp
from proofbell.bake.tasks import Task
from proofbell.bake.weigh.batch import Batch
from proofbell.dough.weights import SizeWish
from proofbell.formula.model import Formula, ReadingKind
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen, Oven

By = Literal["bands", "rate", "rise", "hand", "plan", "place"]
Eye = Literal["not yet", "ready", "too far"]


class Body:
    """What one event says; a new kind is a class of its own."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class BakeOpened(Body):
    """A bake began to exist: the whole formula (its text too), the batch, the kitchen, the program."""

    letter: str
    formula: Formula
    batch: Batch
    kitchen: Kitchen
    version: str


@dataclass(frozen=True, slots=True)
class AsPlanned:
    """The hours of the plan by which a bake was begun, of each stage, in seconds from its start.

    ``weighs_s``: when hands begin to weigh out for the stage; None where they do not.
    """

    begins_s: tuple[float, ...]
    ends_s: tuple[float, ...]
    weighs_s: tuple[float | None, ...]


@dataclass(frozen=True, slots=True)
class StartPlanned(Body):
    """The first stage is meant to begin at ``at_s``; the bake waits on the bench and rings then.

    ``ready_s`` is when the bake is wanted, in its own time, if anybody said so; ``weigh_s`` when its weigh-out is to
    begin, where that is not right before its start. ``plan``: the hours of the plan, where one was begun.
    """

    at_s: float
    why: str = ""
    ready_s: float | None = None
    weigh_s: float | None = None
    plan: AsPlanned | None = None


@dataclass(frozen=True, slots=True)
class StageBegun(Body):
    """A stage began ``ago_s`` seconds before it was said. ``stage`` counts from 0."""

    stage: int
    why: str = ""
    ago_s: float = 0.0


@dataclass(frozen=True, slots=True)
class StageEnded(Body):
    """A stage ended ``ago_s`` seconds before it was said. ``missed``: the checks that it asked for and did not get."""

    stage: int
    why: str = ""
    missed: tuple[str, ...] = ()
    ago_s: float = 0.0


@dataclass(frozen=True, slots=True)
class StageReopened(Body):
    """A stage goes on as if it had not been ended."""

    stage: int
    why: str = ""


@dataclass(frozen=True, slots=True)
class ReadingTaken(Body):
    """What the probe, the scale or the eye said.

    ``value`` is in °C, percent or g, after the probe's correction; ``raw`` before it. ``typed`` is the text as it
    was given. ``eye`` is set when a rise was judged by eye. ``check`` is the index of the stage's check, if any.
    """

    what: ReadingKind
    value: float | None
    typed: str
    stage: int | None = None
    check: int | None = None
    raw: float | None = None
    eye: Eye | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class TimeAdjusted(Body):
    """A stage's whole length changed from ``from_s`` to ``to_s``.

    ``cause`` is the number of the reading's event, when there is one. ``band_s``, ``rate_s`` and the range say what
    each method would have made of it. ``place_c`` is set when the dough is moved (a retard instead of a proof).
    ``rough``: in the cold the rate is a rough guess.
    """

    stage: int
    from_s: float
    to_s: float
    by: By
    reason: str
    cause: int | None = None
    band_s: float | None = None
    rate_s: float | None = None
    rate_low_s: float | None = None
    rate_high_s: float | None = None
    place_c: float | None = None
    rough: bool = False


@dataclass(frozen=True, slots=True)
class DoughMoved(Body):
    """The dough of a stage was put into a place of ``place_c`` (°C), ``ago_s`` seconds before it was said.

    ``place`` is the kitchen's name for it, if it has one; what stands in the room goes by the room as it is read.
    """

    stage: int
    place_c: float
    place: str = ""
    ago_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Resized(Body):
    """The bake is to be another size: ``batch`` instead of the one before, with the same lines.

    ``wish`` is what it was sized by. ``in_bowl_g``: what of each line was in its bowl then (g). ``least_flour_g``: the
    flour (g) of the smallest size that nothing need be taken out of the bowl for. ``same_dough``: other pieces of it.
    ``loads``: in so many its bakes go into the oven from then on; 0, as an older program has it: in as many as before.
    """

    batch: Batch
    wish: SizeWish
    in_bowl_g: tuple[float, ...]
    least_flour_g: float = 0.0
    same_dough: bool = False
    loads: int = 0


@dataclass(frozen=True, slots=True)
class TaskDone(Body):
    """Something small was done, or taken back (``done`` False): an ingredient weighed, the oven on, a tray turned."""

    task: Task
    stage: int | None = None
    done: bool = True


@dataclass(frozen=True, slots=True)
class NoteAdded(Body):
    text: str
    stage: int | None = None


@dataclass(frozen=True, slots=True)
class ScoreGiven(Body):
    """One line of the score sheet; a later one for the same line takes over."""

    line: str
    points: int
    text: str = ""


@dataclass(frozen=True, slots=True)
class BakeMarked(Body):
    """A mark on the whole bake. Not typical: nothing is learned from it."""

    typical: bool
    why: str = ""


@dataclass(frozen=True, slots=True)
class RowTaken(Body):
    """The baker put the bake into another row of the bench. Rows count downwards; A's own is 0, B's is 1."""

    row: float


@dataclass(frozen=True, slots=True)
class PlanDeclined(Body):
    """The plan asked for another length of a stage, or another start, and the baker left it as it is.

    ``as_s`` is the length that holds, or the start, in the bake's own time; the plan asks again once that is another.
    """

    stage: int
    as_s: float


@dataclass(frozen=True, slots=True)
class LetterGiven(Body):
    """The bake goes by another letter from here on, since a live bake had the one it went by."""

    letter: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class OvenChanged(Body):
    """The kitchen's oven is another kind, or is told otherwise, from here on."""

    oven: Oven


@dataclass(frozen=True, slots=True)
class Corrected(Body):
    """Earlier events are put right: taken back (``undone``), or one reading is given a new value."""

    events: tuple[int, ...]
    undone: bool
    value: float | None = None
    raw: float | None = None
    typed: str = ""
    eye: Eye | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class BakeClosed(Body):
    outcome: Literal["finished", "given up"]
    why: str = ""


@dataclass(frozen=True, slots=True)
class PutAway(Body):
    """A bake that is over was taken off the bench, in every window; its log stays."""


@dataclass(frozen=True, slots=True)
class ClockSet(Body):
    """The wall clock was set by ``by_s`` seconds while the program ran; no countdown changed."""

    by_s: float


@dataclass(frozen=True, slots=True)
class ProgramBack(Body):
    """The program was away for ``away_s`` seconds (since it last looked) and took the bake up again.

    After a new start of the machine, ``ran_s`` says how long the bake had been watched after its last event before.
    """

    away_s: float
    why: str = ""
    ran_s: float = 0.0


@dataclass(frozen=True, slots=True)
class TimeRebased(Body):
    """The baker said how long the power was off before the boot that the event of number ``since`` belongs to.

    From that boot on the bake's own time is ``by_s`` later (earlier when negative) than the clocks alone count it; with
    ``by_s`` 0 they were right. ``off_s`` is what was said, so ``off_s - by_s`` is what they count. Of two such events
    about one boot the later holds.
    """

    since: int
    off_s: float
    by_s: float
    why: str = ""


@dataclass(frozen=True, slots=True)
class TimerLogged(Body):
    """A timer of the baker's own, beside the bake: set, answered when it rang, or stopped before.

    ``late_s``: how long after its time that was; less than nothing before it. No time of the bake changes.
    """

    name: str
    length_s: float
    what: Literal["set", "answered", "stopped"]
    late_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Event:
    """One line of a bake's log. ``number`` counts from 1 within the bake; ``digest`` is chained from the one before.

    ``stored`` is the schema and the text that its body was read from, if it was. The digest is over that text, and an
    older program's lacks what bodies have gained since.
    """

    id: str
    bake: str
    number: int
    decision: int
    stamp: Stamp
    body: Body
    digest: str
    stored: tuple[int, str] | None = field(default=None, compare=False, repr=False)


LETTERS = "ABCDEFGHIJKL"
"""A bench holds as many bakes as there are letters."""

NO_LETTER = "?"
"""What a bake goes by whose log names none of them, until it gets one."""


def is_letter(text: str) -> bool:
    return len(text) == 1 and text in LETTERS


def letter_in(text: str) -> str:
    """The letter that a log names; ``NO_LETTER`` where that is none, as a log from anywhere may have it."""
    return text if is_letter(text) else NO_LETTER
