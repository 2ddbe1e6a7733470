"""A way out of a clash, as a baker is told of it."""

from __future__ import annotations

from proofbell.planner.clashes import LeaveOut, MorePeople, MoreTrays, MoveDue, Overrun, WayOut
from proofbell.planner.model import Plan, Step
from proofbell.words import length


def way_out_words(way: WayOut) -> str:
    """``keep B's final proof 15 min longer than its dough allows``, as the end of a sentence."""
    match way.change:
        case MoveDue(letter, from_s):
            return _due_words(way.plan, letter, from_s)
        case Overrun(letter, step, by_s):
            return f"keep {letter}'s {_inside(step)} {length(by_s)} longer than its dough allows"
        case MoreTrays(trays):
            return f"use {trays} oven places at once"
        case MorePeople():
            return "ask for a second pair of hands"
        case LeaveOut(letter):
            return f"leave {letter} out"


def _due_words(after: Plan, letter: str, from_s: int) -> str:
    times = after.of(letter)
    late_s = times.ready_s - from_s
    if late_s <= 0:
        return f"let {letter} be ready {length(-late_s)} earlier"
    lengths = zip(after.problem.by_letter[letter].steps, times.begins_s, times.ends_s, strict=True)
    whole = all(end_s - begin_s >= step.nominal_s for step, begin_s, end_s in lengths if not step.ended)
    return f"let {letter} be ready {length(late_s)} later{', with no stage shortened' if whole else ''}"


def _inside(step: Step) -> str:
    """A stage's name inside a sentence."""
    return f"{step.name[:1].lower()}{step.name[1:]}"
