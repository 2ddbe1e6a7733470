"""Which bakes a step of the search takes out of the order, and which of them goes back first."""

from __future__ import annotations

import random

from proofbell.planner import objective
from proofbell.planner.model import Chain, Problem, Times

SIZES = (1, 1, 2, 2, 3)
"""How many bakes are taken out at once, drawn from these."""

BESIDE = 0.6
"""Share of the further bakes that are taken from beside the first in the oven; the others are any."""

WORST_FIRST = 0.4
"""Share of the steps in which the bakes that suffer most go back first, and those in their way last."""


def chosen(problem: Problem, times: tuple[Times, ...], rng: random.Random) -> list[int]:
    """One to three bakes to take out, as indices in the order in which to put them back.

    Those that suffer most, and those beside them in the oven, come up more often than others.

    Args:
        problem: what is planned.
        times: the timetable to begin from.
        rng: chance.
    """
    count = len(problem.chains)
    size = min(count, rng.choice(SIZES))
    pains = [pain(problem, chain, moments) for chain, moments in zip(problem.chains, times, strict=True)]
    mean = sum(pains) // count + 1
    first = rng.choices(range(count), [each + mean for each in pains])[0]
    found = {first}
    ovens = [use.chain for use in objective.oven_uses(problem, times)]
    while len(found) < size:
        if rng.random() < BESIDE and first in ovens:
            at = ovens.index(first) + rng.choice((-2, -1, -1, 1, 1, 2))
            if 0 <= at < len(ovens):
                found.add(ovens[at])
                continue
        found.add(rng.randrange(count))
    order = rng.sample(sorted(found), size)
    if rng.random() < WORST_FIRST:
        order.sort(key=lambda number: -pains[number])
    return order


def pain(problem: Problem, chain: Chain, times: Times) -> int:
    """What one bake adds to the cost beyond the oven's."""
    total = objective.OVER * objective.chain_over_s(problem, chain, times)
    if chain.ready_by_s is not None:
        late_s = times.ready_s - chain.ready_by_s
        total += objective.LATE * late_s if late_s > 0 else -objective.EARLY * late_s
    for at, step in enumerate(chain.steps):
        if not step.ended:
            stray_s = abs(times.ends_s[at] - times.begins_s[at] - step.nominal_s)
            total += objective.stray_weight(step) * stray_s
    return total
