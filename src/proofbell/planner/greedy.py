"""Greedy insertion (serial schedule generation): one chain after another is put where hands and oven are still free.

Every chain keeps its nominal lengths and is shifted as a whole, to the nearest place before or after the time it would
want. After everything else there is always room, so a place is found for every chain that has not begun.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from proofbell.planner import objective
from proofbell.planner.plan import Times
from proofbell.planner.problem import Capacity, Chain, Problem

Span = tuple[int, int]
OvenSpan = tuple[int, int, float, float]


@dataclass(slots=True)
class ResourceProfile:
    """What is taken already: spans of each person's hands, and steps in the oven."""

    people: list[list[Span]]
    oven: list[OvenSpan] = field(default_factory=list)


def empty_profile(problem: Problem) -> ResourceProfile:
    """Nothing is taken but the quiet spans, by everybody."""
    return ResourceProfile([[*problem.quiet] for _ in range(problem.capacity.people)])


def hands_of(chain: Chain, times: Times) -> list[Span]:
    """Spans in which one chain needs hands, past ones left out; spans that touch are one."""
    spans: list[Span] = []
    for at, step in enumerate(chain.steps):
        begin_s, end_s = times.begins_s[at], times.ends_s[at]
        if step.ended:
            continue
        if step.hands_s is None:
            if spans and spans[-1][1] == begin_s:
                spans[-1] = spans[-1][0], end_s
            else:
                spans.append((begin_s, end_s))
            continue
        if step.hands_s:
            spans.append((begin_s, begin_s + step.hands_s))
        for task in step.tasks:
            task_s = task.at_s + (begin_s if task.at_s >= 0 else end_s)
            spans.append((task_s, task_s + task.hands_s))
        if step.hands_end_s:
            spans.append((end_s - step.hands_end_s, end_s))
    return spans


def oven_spans_of(chain: Chain, times: Times) -> list[OvenSpan]:
    """Spans in which one chain is in the oven, with the heats it begins and ends with; past ones left out."""
    return [
        (times.begins_s[at], times.ends_s[at], step.heats[0].oven_c, step.heats[-1].oven_c)
        for at, step in enumerate(chain.steps)
        if step.heats and not step.ended
    ]


def reserve(profile: ResourceProfile, chain: Chain, times: Times) -> None:
    """Take what one chain needs; each span of hands goes to somebody who is free, if anybody is."""
    for begin_s, end_s in hands_of(chain, times):
        free = [spans for spans in profile.people if all(end_s <= busy[0] or busy[1] <= begin_s for busy in spans)]
        (free or profile.people)[0].append((begin_s, end_s))
    profile.oven += oven_spans_of(chain, times)


def nominal_times(chain: Chain, start_s: int) -> Times:
    """A chain that has not begun, at its nominal lengths, without waiting."""
    ends: list[int] = []
    for at, step in enumerate(chain.steps):
        ends.append(max((ends[one] for one in chain.before(at)), default=start_s) + step.nominal_s)
    # Backwards, so that of strands that join the shorter one begins later instead of waiting at its end.
    begins = [end_s - step.nominal_s for end_s, step in zip(ends, chain.steps, strict=True)]
    for at in range(len(ends) - 1, -1, -1):
        for one in chain.before(at):
            ends[one] = begins[at]
            begins[one] = ends[one] - chain.steps[one].nominal_s
    return Times(chain.letter, tuple(begins), tuple(ends))


