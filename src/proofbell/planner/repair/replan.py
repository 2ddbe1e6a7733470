"""Rescheduling while chains are under way: what is past and what runs stays; the order so far is the start."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from proofbell.planner.greedy import ResourceProfile, empty_profile, insert_near_due, nominal_times, reserve
from proofbell.planner.plan import Plan, Times
from proofbell.planner.problem import Chain, Problem
from proofbell.planner.repair.stability import minimal_repair, stabilised, worth_changing
from proofbell.planner.search import improve
from proofbell.planner.solver.branch_and_bound import Stop, never_stop


def replan(
    problem: Problem,
    before: Plan,
    shift_s: int = 0,
    should_stop: Stop = never_stop,
    *,
    most_steps: int | None = None,
) -> Iterator[Plan]:
    """A feasible plan at once, as near to the plan so far as can be, then those that are worth a change.

    Args:
        problem: what is to be planned now: facts in `begun_s` and `ended_s`, changed lengths, and `now_s`.
        before: the plan so far; chains may have gone or come since.
        shift_s: seconds from the new problem's origin to the old one's: negative when the origin has moved on.
        should_stop: asked between steps.
        most_steps: as for `improve`.
    """
    running = carried_over(problem, before, shift_s)
    shown, may_be_feasible = minimal_repair(problem, running)
    start = running if shown is None else shown.times
    if shown is not None and (shown.feasible or not may_be_feasible):
        yield shown
    else:
        shown = None
    for found in improve(problem, start, should_stop, may_be_feasible=may_be_feasible, most_steps=most_steps):
        if shown is None or worth_changing(shown, found):
            shown = stabilised(found, running)
            yield shown


def carried_over(problem: Problem, before: Plan, shift_s: int = 0) -> tuple[Times, ...]:
    """The times so far for the chains of a new problem; a chain that is new is put where there is room.

    Args:
        problem: the new problem.
        before: the plan so far.
        shift_s: seconds from the new origin to the old one.
    """
    known = {times.letter: times for times in before.times}
    found: dict[str, Times] = {}
    for chain in problem.chains:
        times, was = known.get(chain.letter), before.problem.by_letter.get(chain.letter)
        kept = None if times is None or was is None else _of_steps_left(was, times, chain)
        if kept is not None:
            found[chain.letter] = shifted(kept, shift_s) if shift_s else kept
    new = [chain for chain in problem.chains if chain.letter not in found]
    if new:
        profile = empty_profile(problem)
        for letter, kept in found.items():
            reserve(profile, problem.by_letter[letter], kept)
        for chain in new:
            found[chain.letter] = _new(problem, profile, chain)
            reserve(profile, chain, found[chain.letter])
    return tuple(found[chain.letter] for chain in problem.chains)


def relettered(plan: Plan, letters: Mapping[str, str]) -> Plan:
    """The same plan with its chains called otherwise; one that ``letters`` does not name keeps its own."""

    def now(letter: str) -> str:
        return letters.get(letter, letter)

    chains = tuple(replace(chain, letter=now(chain.letter)) for chain in plan.problem.chains)
    times = tuple(replace(one, letter=now(one.letter)) for one in plan.times)
    return replace(plan, problem=replace(plan.problem, chains=chains), times=times, oven=(), clashes=())


def _of_steps_left(was: Chain, times: Times, chain: Chain) -> Times | None:
    """The times so far of the steps that a chain still has: those that are gone were done.

    None where its letter stands for another chain by now. Lengths may have changed.
    """
    if was.name != chain.name:
        return None
    if [step.name for step in was.steps] == [step.name for step in chain.steps]:
        return times
    names, left = iter(enumerate(step.name for step in was.steps)), []
    for step in chain.steps:
        at = next((at for at, name in names if name == step.name), None)
        if at is None:
            return None
        left.append(at)
    return Times(
        times.letter,
        tuple(times.begins_s[at] for at in left),
        tuple(times.ends_s[at] for at in left),
        tuple(now for now, at in enumerate(left) if at in times.instead),
    )


def _new(problem: Problem, profile: ResourceProfile, chain: Chain) -> Times:
    begun_s = chain.begun_first_s
    return insert_near_due(problem, profile, chain) if begun_s is None else nominal_times(chain, begun_s)


def shifted(times: Times, by_s: int) -> Times:
    """The same times, later by so many seconds."""
    return replace(
        times,
        begins_s=tuple(moment + by_s for moment in times.begins_s),
        ends_s=tuple(moment + by_s for moment in times.ends_s),
    )
