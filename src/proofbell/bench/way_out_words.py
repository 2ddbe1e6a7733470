"""A way out of a clash, as a baker is told of it."""

from __future__ import annotations

from proofbell.planner.clashes import LeaveOut, MorePeople, MoveDue, Overrun, WayOut
from proofbell.planner.model import Plan, Step
from proofbell.words import length


def way_out_words(way: WayOut) -> str:
    """``keep B's final proof 15 min longer than its dough allows``, as the end of a sentence."""
    match way.change:
        case MoveDue(letter, from_s, to_s):
            return _due_words(way.plan, letter, to_s - from_s)
        case Overrun(letter, step, by_s):
            return f"keep {letter}'s {_inside(step)} {length(by_s)} longer than its dough allows"
        case MorePeople(people):
            return f"ask for {'a second pair' if people == 2 else f'{people} pairs'} of hands"
        case LeaveOut(letter):
            return f"leave {letter} out"


def _due_words(after: Plan, letter: str, later_s: int) -> str:
    if later_s <= 0:
        return f"let {letter} be ready {length(-later_s)} earlier"
    times = after.of(letter)
    lengths = zip(after.problem.by_letter[letter].steps, times.begins_s, times.ends_s, strict=True)
    whole = all(end_s - begin_s >= step.nominal_s for step, begin_s, end_s in lengths if not step.ended)
    return f"let {letter} be ready {length(later_s)} later{', with no stage shortened' if whole else ''}"


def _inside(step: Step) -> str:
    """A stage's name inside a sentence."""
    return f"{step.name[:1].lower()}{step.name[1:]}"
