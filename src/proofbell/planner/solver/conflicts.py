"""Where a draft's present times ask for more hands or more oven than there is."""

from __future__ import annotations

from proofbell.planner.solver.partial_schedule import FRESH, HANDS, HOT, NOW, OVEN, Decision, Draft


def worst(draft: Draft, *, in_time: bool = False) -> list[Decision]:
    """The decisions that would each resolve the worst conflict, or the first; empty when there is none.

    The oven goes before the hands: it is scarcer, and what is decided about it moves more.
    """
    t = draft.timing.seconds()
    found = _oven(draft, t)
    if found:
        return found
    if draft.problem.capacity.people == 1:
        return _one_pair(draft, t, in_time=in_time)
    return _many_pairs(draft, t)


def _either(draft: Draft, about: str, one: int, other: int) -> list[Decision]:
    """Both orders of two uses, or the only one when the first has begun."""
    tasks = draft.tasks if about == HANDS else draft.uses
    if tasks[one].begun:
        return [] if tasks[other].begun else [(about, one, other)]
    if tasks[other].begun:
        return [(about, other, one)]
    return [(about, one, other), (about, other, one)]


def _one_pair(draft: Draft, t: list[int], *, in_time: bool) -> list[Decision]:
    """The longest overlap in the use of one pair of hands, or the first."""
    spans = sorted(
        [(t[task.begin[0]] + task.begin[1], t[task.end[0]] + task.end[1], number) for number, task in draft.open_tasks]
    )
    reach, holder = -1 << 60, -1
    most = 0
    pair = (0, 0)
    for begin, end, number in spans:
        if begin < reach:
            overlap = min(end, reach) - begin
            if overlap > most and not (draft.tasks[number].begun and draft.tasks[holder].begun):
                most = overlap
                pair = holder, number
                if in_time:
                    break
        if end > reach:
            reach, holder = end, number
    return _either(draft, HANDS, *pair) if most else []


def _many_pairs(draft: Draft, t: list[int]) -> list[Decision]:
    """The first moment at which more stages want hands than there are people."""
    people = draft.problem.capacity.people
    spans = sorted(
        [(t[task.begin[0]] + task.begin[1], t[task.end[0]] + task.end[1], number) for number, task in draft.open_tasks]
    )
    active: list[tuple[int, int]] = []
    for begin, end, number in spans:
        active = [(until, holder) for until, holder in active if until > begin]
        if len(active) >= people:
            crowd = [holder for _, holder in active] + [number]
            pairs = [pair for at, one in enumerate(crowd) for pair in [(one, other) for other in crowd[at + 1 :]]]
            choices = [choice for one, other in pairs for choice in _either(draft, HANDS, one, other)]
            if choices:
                return choices
        active.append((end, number))
    return []


def _oven(draft: Draft, t: list[int]) -> list[Decision]:
    """The worst overlap of two bakes that cannot share the oven, or a moment with too many trays."""
    uses, change, together = draft.uses, draft.facts.change, draft.facts.together
    spans = [(t[use.begin[0]] + use.begin[1], t[use.end[0]] + use.end[1], number) for number, use in draft.open_uses]
    spans.sort()
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
                if overlap > most and not (uses[number].begun and uses[other].begun):
                    most = overlap
                    pair = other, number
    if most:
        return _either(draft, OVEN, *pair)
    return _trays(draft, spans) if draft.facts.sharing else []


def _trays(draft: Draft, spans: list[tuple[int, int, int]]) -> list[Decision]:
    uses, trays = draft.uses, draft.problem.capacity.trays
    active: list[tuple[int, int]] = []
    for begin, end, number in spans:
        active = [(until, holder) for until, holder in active if until > begin]
        active.append((end, number))
        crowd = [holder for _, holder in active]
        if sum(uses[holder].trays for holder in crowd) > trays:
            return [
                choice
                for at, one in enumerate(crowd)
                for other in crowd[at + 1 :]
                for choice in _either(draft, OVEN, one, other)
            ]
    return []


def next_heat(draft: Draft, *, every: bool = False) -> list[Decision]:
    """Choices for the first use of the oven of which it is not decided from when the oven is kept hot.

    Args:
        draft: without conflicts at its present times.
        every: whether the oven may be kept hot since any other bake, or only since the one before.
    """
    t = draft.timing.seconds()
    spans = sorted(
        [(t[use.begin[0]] + use.begin[1], t[use.end[0]] + use.end[1], number) for number, use in draft.open_uses]
    )
    hot_until = draft.problem.now_s
    since = NOW if draft.facts.hot_now else FRESH
    for _, end, number in spans:
        if number not in draft.hot and not draft.uses[number].begun:
            choices = [since] if since != FRESH else []
            if every:
                others = [other for other, _ in draft.open_uses if other not in (number, since)]
                choices += others
                choices += [NOW] if draft.facts.hot_now and since != NOW else []
            kept = [choice for choice in choices if choice < 0 or number not in draft.hot_since(choice)]
            return [(HOT, choice, number) for choice in [*kept, FRESH]]
        if since == FRESH or end > hot_until:
            since, hot_until = number, end
    return []
