"""Mend, at once, an order that no longer works.

First a few decisions are turned about, for what is near is easiest on the baker. Where that does not help, only the
bakes that cannot be put off are looked at: those that have begun. Whatever has not begun can follow after everything
else, so there is a sound plan if, and only if, there is one for these alone; and they are few.
"""

from __future__ import annotations

from dataclasses import replace

from proofbell.planner import objective
from proofbell.planner.greedy import Reserved, fits, place, reserve
from proofbell.planner.model import Problem, Times
from proofbell.planner.repair.reversal import Turning, sound
from proofbell.planner.solver.branch_and_bound import NO_END, Dive, Found, at_most, guide_of
from proofbell.planner.solver.network import HARD
from proofbell.planner.solver.partial_schedule import Draft

TURNS = (10, 20)
"""So many decisions are turned about before it is asked whether there is any hope, and so many after it."""

ORDERS = 400
"""Orders of the bakes that have begun that are timed before it is left undecided whether one is sound."""

MUCH = 60 * objective.OVER
"""An order of these that costs so much more than none is not gone on from: a minute more than a dough forgives."""


def mended(draft: Draft, found: Found) -> tuple[Found, bool]:
    """A sound order near an unsound one, or else the least unsound that was met; and whether there is still hope.

    Args:
        draft: of the same problem; left in any state.
        found: the unsound timetable.
    """
    turning = Turning(draft, found)
    turning.run(TURNS[0])
    if sound(turning.best) or turning.hopeless:
        return turning.best, not turning.hopeless
    held, sure = held_soundly(draft.problem, found.times)
    if held is None:
        return turning.best, not sure
    turning.run(TURNS[1])
    if sound(turning.best):
        return turning.best, True
    draft.restore(found.kept)
    draft.release(set(range(len(draft.problem.chains))))
    draft.settle()
    guide = guide_of(draft, _others_around(draft.problem, held, found.times))
    after = Dive(draft, HARD, 0, guide, heats=False).run()
    best = turning.best if after is None else min(turning.best, after, key=lambda one: one.cost.total)
    return best, True


def held_soundly(problem: Problem, near: tuple[Times, ...]) -> tuple[dict[str, Times] | None, bool]:
    """Sound times for the bakes that cannot be put off, by themselves; None if there are none, or none was found.

    Args:
        problem: the whole day.
        near: times to be near to.

    Returns:
        The times by letter, and whether all orders were looked at.
    """
    who = [
        number
        for number, chain in enumerate(problem.chains)
        if chain.steps[0].begun_s is not None or chain.latest_s is not None
    ]
    chains = tuple(replace(problem.chains[number], ready_by_s=None) for number in who)
    draft = Draft(Problem(chains, problem.capacity, problem.now_s))
    draft.draw_to(tuple(near[number] for number in who))
    draft.settle()
    enough = at_most(ORDERS)
    dive = Dive(draft, draft.cost() + MUCH, NO_END, should_stop=enough, heats=False, will_do=sound)
    found = dive.run()
    if found is None or not sound(found):
        # Next to one that is over by little, a sound one may have been passed over as dearer.
        return None, dive.complete and (found is None or objective.OVER * found.cost.over_s >= MUCH)
    return {times.letter: times for times in found.times}, True


def _others_around(problem: Problem, held: dict[str, Times], near: tuple[Times, ...]) -> tuple[Times, ...]:
    """The other bakes where they were, or where there is room."""
    times = dict(held)
    reserved = Reserved([[] for _ in range(problem.capacity.people)])
    for letter, moments in held.items():
        reserve(reserved, problem.by_letter[letter], moments)
    for moments in sorted(near, key=lambda moments: moments.begins_s):
        chain = problem.by_letter[moments.letter]
        if moments.letter not in held:
            stays = fits(problem, reserved, chain, moments)
            times[moments.letter] = moments if stays else place(problem, reserved, chain)
            reserve(reserved, chain, times[moments.letter])
    return tuple(times[chain.letter] for chain in problem.chains)
