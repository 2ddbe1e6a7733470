"""The neighbourhood of large-neighbourhood search: which chains a step takes out, and which of them goes back first."""

from __future__ import annotations

import random

from proofbell.planner import objective
from proofbell.planner.plan import Times
from proofbell.planner.problem import Chain, Problem

SIZES = (1, 1, 2, 2, 3)
"""How many chains are taken out at once, drawn from these."""

BESIDE = 0.6
"""Share of the further chains that are taken from beside the first in the oven; the others are any."""

WORST_FIRST = 0.4
"""Share of the steps in which the chains that cost most go back first, and those in their way last."""


def choose_neighbourhood(problem: Problem, times: tuple[Times, ...], rng: random.Random) -> list[int]:
    """One to three chains to take out, as indices in the order in which to put them back.

    Those that cost most, and those beside them in the oven, come up more often than others.

    Args:
        problem: what is planned.
        times: the timetable to begin from.
        rng: chance.
    """
    count = len(problem.chains)
    size = min(count, rng.choice(SIZES))
    contributions = [
        cost_contribution(problem, chain, moments) for chain, moments in zip(problem.chains, times, strict=True)
    ]
    mean = sum(contributions) // count + 1
    first = rng.choices(range(count), [each + mean for each in contributions])[0]
    found = {first}
    ovens = [use.chain for use in objective.oven_intervals(problem, times)]
    while len(found) < size:
        if rng.random() < BESIDE and first in ovens:
            at = ovens.index(first) + rng.choice((-2, -1, -1, 1, 1, 2))
            if 0 <= at < len(ovens):
                found.add(ovens[at])
                continue
        found.add(rng.randrange(count))
    order = rng.sample(sorted(found), size)
    if rng.random() < WORST_FIRST:
        order.sort(key=lambda number: -contributions[number])
    return order


def cost_contribution(problem: Problem, chain: Chain, times: Times) -> int:
    """What one chain adds to the cost beyond the oven's."""
    total = objective.VIOLATION * objective.chain_violation_s(problem, chain, times)
    if chain.ready_by_s is not None:
        total += objective.due_cost(problem, chain, times.ready_s)
    for at, step in enumerate(chain.steps):
        if not step.ended:
            deviation_s = abs(times.ends_s[at] - times.begins_s[at] - step.nominal_s)
            total += objective.deviation_weight(step) * deviation_s
    return total
