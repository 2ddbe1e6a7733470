"""The objective: what makes one plan better than another.

The aims, in order, are: nothing outside what is allowed; ready on time; an oven that is full of the right thing and
otherwise off; critical steps near their nominal length; little waiting. Each aim is counted in seconds and weighed; the
weights are so far apart that an aim gives way only to much of the next one. They are a choice:

* a second outside what is allowed (a violation) weighs more than any lateness a day can hold;
* a minute late weighs as much as an hour of waiting;
* an oven-minute weighs more than a minute's deviation of a critical step, and that more than a minute's waiting;
* ten minutes of hands in a quiet span weigh as much as twelve seconds outside what is allowed; only chains that have
  begun may have any, for the others there is always a later morning;
* a longer step in another's place weighs as much as three hours of being early;
* an hour of being ready before the quiet span that could lie before it weighs as much as six minutes late;
* what waits in turns shares out its deviation: the second half of what is allowed weighs three times the first.

Oven time: from when the oven is turned on until the last step in it ends. Between two of them the oven either stays
hot, or, if that takes less, is turned off and heated up again from the room's temperature.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import replace
from operator import itemgetter
from typing import NamedTuple

from proofbell.planner.plan import Cost, Times
from proofbell.planner.problem import Chain, Problem, Step

VIOLATION = 1_000_000
LATE = 60
OVEN = 3
CRITICAL = 2
OTHER = 1
WAIT = 1
EARLY = 1
STALE = 6
SOON = 1
QUIET = 20_000
EDGE = 1
LONGER = 10_800
NEAR, FAR = 1, 3
"""Of a deviation that is shared out: each second up to half of what is allowed, and beyond."""

EDGE_S = 10 * 60
"""So far from a quiet span hands are rather not needed: common practice, no source."""


class OvenInterval(NamedTuple):
    """One step in the oven, past ones left out."""

    begins_s: int
    ends_s: int
    heat_up_s: int
    chain: int
    step: int


def fresh_from_s(problem: Problem, chain: Chain) -> int | None:
    """When the last quiet span ends before a chain is wanted: what is ready before that is of the day before."""
    wanted_s = chain.ready_by_s
    return None if wanted_s is None else max((end_s for _, end_s in problem.quiet if end_s <= wanted_s), default=None)


def stale_s(problem: Problem, chain: Chain, ready_s: int) -> int:
    """Seconds that a chain is ready before the day on which it is wanted has begun."""
    fresh_s = fresh_from_s(problem, chain)
    return 0 if fresh_s is None else max(0, fresh_s - ready_s)


def due_arc(problem: Problem, chain: Chain, offset_s: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Breakpoints and slopes of what it costs when a chain is ready that is wanted; each ``offset_s`` sooner."""
    wanted_s, fresh_s = (chain.ready_by_s or 0) - offset_s, fresh_from_s(problem, chain)
    if fresh_s is None or fresh_s - offset_s >= wanted_s:
        return (wanted_s,), (-EARLY, LATE)
    return (fresh_s - offset_s, wanted_s), (-EARLY - STALE, -EARLY, LATE)


def due_cost(problem: Problem, chain: Chain, ready_s: int) -> int:
    """What it costs that a chain is ready then, and not when it is wanted."""
    late_s = ready_s - (chain.ready_by_s or 0)
    return LATE * late_s if late_s > 0 else -EARLY * late_s + STALE * stale_s(problem, chain, ready_s)


def deviation_weight(step: Step) -> int:
    """Cost of each second that a step deviates from its nominal."""
    return 0 if step.flat else CRITICAL if step.critical else OTHER


