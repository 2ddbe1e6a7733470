"""The objective: what makes one plan better than another.

The aims, in order, are: nothing outside what is allowed; ready on time; an oven that is full of the right thing and
otherwise off; critical steps near their nominal length; little waiting. Each aim is counted in seconds and weighed; the
weights are so far apart that an aim gives way only to much of the next one. They are a choice:

* a second outside what is allowed (a violation) weighs more than any lateness a day can hold;
* a minute late weighs as much as an hour of waiting;
* an oven-minute weighs more than a minute's deviation of a critical step, and that more than a minute's waiting.

Oven time: from when the oven is turned on until the last step in it ends. Between two of them the oven either stays
hot, or, if that takes less, is turned off and heated up again from the room's temperature.
"""

from __future__ import annotations

from typing import NamedTuple

from proofbell.planner.model import Chain, Cost, Problem, Step, Times

VIOLATION = 1_000_000
LATE = 60
OVEN = 3
CRITICAL = 2
OTHER = 1
WAIT = 1
EARLY = 1
SOON = 1


class OvenInterval(NamedTuple):
    """One step in the oven, past ones left out."""

    begins_s: int
    ends_s: int
    heat_up_s: int
    chain: int
    step: int


def deviation_weight(step: Step) -> int:
    """Cost of each second that a step deviates from its nominal."""
    return CRITICAL if step.critical else OTHER


def longest_wait_s(before: Step, now_s: int) -> int:
    """Longest open wait after a step, seconds; a wait that has already happened is a fact."""
    if before.ended_s is None:
        return before.wait_s
    return max(before.wait_s, now_s - before.ended_s)


def chain_violation_s(problem: Problem, chain: Chain, times: Times) -> int:
    """Seconds by which one chain leaves what is allowed: lengths, waits, and its latest end."""
    violation_s = 0
    now_s = problem.now_s
    for at, step in enumerate(chain.steps):
        if step.ended:
            continue
        violation_s += max(0, times.ends_s[at] - times.begins_s[at] - step.bounds_s(now_s)[1])
        for one in chain.before(at) if step.begun_s is None else ():
            gap_s = times.begins_s[at] - times.ends_s[one]
            violation_s += max(0, gap_s - longest_wait_s(chain.steps[one], now_s))
    if chain.latest_s is not None and not chain.steps[-1].ended:
        violation_s += max(0, times.ready_s - chain.latest_s)
    return violation_s


def oven_intervals(problem: Problem, times: tuple[Times, ...]) -> list[OvenInterval]:
    """Steps that are in the oven or will be, in order of their beginning."""
    capacity = problem.capacity
    uses = [
        OvenInterval(
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


def oven_on_s(problem: Problem, uses: list[OvenInterval]) -> int:
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
    violation_s = late_s = critical_s = other_s = wait_s = early_s = soon_s = 0
    for chain, moments in zip(problem.chains, times, strict=True):
        violation_s += chain_violation_s(problem, chain, moments)
        for at, step in enumerate(chain.steps):
            if step.ended:
                continue
            deviation_s = abs(moments.ends_s[at] - moments.begins_s[at] - step.nominal_s)
            if step.critical:
                critical_s += deviation_s
            else:
                other_s += deviation_s
            if step.begun_s is None:
                wait_s += sum(moments.begins_s[at] - moments.ends_s[one] for one in chain.before(at))
        if chain.steps[-1].ended:
            continue
        if chain.ready_by_s is None:
            soon_s += max(0, moments.ready_s - problem.now_s)
        else:
            late_s += max(0, moments.ready_s - chain.ready_by_s)
            early_s += max(0, chain.ready_by_s - moments.ready_s)
    oven_s = oven_on_s(problem, oven_intervals(problem, times))
    total = (
        VIOLATION * violation_s
        + LATE * late_s
        + OVEN * oven_s
        + CRITICAL * critical_s
        + OTHER * other_s
        + WAIT * wait_s
        + EARLY * early_s
        + SOON * soon_s
    )
    return Cost(violation_s, late_s, oven_s, critical_s, other_s, wait_s, early_s, soon_s, total)
