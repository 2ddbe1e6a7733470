"""Mend, at once, an order that no longer works: find which bakes are to blame, and give those another place.

When a bake would be kept longer than its dough forgives, the net of times says why: the decisions about hands and
oven that press on it carry a flow as steep as the bound that is broken. Only the bakes in those decisions can help,
so they are taken out, one at a time and then two, and put back where they do least harm.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from heapq import heappop, heappush
from itertools import combinations

from proofbell.bench import objective
from proofbell.bench.dive import NO_END, Dive, Found, at_most, guide_of
from proofbell.bench.draft import Draft
from proofbell.bench.model import Problem

ORDERS = 300
"""So many orders are timed at most to mend one plan."""

EACH = 14
"""Orders timed for each bake, or pair of bakes, that is put back."""

PAIRS = 8
"""So many pairs are tried where no bake by itself helps."""

TOGETHER = 5
"""Up to so many of the bakes to blame are looked at by themselves, to see if they can be sound at all."""

TURNS = 15
"""So often that search turns back before it is left undecided."""

FIRST = 2
"""So many bakes are tried before it is asked whether there is any hope."""


def sound(found: Found) -> bool:
    """Whether nothing is kept longer than its dough forgives."""
    return found.cost.over_s == 0


def blamed(draft: Draft, found: Found) -> list[int]:
    """The bakes (indices) that are kept too long, and those whose hands or oven press on them; the worst first.

    Args:
        draft: in the state that gave the timetable.
        found: the timetable.
    """
    problem, flow = draft.problem, draft.timing.flow
    blame: dict[int, int] = {}
    for number, (chain, times) in enumerate(zip(problem.chains, found.times, strict=True)):
        if objective.chain_over_s(problem, chain, times):
            blame[number] = 10 * objective.OVER
    for tasks, orders in ((draft.tasks, draft.hands), (draft.uses, draft.oven)):
        for (one, other), link in orders.items():
            press = abs(flow[link]) if link >= 0 else 0
            if press >= objective.OVER // 2:
                for number in {tasks[one].chain, tasks[other].chain}:
                    blame[number] = blame.get(number, 0) + press
    return sorted(blame, key=lambda number: (-blame[number], number))


def hopeless(problem: Problem, who: Sequence[int]) -> bool:
    """Whether no order at all is sound: shown for a few of the bakes to blame, or for all, within a few turns.

    False when that is not so, or not known.
    """
    for count in range(1, min(TOGETHER, len(who)) + 1):
        if _never_sound(problem, who[:count]):
            return True
    return _never_sound(problem, range(len(problem.chains)))


def _never_sound(problem: Problem, chains: Sequence[int]) -> bool:
    """Whether some bakes cannot be sound even with hands and oven to themselves and no wish to be in time."""
    alone = tuple(replace(problem.chains[number], ready_by_s=None) for number in sorted(chains))
    draft = Draft(Problem(alone, problem.capacity, problem.now_s))
    if objective.cost_of(draft.problem, draft.times()).over_s:
        return True
    turns = at_most(TURNS)
    dive = Dive(draft, draft.cost() + objective.OVER, NO_END, should_stop=turns, heats=False, will_do=sound)
    return dive.run() is None and dive.complete


def mended(draft: Draft, found: Found) -> tuple[Found, bool]:
    """A sound order near an unsound one, or else the least unsound that was met; and whether there is still hope.

    Args:
        draft: of the same problem; left in any state.
        found: the unsound timetable.
    """
    problem, best = draft.problem, found
    left = ORDERS
    open_: list[tuple[int, int, Found]] = [(found.cost.total, 0, found)]
    seen = {found.times}
    tries = 0
    while open_ and left > 0 and not sound(best):
        base = heappop(open_)[2]
        draft.restore(base.kept)
        who = blamed(draft, base)
        for free in [*[(one,) for one in who], *list(combinations(who, 2))[:PAIRS]]:
            if left <= 0 or sound(best) or (len(free) > 1 and best is not found and best is not base):
                break
            if tries == FIRST and hopeless(problem, who):
                return best, False
            tries += 1
            after, spent = _put_back(draft, base, set(free))
            left -= spent
            if after is not None and after.times not in seen:
                seen.add(after.times)
                heappush(open_, (after.cost.total, len(seen), after))
                best = min(best, after, key=lambda one: one.cost.total)
    if sound(best) or tries > FIRST:
        return best, True
    draft.restore(best.kept)
    return best, not hopeless(problem, blamed(draft, best))


def _put_back(draft: Draft, base: Found, free: set[int]) -> tuple[Found | None, int]:
    """Some bakes taken out of an order and put back, and how many orders were timed."""
    draft.restore(base.kept)
    guide = guide_of(draft)
    draft.release(free)
    draft.settle()
    dive = Dive(draft, base.cost.total, EACH, guide, free, heats=False, will_do=sound)
    after = dive.run()
    return after, EACH - dive.budget + len(free)
