"""Where a plan cannot be kept, which two steps stand in each other's way, and the cheapest ways out."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace

from proofbell.frozen import dataclass
from proofbell.planner.changes import Change, LeaveOut, MorePeople, MoveDue, Overrun, Split
from proofbell.planner.objective import chain_violation_s, gone_on_bounds, longest_wait_s
from proofbell.planner.plan import Clash, Plan, Times
from proofbell.planner.problem import Chain, Flexibility, Problem, Step
from proofbell.planner.repair.replan import carried_over
from proofbell.planner.search import Search
from proofbell.planner.search import plan as best_plan

NEAR_S = 60
"""A step that begins within this of another's end was waiting for it."""

LATE_S = 60
"""A chain that is ready this much after it is wanted is late."""

WAYS = 3
"""So many ways out are offered at most."""

HOTTEST_C = 250.0
"""No oven is taken to be hotter than this: common practice, no source."""

MINUTE_S = 60
EARLIER_S = 5 * 60
EARLIER = (1, 2, 4)
"""What is offered as earlier is so by as long as the clash, in steps of 5 min, or twice as long, or four times."""

STEPS = 12
"""Steps of the search for each way out: enough to compare them."""


def clashes_of(plan: Plan) -> tuple[Clash, ...]:
    """Every step that the plan keeps beyond what is allowed, and every chain that is late.

    The other step of a clash is the one that holds the hands or the oven until then; when there is none, the chain
    cannot keep its own bounds and both are the same step, about ``time``.
    """
    found: list[Clash] = []
    for chain, times in zip(plan.problem.chains, plan.times, strict=True):
        found += [
            _clash(plan, chain, at, times.begins_s[at], over_s) for at, over_s in _kept_too_long(plan, chain, times)
        ]
        late_s = 0 if chain.ready_by_s is None else times.ready_s - chain.ready_by_s
        if late_s >= LATE_S and not chain.steps[-1].ended and not any(c.second_letter == chain.letter for c in found):
            found.append(_late(plan, chain, times, late_s))
    return tuple(sorted(found, key=lambda clash: (clash.at_s, clash.second_letter)))


def _kept_too_long(plan: Plan, chain: Chain, times: Times) -> Iterator[tuple[int, int]]:
    """(index of the step that comes too late, seconds) for each step or wait that is longer than it may be."""
    now_s = plan.problem.now_s
    steps = chain.taken(times.instead)
    for at, step in enumerate(steps):
        if step.ended:
            continue
        if step.since is not None and step.begun_s is None:
            most_s = gone_on_bounds(steps[step.since], step.lag_s, now_s)[2]
            over_s = times.begins_s[at] - times.begins_s[step.since] - most_s
            if over_s > 0:
                yield at, over_s
        over_s = times.ends_s[at] - times.begins_s[at] - step.bounds_s(now_s)[1]
        if over_s > 0:
            yield next((i for i in range(at + 1, len(chain.steps)) if at in chain.before(i)), at), over_s
        for one in chain.before(at) if step.begun_s is None else ():
            wait_s = times.begins_s[at] - times.ends_s[one] - longest_wait_s(chain.steps[one], now_s)
            if wait_s > 0:
                yield at, wait_s


def _clash(plan: Plan, chain: Chain, at: int, at_s: int, over_s: int) -> Clash:
    step = chain.steps[at]
    about = "oven" if step.heats else "hands"
    holder = _holder(plan, chain.letter, about, at_s)
    if holder is None and step.heats:
        about, holder = "hands", _holder(plan, chain.letter, "hands", at_s)
    if holder is None:
        return Clash(chain.letter, at, chain.letter, at, "time", at_s, over_s)
    return Clash(holder[0], holder[1], chain.letter, at, about, at_s, over_s)


def _late(plan: Plan, chain: Chain, times: Times, late_s: int) -> Clash:
    """Why a chain is late: the last of its steps that had to wait for another's hands or oven, or its own length."""
    for at in range(len(chain.steps) - 1, -1, -1):
        step = chain.steps[at]
        if step.begun_s is not None:
            break
        about = "oven" if step.heats else "hands"
        if not step.heats and step.hands_s == 0:
            continue
        holder = _holder(plan, chain.letter, about, times.begins_s[at])
        if holder is not None:
            return Clash(holder[0], holder[1], chain.letter, at, about, times.begins_s[at], late_s)
    first = next((at for at, step in enumerate(chain.steps) if step.begun_s is None), len(chain.steps) - 1)
    return Clash(chain.letter, first, chain.letter, first, "time", times.begins_s[first], late_s)


