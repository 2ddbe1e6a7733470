"""What a baker, a script or the plan may want of a bake. Deciding turns an intent into events, or refuses it."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

from proofbell.bake import tasks
from proofbell.bake.events import AsPlanned, Body, Eye
from proofbell.bake.weigh.batch import Batch
from proofbell.dough.weights import SizeWish
from proofbell.formula.model import Formula, ReadingKind
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen, Oven


class Intent:
    """Something that is wanted of a bake; a new one is a class of its own."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class Open(Intent):
    """Bring a bake into being. ``start_in_s``: it waits on the bench and rings after that many seconds.

    ``ready_in_s``: it is wanted in that many seconds; the plan of the bench goes by it. ``weigh_in_s``: it is weighed
    out in so many, where hands are not free right before its start. ``plan``: the hours of the plan that is begun.
    """

    bake: str
    letter: str
    formula: Formula
    batch: Batch
    kitchen: Kitchen
    version: str
    start_in_s: float | None = None
    ready_in_s: float | None = None
    weigh_in_s: float | None = None
    plan: AsPlanned | None = None


@dataclass(frozen=True, slots=True)
class PlanStart(Intent):
    in_s: float
    why: str = ""
    ready_in_s: float | None = None
    weigh_in_s: float | None = None
    plan: AsPlanned | None = None


@dataclass(frozen=True, slots=True)
class Begin(Intent):
    """The first stage begins; or ``stage``, the first of another preferment."""

    stage: int | None = None


@dataclass(frozen=True, slots=True)
class Done(Intent):
    """The running stage is over, or was ``ago_s`` ago; the next begins. After the last, the bake is finished."""

    ago_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Read(Intent):
    """A reading. ``raw`` is the number as the probe or scale gave it; ``sure`` takes a value that looks odd."""

    what: ReadingKind
    typed: str
    raw: float | None = None
    eye: Eye | None = None
    sure: bool = False
    source: str = ""


@dataclass(frozen=True, slots=True)
class Longer(Intent):
    """The baker makes the running stage longer by ``by_s`` seconds, or shorter when negative."""

    by_s: float


@dataclass(frozen=True, slots=True)
class Move(Intent):
    """The dough was put into a place ``ago_s`` seconds ago: by name or its temperature (°C)."""

    place: str = ""
    place_c: float | None = None
    ago_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Resize(Intent):
    """The bake is to be another size. ``same_dough``: other pieces of the dough as it is, with nothing added."""

    wish: SizeWish
    same_dough: bool = False


@dataclass(frozen=True, slots=True)
class Accept(Intent):
    """The baker says yes to a length that the plan proposes, perhaps in another place (a retard)."""

    stage: int
    to_s: float
    reason: str
    place_c: float | None = None


@dataclass(frozen=True, slots=True)
class Task(Intent):
    task: tasks.Task
    done: bool = True


@dataclass(frozen=True, slots=True)
class AddNote(Intent):
    text: str


@dataclass(frozen=True, slots=True)
class GiveScore(Intent):
    line: str
    points: int
    text: str = ""


@dataclass(frozen=True, slots=True)
class MarkTypical(Intent):
    """Whether the bake may be learned from."""

    typical: bool


@dataclass(frozen=True, slots=True)
class Decline(Intent):
    """Leave a stage, or the start before the first, as it is, though the plan asks for another length or start."""

    stage: int


@dataclass(frozen=True, slots=True)
class TakeRow(Intent):
    """The bake is to stand in another row of the bench; rows count downwards, halves stand between."""

    row: float


@dataclass(frozen=True, slots=True)
class TakeLetter(Intent):
    """The bake is to go by another letter, since a live bake has the one it goes by."""

    letter: str
    why: str = ""


@dataclass(frozen=True, slots=True)
class TakeOven(Intent):
    """The kitchen's oven is as ``oven`` says now; its times are the bake's own, which may be learned."""

    oven: Oven


@dataclass(frozen=True, slots=True)
class Undo(Intent):
    """Take back the last thing that was said.

    ``letter``: what the bake is to go by when this puts it on the bench again; its own when None.
    """

    letter: str | None = None


@dataclass(frozen=True, slots=True)
class Correct(Intent):
    number: int
    typed: str
    raw: float | None = None
    eye: Eye | None = None
    sure: bool = False


@dataclass(frozen=True, slots=True)
class GiveUp(Intent):
    why: str = ""


@dataclass(frozen=True, slots=True)
class PutAway(Intent):
    """A bake that is over leaves the bench."""


@dataclass(frozen=True, slots=True)
class Look(Intent):
    """The program looks at the clock. If somebody set it since the newest event, that goes into the log."""


@dataclass(frozen=True, slots=True)
class Back(Intent):
    """The program takes the bake up again, ``away_s`` seconds after it last looked.

    ``ran_s``: how long it had watched the bake after its last event before the machine started anew.
    """

    away_s: float
    ran_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Rebase(Intent):
    """The baker says how long the power was off (s) before the event of number ``since``."""

    since: int
    off_s: float


@dataclass(frozen=True, slots=True)
class LogTimer(Intent):
    """A timer of the baker's own was set, answered or stopped, ``late_s`` after its time, with this bake in hand."""

    name: str
    length_s: float
    what: Literal["set", "answered", "stopped"]
    late_s: float = 0.0


@dataclass(frozen=True, slots=True)
class Refused:
    """An intent that cannot be met, in plain words. ``odd``: it can, once the baker is sure."""

    message: str
    remedy: str = ""
    odd: bool = False


Bodies = list[Body] | Refused
"""What a rule gives: the bodies of the events of one decision, or why not."""

MOST_SAID = 500
MOST_NOTE = 2000


def said(text: str, most: int = MOST_SAID) -> str:
    """A person's words as they go into the log: trimmed, not too long, and without halves of characters."""
    return text.strip()[:most].encode("utf-8", "replace").decode("utf-8")


def by_letter(intent: Intent, letter: str) -> Intent:
    """The same intent, by another letter."""
    if isinstance(intent, Open | Undo | TakeLetter):
        return replace(intent, letter=letter)
    return intent
