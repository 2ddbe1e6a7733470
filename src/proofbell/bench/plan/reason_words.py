"""Why a dough cannot be as it is wanted, in a sentence; and a way out of it, as the end of one."""

from __future__ import annotations

from collections.abc import Callable

from proofbell.planner.changes import LeaveOut, MorePeople, MoveDue, Overrun, Split
from proofbell.planner.clashes import WayOut
from proofbell.planner.plan import Plan
from proofbell.planner.problem import Step
from proofbell.planner.reasons import Reason
from proofbell.visible import visible
from proofbell.words import length, listed


def reason_words(plan: Plan, reason: Reason, origin_us: int, clock: Callable[[int], str]) -> str:
    """Such as ``A needs 13 h; ready at the earliest at 19:10``.

    Args:
        plan: the plan that it is of.
        reason: why.
        origin_us: the plan's second 0, UTC µs.
        clock: a moment (UTC, µs) as the kitchen's clock has it.
    """

    def at(second: int) -> str:
        return clock(origin_us + second * 1_000_000)

    letter, over = reason.letter, length(reason.over_s)
    kept = f"it is kept {over} longer than it forgives" if reason.over_s else ""
    earliest = f"ready at the earliest at {at(reason.earliest_s)}"
    match reason.cause:
        case "length":
            return f"{letter} needs {length(reason.needs_s)}; {kept or earliest}."
        case "quiet":
            return f"{letter} needs hands in the quiet hours; {kept or earliest}."
        case "turns":
            waits = f"stands {over} too long" if kept else "makes it late"
            return f"{letter} is wider than the oven, and the load that waits {waits}. Fewer pieces help."
        case "oven":
            return f"{letter} would be ready before the oven is hot; {kept or earliest}."
        case _:
            return f"{_clash(plan, reason, at)}{f'; {kept}' if kept else ''}."


def _clash(plan: Plan, reason: Reason, at: Callable[[int], str]) -> str:
    clash = reason.clash
    if clash is None or clash.about == "time":
        return f"{reason.letter} would be in time by itself, not beside the others"
    first, second = (
        f"{letter} {visible(plan.problem.by_letter[letter].steps[step].name)}"
        for letter, step in ((clash.first_letter, clash.first_step), (clash.second_letter, clash.second_step))
    )
    begins_s = plan.of(clash.second_letter).begins_s[clash.second_step]
    return f"{second} gets the {clash.about} only at {at(begins_s)}, after {first}"


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
        case Split(letter, parts):
            return f"make {letter} as two half batches, {listed(parts)}"


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