def _holder(plan: Plan, letter: str, about: str, at_s: int) -> tuple[str, int] | None:
    """The step of another chain that has the oven or the hands until ``at_s``, a change of heat included."""
    best: tuple[int, str, int] | None = None
    for chain, times in zip(plan.problem.chains, plan.times, strict=True):
        if chain.letter == letter:
            continue
        for at, step in enumerate(chain.steps):
            until_s = _busy_until(plan.problem, step, times, at, about)
            if until_s is None or not until_s - NEAR_S <= at_s <= until_s + _slack_s(plan.problem, about):
                continue
            if best is None or abs(until_s - at_s) < best[0]:
                best = (abs(until_s - at_s), chain.letter, at)
    return None if best is None else best[1:]


def _busy_until(problem: Problem, step: Step, times: Times, at: int, about: str) -> int | None:
    if step.ended_s is not None and step.ended_s < problem.now_s:
        return None
    if about == "oven":
        return times.ends_s[at] if step.heats else None
    if step.hands_s is None:
        return times.ends_s[at]
    return times.begins_s[at] + step.hands_s if step.hands_s else None


def _slack_s(problem: Problem, about: str) -> int:
    """How long after one use the oven may still be changing its heat for the next."""
    return problem.capacity.change_s(HOTTEST_C, problem.capacity.room_c) // 2 if about == "oven" else NEAR_S


def alone_violation_s(problem: Problem, live: Collection[str]) -> int:
    """By how much the live chains would violate what is allowed if nothing came to them (s)."""
    chains = tuple(chain for chain in problem.chains if chain.letter in live)
    return best_plan(replace(problem, chains=chains), STEPS).cost.violation_s if chains else 0


def feasible_beside(plan: Plan, live: Collection[str], alone_s: int) -> bool:
    """Whether the new chains are feasible and the live ones no worse than alone (``alone_violation_s``)."""
    new_s = sum(
        chain_violation_s(plan.problem, chain, times)
        for chain, times in zip(plan.problem.chains, plan.times, strict=True)
        if chain.letter not in live
    )
    return not new_s and plan.cost.violation_s <= alone_s


@dataclass(frozen=True, slots=True)
class WayOut:
    """One way out: what to change, and the plan that follows. ``late_s`` is all lateness that is left."""

    change: Change
    plan: Plan

    @property
    def late_s(self) -> int:
        """Seconds that chains are ready after they are wanted, all together."""
        return self.plan.cost.late_s


def ways_out(plan: Plan, clash: Clash, fixed: Collection[str] = ()) -> tuple[WayOut, ...]:
    """Up to three changes that do away with a clash, the cheapest first.

    What only hands the trouble on to others is not offered. More oven is no way out: that has the places it has.
    ``fixed`` are the letters of chains that whoever asks cannot change.
    """
    letters = [letter for letter in dict.fromkeys((clash.second_letter, clash.first_letter)) if letter not in fixed]
    found = [way for letter in letters for way in _moved(plan, clash, letter)]
    found += [WayOut(change, _after(plan, problem)) for change, problem in _changes(plan, clash, letters)]
    better = [way for way in found if _mends(way.plan, plan, clash)]
    # A day with a chain left out is always cheaper; it is what anybody wants last.
    better.sort(
        key=lambda way: (way.plan.cost.violation_s, way.late_s, -len(way.plan.problem.chains), way.plan.cost.total)
    )
    return tuple(better[:WAYS])


def _mends(after: Plan, plan: Plan, clash: Clash) -> bool:
    """Whether the second chain's trouble is gone and no other chain's has grown by as much."""
    chain, times = plan.problem.by_letter[clash.second_letter], plan.of(clash.second_letter)
    over_s = chain_violation_s(plan.problem, chain, times)
    if over_s:
        return after.cost.violation_s <= plan.cost.violation_s - over_s
    late_s = 0 if chain.ready_by_s is None else max(0, times.ready_s - chain.ready_by_s)
    left_s = max(0, plan.cost.late_s - late_s) + LATE_S
    return after.cost.violation_s <= plan.cost.violation_s and after.cost.late_s < min(left_s, plan.cost.late_s)


