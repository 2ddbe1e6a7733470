"""What makes one plan better than another.

The aims, in order, are: nothing outside what the dough forgives; ready on time; an oven that is full of the
right thing and otherwise off; proofs near their nominal; little waiting. Each aim is counted in seconds and
weighed; the weights are so far apart that an aim gives way only to much of the next one. They are a choice:

* a second outside what the dough forgives weighs more than any lateness a day can hold;
* a minute late weighs as much as an hour of waiting;
* an oven-minute weighs more than a minute's straying of a proof, and that more than a minute's waiting.

Oven time: from the moment the oven is turned on until the last bake is out. Between two bakes the oven
either stays hot, or, if that takes less, is turned off and heated up again from the room's temperature.
"""

from __future__ import annotations

from typing import NamedTuple

from proofbell.planner.model import Chain, Cost, Problem, Step, Times

OVER = 1_000_000
LATE = 60
OVEN = 3
PROOF = 2
REST = 1
WAIT = 1
EARLY = 1
SOON = 1


class Use(NamedTuple):
    """One bake in the oven, past ones left out."""

    begins_s: int
    ends_s: int
    heat_up_s: int
    chain: int
    step: int


def stray_weight(step: Step) -> int:
    """Cost of each second that a step strays from its nominal."""
    return PROOF if step.critical else REST


def longest_wait_s(before: Step, now_s: int) -> int:
    """Longest open wait after a step, seconds; a wait that has already happened is a fact."""
    if before.ended_s is None:
        return before.wait_s
    return max(before.wait_s, now_s - before.ended_s)


def chain_over_s(problem: Problem, chain: Chain, times: Times) -> int:
    """Seconds by which one bake leaves what its dough forgives, and what was said of the latest end."""
    over_s = 0
    now_s = problem.now_s
    for at, step in enumerate(chain.steps):
        if step.ended:
            continue
        over_s += max(0, times.ends_s[at] - times.begins_s[at] - step.bounds_s(now_s)[1])
        if at and step.begun_s is None:
            gap_s = times.begins_s[at] - times.ends_s[at - 1]
            over_s += max(0, gap_s - longest_wait_s(chain.steps[at - 1], now_s))
    if chain.latest_s is not None and not chain.steps[-1].ended:
        over_s += max(0, times.ready_s - chain.latest_s)
    return over_s


def oven_uses(problem: Problem, times: tuple[Times, ...]) -> list[Use]:
    """Bakes that are in the oven or will be, in order of their beginning."""
    capacity = problem.capacity
    uses = [
        Use(
            moments.begins_s[at],
            moments.ends_s[at],
            capacity.change_s(capacity.room_c, step.heats[0].oven_c),
            number,
            at,
        )
        for number, (chain, moments) in enumerate(zip(problem.chains, times, strict=True))
        for at, step in enumerate(chain.steps)
        if step.heats and not step.ended
    ]
    uses.sort()
    return uses


def oven_on_s(problem: Problem, uses: list[Use]) -> int:
    """Seconds from now on that the oven is on."""
    hot_now = problem.capacity.oven_c > problem.capacity.room_c
    hot_until: int | None = problem.now_s if hot_now else None
    on_s = 0
    for use in uses:
        fresh_s = use.ends_s - use.begins_s + use.heat_up_s
        if hot_until is None:
            on_s += fresh_s
            hot_until = use.ends_s
        else:
            on_s += max(0, min(use.ends_s - hot_until, fresh_s))
            hot_until = max(hot_until, use.ends_s)
    return on_s


def cost_of(problem: Problem, times: tuple[Times, ...]) -> Cost:
    """The cost of a timetable, term by term. Steps that have ended count nothing."""
    over_s = late_s = proof_s = rest_s = wait_s = early_s = soon_s = 0
    for chain, moments in zip(problem.chains, times, strict=True):
        over_s += chain_over_s(problem, chain, moments)
        for at, step in enumerate(chain.steps):
            if step.ended:
                continue
            stray_s = abs(moments.ends_s[at] - moments.begins_s[at] - step.nominal_s)
            if step.critical:
                proof_s += stray_s
            else:
                rest_s += stray_s
            if at and step.begun_s is None:
                wait_s += moments.begins_s[at] - moments.ends_s[at - 1]
        if chain.steps[-1].ended:
            continue
        if chain.ready_by_s is None:
            soon_s += max(0, moments.ready_s - problem.now_s)
        else:
            late_s += max(0, moments.ready_s - chain.ready_by_s)
            early_s += max(0, chain.ready_by_s - moments.ready_s)
    oven_s = oven_on_s(problem, oven_uses(problem, times))
    total = (
        OVER * over_s
        + LATE * late_s
        + OVEN * oven_s
        + PROOF * proof_s
        + REST * rest_s
        + WAIT * wait_s
        + EARLY * early_s
        + SOON * soon_s
    )
    return Cost(over_s, late_s, oven_s, proof_s, rest_s, wait_s, early_s, soon_s, total)
