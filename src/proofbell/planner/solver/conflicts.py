"""Conflict selection: where a partial schedule's present times ask for more hands or more oven than there is."""

from __future__ import annotations

from bisect import bisect_right

from proofbell.planner.objective import EDGE_S
from proofbell.planner.solver.partial_schedule import FRESH, HANDS, HOT, NOW, OVEN, Decision, PartialSchedule, Span


def select_conflict(schedule: PartialSchedule, *, by_time: bool = False) -> list[Decision]:
    """The decisions that would each resolve the worst conflict, or the first; empty when there is none.

    Quiet spans go first, for they move most; the oven goes before the hands: it is scarcer than they are.
    """
    t = schedule.network.seconds()
    found = _quiet(schedule, t) or _oven(schedule, t)
    if found:
        return found
    if schedule.problem.capacity.people == 1:
        return _one_pair(schedule, t, by_time=by_time)
    return _many_pairs(schedule, t)


def _either(schedule: PartialSchedule, about: str, one: int, other: int) -> list[Decision]:
    """Both orders of two uses, or the only one when the first has begun."""
    uses = schedule.hand_uses if about == HANDS else schedule.oven_uses
    first, second = uses[one], uses[other]
    if first.fixed and second.fixed:
        return []
    if first.begun:
        return [(about, one, other)]
    if second.begun:
        return [(about, other, one)]
    return [(about, one, other), (about, other, one)]


def _quiet(schedule: PartialSchedule, t: list[int]) -> list[Decision]:
    """Before or after a quiet span: the use of hands that is farthest inside one, or too near to one."""
    if not schedule.quiet_ends_s:
        return []
    most, pair = -EDGE_S, (0, 0)
    ends_s, begins_s, decided = schedule.quiet_ends_s, schedule.quiet_begins_s, schedule.hands
    near_ends_s = [end_s + EDGE_S for end_s in ends_s]
    first_quiet, last = schedule.quiet_spans[0][0], len(ends_s)
    for number, begin, begin_offset, end, end_offset in schedule.movable_hand_uses:
        first_s = t[begin] + begin_offset
        at = bisect_right(near_ends_s, first_s)
        if at == last or t[end] + end_offset - begins_s[at] <= most:
            continue
        # No use is so long, or span so short, that it is near to more than two of them.
        for near in (at, at + 1) if at + 1 < last else (at,):
            over_s = min(t[end] + end_offset - begins_s[near], ends_s[near] - first_s)
            quiet = first_quiet + near
            if over_s > most and (quiet, number) not in decided and (number, quiet) not in decided:
                most, pair = over_s, (quiet, number)
    return _either(schedule, HANDS, *pair) if most > -EDGE_S else []


def _one_pair(schedule: PartialSchedule, t: list[int], *, by_time: bool) -> list[Decision]:
    """The longest overlap in the use of one pair of hands, or the first."""
    spans = schedule.spans(HANDS, t)
    reach, holder = -1 << 60, -1
    most = 0
    pair = (0, 0)
    for begin, end, number in spans:
        if begin < reach:
            overlap = min(end, reach) - begin
            if overlap > most and not (schedule.hand_uses[number].fixed and schedule.hand_uses[holder].fixed):
                most = overlap
                pair = holder, number
                if by_time:
                    break
        if end > reach:
            reach, holder = end, number
    return _either(schedule, HANDS, *pair) if most else []


def _many_pairs(schedule: PartialSchedule, t: list[int]) -> list[Decision]:
    """The first moment at which more steps want hands than there are people."""
    people = schedule.problem.capacity.people
    spans = schedule.spans(HANDS, t)
    active: list[tuple[int, int]] = []
    for begin, end, number in spans:
        active = [(until, holder) for until, holder in active if until > begin]
        if len(active) >= people:
            crowd = [holder for _, holder in active] + [number]
            pairs = [pair for at, one in enumerate(crowd) for pair in [(one, other) for other in crowd[at + 1 :]]]
            choices = [choice for one, other in pairs for choice in _either(schedule, HANDS, one, other)]
            if choices:
                return choices
        active.append((end, number))
    return []


def _oven(schedule: PartialSchedule, t: list[int]) -> list[Decision]:
    """The worst overlap of two uses that cannot share the oven, or a moment with too many trays."""
    oven_uses, change, together = schedule.oven_uses, schedule.setup.change, schedule.setup.together
    spans = schedule.spans(OVEN, t)
    most = 0
    pair = (0, 0)
    for at, (begin, end, number) in enumerate(spans):
        for earlier in range(at - 1, -1, -1):
            _, until, other = spans[earlier]
            if together[other][number]:
                continue
            overlap = until + change[other][number] - begin
            if overlap > most:
                overlap = min(overlap, end + change[number][other] - spans[earlier][0])
                if overlap > most and not (oven_uses[number].begun and oven_uses[other].begun):
                    most = overlap
                    pair = other, number
    if most:
        return _either(schedule, OVEN, *pair)
    return _trays(schedule, spans) if schedule.setup.sharing else []


def _trays(schedule: PartialSchedule, spans: list[Span]) -> list[Decision]:
    oven_uses, trays = schedule.oven_uses, schedule.problem.capacity.trays
    active: list[tuple[int, int]] = []
    for begin, end, number in spans:
        active = [(until, holder) for until, holder in active if until > begin]
        active.append((end, number))
        crowd = [holder for _, holder in active]
        if sum(oven_uses[holder].trays for holder in crowd) > trays:
            return [
                choice
                for at, one in enumerate(crowd)
                for other in crowd[at + 1 :]
                for choice in _either(schedule, OVEN, one, other)
            ]
    return []


def select_heating(schedule: PartialSchedule, *, every: bool = False) -> list[Decision]:
    """Choices for the first use of the oven of which it is not decided from when the oven is kept hot.

    Args:
        schedule: without conflicts at its present times.
        every: whether the oven may be kept hot since any other use, or only since the one before.
    """
    t = schedule.network.seconds()
    spans = schedule.spans(OVEN, t)
    hot_until = schedule.problem.now_s
    since = NOW if schedule.setup.hot_now else FRESH
    for _, end, number in spans:
        if number not in schedule.hot and not schedule.oven_uses[number].begun:
            choices = [since] if since != FRESH else []
            if every:
                others = [other for other, _ in schedule.considered_oven_uses if other not in (number, since)]
                choices += others
                choices += [NOW] if schedule.setup.hot_now and since != NOW else []
            kept = [choice for choice in choices if choice < 0 or number not in schedule.heated_through(choice)]
            return [(HOT, choice, number) for choice in [*kept, FRESH]]
        if since == FRESH or end > hot_until:
            since, hot_until = number, end
    return []
