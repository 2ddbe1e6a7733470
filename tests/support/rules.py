"""What a plan must keep, written from the rules and not from the planner's code.

A plan is looked at moment by moment: who has hands in what, what stands in the oven at which heat. Lengths that
the dough does not forgive are told apart from things that cannot be at all.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from proofbell.planner.plan import Plan, Times
from proofbell.planner.problem import Chain, Problem, Step

Span = tuple[int, int]


def broken(plan: Plan) -> list[str]:
    """Everything in the plan that cannot be, in words: two places at once, times that are not so, a changed past."""
    problem = plan.problem
    found: list[str] = []
    assert [times.letter for times in plan.times] == [chain.letter for chain in problem.chains]
    for chain, times in zip(problem.chains, plan.times, strict=True):
        found += _order(problem, chain, times)
    return [*found, *_hands(problem, plan.times), *_oven(problem, plan.times), *_nights(problem, plan.times)]


def unforgiven_s(plan: Plan) -> int:
    """Seconds by which the plan leaves what the doughs forgive: too long a stage or a wait, or too late an end."""
    over_s = 0
    now_s = plan.problem.now_s
    for chain, times in zip(plan.problem.chains, plan.times, strict=True):
        steps = _as_planned(chain, times)
        for at, step in enumerate(steps):
            if step.ended_s is not None:
                continue
            most_s = step.most_s if step.begun_s is None else max(step.most_s, now_s - step.begun_s)
            over_s += max(0, times.ends_s[at] - times.begins_s[at] - most_s)
            if step.begun_s is not None:
                continue
            for one in _before(chain, at):
                before = steps[one]
                # What has been waited already is nobody's fault.
                may_s = before.wait_s if before.ended_s is None else max(before.wait_s, now_s - before.ended_s)
                over_s += max(0, times.begins_s[at] - times.ends_s[one] - may_s)
            if step.since is not None:
                # The load that waits goes on proofing until it is loaded.
                proof = steps[step.since]
                may_s = proof.most_s + step.lag_s
                may_s = may_s if proof.begun_s is None else max(may_s, now_s - proof.begun_s)
                over_s += max(0, times.begins_s[at] - times.begins_s[step.since] - may_s)
        if chain.latest_s is not None and chain.steps[-1].ended_s is None:
            over_s += max(0, times.ends_s[-1] - chain.latest_s)
    return over_s


def _as_planned(chain: Chain, times: Times) -> tuple[Step, ...]:
    return tuple(
        step.instead if at in times.instead and step.instead is not None else step
        for at, step in enumerate(chain.steps)
    )


def _before(chain: Chain, at: int) -> tuple[int, ...]:
    after = chain.steps[at].after
    return after if after is not None else (at - 1,) if at else ()


def _order(problem: Problem, chain: Chain, times: Times) -> Iterator[str]:
    now_s = problem.now_s
    assert len(times.begins_s) == len(times.ends_s) == len(chain.steps)
    for at, step in enumerate(_as_planned(chain, times)):
        begins_s, ends_s, name = times.begins_s[at], times.ends_s[at], f"{chain.letter} {step.name}"
        if step.begun_s is not None and begins_s != step.begun_s:
            yield f"{name} began at {step.begun_s} and not at {begins_s}"
        if step.ended_s is not None:
            if ends_s != step.ended_s:
                yield f"{name} ended at {step.ended_s} and not at {ends_s}"
            continue
        first = not step.ahead and all(chain.steps[one].ahead for one in _before(chain, at))
        if step.begun_s is None and begins_s < max(now_s, chain.not_before_s if first else now_s):
            yield f"{name} begins at {begins_s}, before it can"
        if ends_s < now_s:
            yield f"{name} ends at {ends_s}, in the past"
        if ends_s - begins_s < step.least_s:
            yield f"{name} takes {ends_s - begins_s} s, less than {step.least_s}"
        if any(begins_s < times.ends_s[one] for one in _before(chain, at)):
            yield f"{name} begins before the stage before it has ended"


def _in_hand(step: Step, begins_s: int, ends_s: int) -> Iterator[Span]:
    if step.hands_s is None:
        yield begins_s, ends_s
        return
    yield begins_s, begins_s + step.hands_s
    yield ends_s - step.hands_end_s, ends_s
    for task in step.tasks:
        since = begins_s + task.at_s if task.at_s >= 0 else ends_s + task.at_s
        yield since, since + task.hands_s


def _nights(problem: Problem, all_times: tuple[Times, ...]) -> Iterator[str]:
    """No chain that has not begun has hands in a quiet span, or an oven that would have to be turned on in one."""
    for chain, times in zip(problem.chains, all_times, strict=True):
        if any(step.begun_s is not None for step in chain.steps):
            continue
        for at, step in enumerate(_as_planned(chain, times)):
            lead_s = _change_s(problem, problem.capacity.room_c, step.heats[0].oven_c) if step.heats else 0
            for number, (since, until) in enumerate(_in_hand(step, times.begins_s[at], times.ends_s[at])):
                for begin_s, end_s in problem.quiet:
                    heated_s = since - (lead_s if number == 0 else 0)
                    if until > since and until > begin_s and heated_s < end_s - 1:
                        yield f"{chain.letter} {step.name} needs somebody from {heated_s} to {until}, in the night"


def _hands(problem: Problem, all_times: tuple[Times, ...]) -> Iterator[str]:
    """At no moment to come are more hands wanted than there are people."""
    spans = [
        (max(since, problem.now_s), until, f"{chain.letter} {step.name}")
        for chain, times in zip(problem.chains, all_times, strict=True)
        for at, step in enumerate(_as_planned(chain, times))
        if step.ended_s is None
        for since, until in _in_hand(step, times.begins_s[at], times.ends_s[at])
    ]
    spans = [span for span in spans if span[0] < span[1]]
    for moment in {since for since, _, _ in spans}:
        busy = sorted(name for since, until, name in spans if since <= moment < until)
        if len(busy) > problem.capacity.people:
            yield f"hands are wanted at {moment} by {', '.join(busy)}"


def _change_s(problem: Problem, from_c: float, to_c: float) -> float:
    capacity = problem.capacity
    return (to_c - from_c) * capacity.up_s_per_k if to_c > from_c else (from_c - to_c) * capacity.down_s_per_k


def _oven(problem: Problem, all_times: tuple[Times, ...]) -> Iterator[str]:
    """Two heats never stand in the oven at once, there is time to change them, and the trays have their places."""
    inside = [
        (times.begins_s[at], times.ends_s[at], step, chain.letter)
        for chain, times in zip(problem.chains, all_times, strict=True)
        for at, step in enumerate(chain.steps)
        if step.heats and step.ended_s is None
    ]
    for begins_s, _, step, letter in inside:
        needs_s = _change_s(problem, problem.capacity.oven_c, step.heats[0].oven_c)
        if step.begun_s is None and begins_s - problem.now_s < needs_s - 1e-6:
            yield f"{letter} goes into an oven that cannot be hot by {begins_s}"
    for one, other in combinations(sorted(inside, key=lambda use: use[0]), 2):
        (_, first_ends_s, first, _), (begins_s, _, second, _) = one, other
        alike = len({heat.oven_c for step in (first, second) for heat in step.heats}) == 1
        alike = alike and len(first.heats) == len(second.heats) == 1
        needs_s = _change_s(problem, first.heats[-1].oven_c, second.heats[0].oven_c)
        if not alike and begins_s - first_ends_s < needs_s - 1e-6:
            yield f"{other[3]} goes in at {begins_s}, {one[3]} is out at {first_ends_s}, the change takes {needs_s} s"
    for moment in {use[0] for use in inside}:
        taken = sum(step.trays for begins_s, ends_s, step, _ in inside if begins_s <= moment < ends_s)
        if taken > problem.capacity.trays:
            yield f"{taken} trays are in the oven at {moment}"
