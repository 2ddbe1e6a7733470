"""Plan again while bakes are under way: what is past and what runs stays, the order so far is the beginning."""

from __future__ import annotations

from collections.abc import Iterator

from proofbell.planner.greedy import Reserved, nominal_times, place, reserve
from proofbell.planner.model import Chain, Plan, Problem, Times
from proofbell.planner.repair.stability import at_once, kept_still, worth_moving
from proofbell.planner.search import improve
from proofbell.planner.solver.branch_and_bound import Stop, go_on


def replan(problem: Problem, before: Plan, shift_s: int = 0, should_stop: Stop = go_on) -> Iterator[Plan]:
    """A sound plan at once, as near to the plan so far as can be, then those that are worth moving for.

    Args:
        problem: what is to be planned now: facts in `begun_s` and `ended_s`, changed lengths, and `now_s`.
        before: the plan so far; bakes may have gone or come since.
        shift_s: seconds from the new problem's origin to the old one's: negative when the origin has moved on.
        should_stop: asked between steps.
    """
    running = carried_over(problem, before, shift_s)
    shown, hope = at_once(problem, running)
    start = running if shown is None else shown.times
    if shown is not None and (shown.feasible or not hope):
        yield shown
    else:
        shown = None
    for found in improve(problem, start, should_stop, hope=hope):
        if shown is None or worth_moving(shown, found):
            shown = kept_still(found, running)
            yield shown


def carried_over(problem: Problem, before: Plan, shift_s: int = 0) -> tuple[Times, ...]:
    """The times so far for the bakes of a new problem; a bake that is new is put where there is room.

    Args:
        problem: the new problem.
        before: the plan so far.
        shift_s: seconds from the new origin to the old one.
    """
    known = {times.letter: times for times in before.times}
    reserved = Reserved([[] for _ in range(problem.capacity.people)])
    found: dict[str, Times] = {}
    for chain in problem.chains:
        times, was = known.get(chain.letter), before.problem.by_letter.get(chain.letter)
        if times is not None and was is not None and _same_bake(was, chain):
            found[chain.letter] = shifted(times, shift_s)
            reserve(reserved, chain, found[chain.letter])
    for chain in problem.chains:
        if chain.letter not in found:
            found[chain.letter] = _new(problem, reserved, chain)
            reserve(reserved, chain, found[chain.letter])
    return tuple(found[chain.letter] for chain in problem.chains)


def _same_bake(was: Chain, chain: Chain) -> bool:
    """Whether a letter still stands for the bake it stood for; readings may have changed its lengths."""
    return was.name == chain.name and [s.name for s in was.steps] == [s.name for s in chain.steps]


def _new(problem: Problem, reserved: Reserved, chain: Chain) -> Times:
    begun_s = chain.steps[0].begun_s
    return place(problem, reserved, chain) if begun_s is None else nominal_times(chain, begun_s)


def shifted(times: Times, by_s: int) -> Times:
    """The same times, later by so many seconds."""
    return Times(
        times.letter,
        tuple(moment + by_s for moment in times.begins_s),
        tuple(moment + by_s for moment in times.ends_s),
    )