def _after(plan: Plan, problem: Problem) -> Plan:
    """The plan for a changed problem, from the order of the plan so far: it is mostly right, and soon bettered."""
    search = Search(problem, carried_over(problem, plan))
    while search.steps < STEPS and not search.proved:
        search.step()
    return search.plan()


def _moved(plan: Plan, clash: Clash, letter: str) -> Iterator[WayOut]:
    """A chain wanted later, as soon as it can be from its begin in the plan on; or earlier, out of the other's way."""
    chain, problem = plan.problem.by_letter[letter], plan.problem
    due_s = chain.ready_by_s
    if due_s is None:
        return
    held_s = max(chain.not_before_s, plan.of(letter).begins_s[0])
    soonest = _after(plan, _with(problem, replace(chain, ready_by_s=None, not_before_s=held_s)))
    for order in (soonest, plan):
        ready_s = -(-order.of(letter).ready_s // MINUTE_S) * MINUTE_S
        if ready_s <= due_s:
            continue
        after = _after(order, _with(problem, replace(chain, ready_by_s=ready_s)))
        if _mends(after, plan, clash):
            yield WayOut(MoveDue(letter, due_s, ready_s), after)
            break
    if chain.begun or clash.about == "time":
        return
    step_s = -(-clash.over_s // EARLIER_S) * EARLIER_S
    for many in EARLIER:
        way = replace(chain, ready_by_s=due_s - many * step_s)
        after = _after(plan, _with(problem, way))
        if _mends(after, plan, clash) and after.of(letter).ready_s <= due_s - many * step_s:
            yield WayOut(MoveDue(letter, due_s, due_s - many * step_s), after)
            return


def _changes(plan: Plan, clash: Clash, letters: Sequence[str]) -> Iterator[tuple[Change, Problem]]:
    problem, capacity = plan.problem, plan.problem.capacity
    if clash.second_letter in letters:
        yield from _longer(plan, clash)
        yield from _split(problem, problem.by_letter[clash.second_letter])
    if clash.about == "hands":
        people = capacity.people + 1
        yield MorePeople(people), replace(problem, capacity=replace(capacity, people=people))
    for letter in letters:
        if len(problem.chains) > 1 and not problem.by_letter[letter].begun:
            rest = tuple(chain for chain in problem.chains if chain.letter != letter)
            yield LeaveOut(letter), replace(problem, chains=rest)


def _split(problem: Problem, chain: Chain) -> Iterator[tuple[Change, Problem]]:
    """The parts that may be made in the chain's place: each by itself waits for fewer turns."""
    if chain.split and not chain.begun:
        first, *others = chain.split
        rest = _with(problem, first).chains
        yield Split(chain.letter, tuple(part.letter for part in chain.split)), replace(problem, chains=(*rest, *others))


def _longer(plan: Plan, clash: Clash) -> Iterator[tuple[Change, Problem]]:
    """Keep a step longer than is allowed, by no more than it must: somebody may know better."""
    chain, times = plan.problem.by_letter[clash.second_letter], plan.of(clash.second_letter)
    for at in range(max(0, clash.second_step - 1), clash.second_step + 1):
        step = chain.steps[at]
        over_s = times.ends_s[at] - times.begins_s[at] - step.bounds_s(plan.problem.now_s)[1]
        if step.flexibility in (Flexibility.ELASTIC, Flexibility.FREE) and not step.ended and over_s > 0:
            over_s = -(-over_s // MINUTE_S) * MINUTE_S
            longer = _with_step(chain, at, replace(step, most_s=step.bounds_s(plan.problem.now_s)[1] + over_s))
            yield Overrun(chain.letter, step, over_s), _with(plan.problem, longer)


def _with(problem: Problem, changed: Chain) -> Problem:
    chains = tuple(changed if chain.letter == changed.letter else chain for chain in problem.chains)
    return replace(problem, chains=chains)


def _with_step(chain: Chain, at: int, step: Step) -> Chain:
    return replace(chain, steps=(*chain.steps[:at], step, *chain.steps[at + 1 :]))