def _right_shift_s(
    profile: ResourceProfile, capacity: Capacity, hands: list[Span], oven: list[OvenSpan], at_s: int
) -> int:
    """How much later than `at_s` a chain must start at least; 0 when it fits there."""
    for begin, end in hands:
        begin_s, end_s = begin + at_s, end + at_s
        least_s = None
        for spans in profile.people:
            by_s = max([busy[1] - begin_s for busy in spans if busy[0] < end_s and begin_s < busy[1]], default=0)
            least_s = by_s if least_s is None else min(least_s, by_s)
        if least_s:
            return least_s
    for begin, end, first_c, last_c in oven:
        for busy_begin, busy_end, busy_first_c, busy_last_c in profile.oven:
            until_s = busy_end + capacity.change_s(busy_last_c, first_c)
            since_s = busy_begin - capacity.change_s(last_c, busy_first_c)
            if begin + at_s < until_s and end + at_s > since_s:
                return until_s - begin - at_s
    return 0


def _left_shift_s(
    profile: ResourceProfile, capacity: Capacity, hands: list[Span], oven: list[OvenSpan], at_s: int
) -> int:
    """How much earlier than `at_s` a chain must start at least; 0 when it fits there."""
    for begin, end in hands:
        begin_s, end_s = begin + at_s, end + at_s
        least_s = None
        for spans in profile.people:
            by_s = max([end_s - busy[0] for busy in spans if busy[0] < end_s and begin_s < busy[1]], default=0)
            least_s = by_s if least_s is None else min(least_s, by_s)
        if least_s:
            return least_s
    for begin, end, first_c, last_c in oven:
        for busy_begin, busy_end, busy_first_c, busy_last_c in profile.oven:
            until_s = busy_end + capacity.change_s(busy_last_c, first_c)
            since_s = busy_begin - capacity.change_s(last_c, busy_first_c)
            if begin + at_s < until_s and end + at_s > since_s:
                return end + at_s - since_s
    return 0


def fits(problem: Problem, profile: ResourceProfile, chain: Chain, times: Times) -> bool:
    """Whether one chain finds hands and oven free at given times, and is allowed them."""
    if objective.chain_violation_s(problem, chain, times):
        return False
    return not _right_shift_s(profile, problem.capacity, hands_of(chain, times), oven_spans_of(chain, times), 0)


def insert_near_due(problem: Problem, profile: ResourceProfile, chain: Chain) -> Times:
    """The nearest free place for one chain that has not begun."""
    capacity = problem.capacity
    still = nominal_times(chain, 0)
    hands, oven = hands_of(chain, still), oven_spans_of(chain, still)
    earliest_s = chain.earliest_s(problem.now_s)
    for begin_s, _, first_c, _ in oven:
        earliest_s = max(earliest_s, problem.now_s + capacity.change_s(capacity.oven_c, first_c) - begin_s)
    wanted_s = earliest_s if chain.ready_by_s is None else chain.ready_by_s - still.ready_s
    wanted_s = max(wanted_s, earliest_s)
    early_s = wanted_s
    while early_s >= earliest_s and (by_s := _left_shift_s(profile, capacity, hands, oven, early_s)):
        early_s -= by_s
    late_s = wanted_s
    while by_s := _right_shift_s(profile, capacity, hands, oven, late_s):
        late_s += by_s
    early, late = (objective.due_cost(problem, chain, still.ready_s + begin_s) for begin_s in (early_s, late_s))
    return nominal_times(chain, late_s if early_s < earliest_s or early > late else early_s)


def serial_schedule(problem: Problem, known: dict[str, Times]) -> tuple[Times, ...]:
    """A timetable for all chains, around those whose times are known.

    Args:
        problem: what to plan.
        known: times of chains that stay as they are, such as those that have begun.
    """
    times = dict(known)
    profile = empty_profile(problem)
    for letter, moments in known.items():
        reserve(profile, problem.by_letter[letter], moments)
    waiting = [chain for chain in problem.chains if chain.letter not in known]
    waiting.sort(key=lambda chain: (chain.ready_by_s is None, chain.ready_by_s or 0, chain.letter))
    for chain in waiting:
        times[chain.letter] = insert_near_due(problem, profile, chain)
        reserve(profile, chain, times[chain.letter])
    return tuple(times[chain.letter] for chain in problem.chains)