def shared_arc(least_s: int, nominal_s: int, most_s: int, below: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Breakpoints and slopes of what a length costs whose deviation is shared out.

    Args:
        least_s: its least.
        nominal_s: what is wanted.
        most_s: its most.
        below: slope below the least.
    """
    halves = (least_s, (least_s + nominal_s) // 2, nominal_s, (nominal_s + most_s) // 2, most_s)
    sides = (below, -FAR, -NEAR, NEAR, FAR, VIOLATION)
    breaks, slopes = [halves[0]], [sides[0]]
    for at in range(1, len(halves)):
        if halves[at] != breaks[-1]:
            slopes.append(sides[at])
            breaks.append(halves[at])
    return tuple(breaks), (*slopes, sides[-1])


def shared_cost(step: Step, length_s: int) -> int:
    """What a length inside what is allowed costs whose deviation is shared out; outside, as far as it is inside."""
    by_s = length_s - step.nominal_s
    room_s = step.most_s - step.nominal_s if by_s > 0 else step.nominal_s - step.least_s
    half_s = step.nominal_s - (step.least_s + step.nominal_s) // 2 if by_s < 0 else (step.nominal_s + step.most_s) // 2
    half_s -= 0 if by_s < 0 else step.nominal_s
    by_s = min(abs(by_s), room_s)
    return NEAR * min(by_s, half_s) + FAR * max(0, by_s - half_s)


def gone_on_bounds(before: Step, lag_s: int, now_s: int) -> tuple[int, int, int]:
    """Least, wanted and longest time from the begin of a step until what it goes on for in effect, seconds."""
    least_s, most_s = before.least_s + lag_s, before.most_s + lag_s
    if before.begun_s is not None:
        most_s = max(most_s, now_s - before.begun_s)
    return least_s, before.nominal_s + lag_s, most_s


class HandSpan(NamedTuple):
    """When one chain needs hands: from, until, and how long before that somebody must be there to heat the oven."""

    begins_s: int
    ends_s: int
    lead_s: int


def hand_spans(problem: Problem, chain: Chain, times: Times) -> Iterator[HandSpan]:
    """Every span in which one chain needs hands from now on."""
    capacity, now_s = problem.capacity, problem.now_s
    for at, step in enumerate(chain.taken(times.instead)):
        if step.ended:
            continue
        begin_s, end_s = times.begins_s[at], times.ends_s[at]
        if step.hands_s is None:
            yield HandSpan(begin_s, end_s, 0)
        elif step.hands_s and (step.begun_s is None or begin_s + step.hands_s > now_s):
            lead_s = capacity.change_s(capacity.room_c, step.heats[0].oven_c) if step.heats and not step.running else 0
            yield HandSpan(begin_s, begin_s + step.hands_s, lead_s)
        for task in step.tasks:
            task_s = task.at_s + (begin_s if task.at_s >= 0 else end_s)
            if step.begun_s is None or task.at_s < 0 or task_s >= now_s:
                yield HandSpan(task_s, task_s + task.hands_s, 0)
        if step.hands_end_s:
            yield HandSpan(end_s - step.hands_end_s, end_s, 0)


def quiet_s(problem: Problem, chain: Chain, times: Times) -> tuple[int, int]:
    """Seconds by which hands of one chain would have to move out of quiet spans, and those too near to their edges."""
    broken_s = near_s = 0
    quiet, last = problem.quiet, len(problem.quiet)
    for span in hand_spans(problem, chain, times) if quiet else ():
        first_s = span.begins_s - span.lead_s
        at = bisect_right(quiet, first_s - EDGE_S, key=itemgetter(1))
        while at < last and span.ends_s - quiet[at][0] > -EDGE_S:
            over_s = min(span.ends_s - quiet[at][0], quiet[at][1] - first_s)
            broken_s += max(0, over_s)
            near_s += min(EDGE_S, EDGE_S + over_s)
            at += 1
    return broken_s, near_s


def longest_wait_s(before: Step, now_s: int) -> int:
    """Longest open wait after a step, seconds; a wait that has already happened is a fact."""
    if before.ended_s is None:
        return before.wait_s
    return max(before.wait_s, now_s - before.ended_s)


def chain_violation_s(problem: Problem, chain: Chain, times: Times) -> int:
    """Seconds by which one chain leaves what is allowed: lengths, waits, and its latest end."""
    violation_s = 0
    now_s, follows = problem.now_s, chain.follows
    steps, begins_s, ends_s = chain.taken(times.instead), times.begins_s, times.ends_s
    for at, step in enumerate(steps):
        if step.ended_s is not None:
            continue
        begin_s = begins_s[at]
        if step.begun_s is not None:
            violation_s += max(0, ends_s[at] - begin_s - step.bounds_s(now_s)[1])
            continue
        over_s = ends_s[at] - begin_s - step.most_s
        if over_s > 0:
            violation_s += over_s
        if step.since is not None:
            most_s = gone_on_bounds(steps[step.since], step.lag_s, now_s)[2]
            violation_s += max(0, begin_s - begins_s[step.since] - most_s)
        for one in follows[at]:
            gap_s = begin_s - ends_s[one]
            if gap_s > 0:
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
    violation_s = late_s = critical_s = other_s = wait_s = early_s = of_before_s = soon_s = 0
    broken_s = edge_s = shared = longer = 0
    for chain, moments in zip(problem.chains, times, strict=True):
        violation_s += chain_violation_s(problem, chain, moments)
        if problem.quiet:
            chain_quiet_s, chain_edge_s = quiet_s(problem, chain, moments)
            broken_s += chain_quiet_s
            edge_s += chain_edge_s
        longer += len(moments.instead)
        deviation = _deviation(problem, chain, moments)
        critical_s += deviation[0]
        other_s += deviation[1]
        shared += deviation[2]
        wait_s += _wait_s(chain, moments)
        if chain.steps[-1].ended:
            continue
        if chain.ready_by_s is None:
            soon_s += max(0, moments.ready_s - problem.now_s)
        else:
            late_s += max(0, moments.ready_s - chain.ready_by_s)
            early_s += max(0, chain.ready_by_s - moments.ready_s)
            of_before_s += stale_s(problem, chain, moments.ready_s)
    oven_s = oven_on_s(problem, oven_intervals(problem, times))
    total = (
        VIOLATION * violation_s
        + LATE * late_s
        + OVEN * oven_s
        + CRITICAL * critical_s
        + OTHER * other_s
        + WAIT * wait_s
        + EARLY * early_s
        + STALE * of_before_s
        + SOON * soon_s
        + QUIET * broken_s
        + EDGE * edge_s
        + shared
        + LONGER * longer
    )
    return Cost(
        violation_s, late_s, oven_s, critical_s, other_s, wait_s, early_s, soon_s, total, broken_s, edge_s, shared,
        longer, of_before_s,
    )  # fmt: skip


def _wait_s(chain: Chain, times: Times) -> int:
    begins_s, ends_s, wait_s = times.begins_s, times.ends_s, 0
    for at, before in enumerate(chain.follows):
        if chain.steps[at].begun_s is None:
            for one in before:
                wait_s += begins_s[at] - ends_s[one]
    return wait_s


def _deviation(problem: Problem, chain: Chain, times: Times) -> tuple[int, int, int]:
    """Seconds that critical and other steps deviate, and what those cost whose deviation is shared out."""
    critical_s = other_s = shared = 0
    steps = chain.taken(times.instead)
    for at, step in enumerate(steps):
        if step.ended_s is not None:
            continue
        length_s = times.ends_s[at] - times.begins_s[at]
        if step.since is not None and step.begun_s is None:
            shared += _gone_on_cost(problem, steps[step.since], step, times, at)
        if step.flat or length_s == step.nominal_s:
            continue
        if step.shared and not step.running:
            shared += shared_cost(step, length_s)
        elif step.critical:
            critical_s += abs(length_s - step.nominal_s)
        else:
            other_s += abs(length_s - step.nominal_s)
    return critical_s, other_s, shared


def _gone_on_cost(problem: Problem, before: Step, step: Step, times: Times, at: int) -> int:
    """What it costs that a step goes on, in effect, until another begins."""
    if before.flat or step.since is None:
        return 0
    least_s, nominal_s, most_s = gone_on_bounds(before, step.lag_s, problem.now_s)
    whole = replace(before, least_s=least_s, nominal_s=nominal_s, most_s=most_s, tasks=(), hands_s=0, hands_end_s=0)
    return shared_cost(whole, times.begins_s[at] - times.begins_s[step.since])
