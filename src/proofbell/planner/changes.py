"""What may be changed about a problem so that its plan works: the ways out of a clash."""

from __future__ import annotations

from proofbell.frozen import dataclass
from proofbell.planner.problem import Step


@dataclass(frozen=True, slots=True)
class MoveDue:
    """Want a chain at ``to_s``, and not at ``from_s``."""

    letter: str
    from_s: int
    to_s: int


@dataclass(frozen=True, slots=True)
class Overrun:
    """Let a step last so many seconds longer than is allowed."""

    letter: str
    step: Step
    by_s: int


@dataclass(frozen=True, slots=True)
class MorePeople:
    """Have so many pairs of hands."""

    people: int


@dataclass(frozen=True, slots=True)
class LeaveOut:
    """Leave a chain out."""

    letter: str


@dataclass(frozen=True, slots=True)
class Split:
    """Make a chain as ``parts`` (their letters, its own first), each a chain of its own."""

    letter: str
    parts: tuple[str, ...]


Change = MoveDue | Overrun | MorePeople | LeaveOut | Split


def is_alike(one: Change, other: Change) -> bool:
    """Whether two changes do the same to the same, be it by another time."""
    match one, other:
        case (MoveDue(), MoveDue()):
            return one.letter == other.letter and (one.to_s > one.from_s) == (other.to_s > other.from_s)
        case (Overrun(), Overrun()):
            return one.letter == other.letter and one.step.name == other.step.name
        case _:
            return one == other
