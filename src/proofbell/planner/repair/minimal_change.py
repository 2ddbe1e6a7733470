"""The day with every length as it now is: only when it does not work out is a baker asked to change one."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from proofbell.bench.proposals import TIMED, WORTH_ASKING_S
from proofbell.planner.model import Chain, Plan, Problem, Step, Times
from proofbell.planner.repair.repair import held_soundly
from proofbell.planner.repair.stability import near_to, nearest
from proofbell.planner.search import plan as best_plan
from proofbell.planner.solver.branch_and_bound import Stop, go_on

SLACK_S = 4 * 60
"""A proof or a rest may be so much longer or shorter; with a minute of rounding it is still not worth a question."""

STEPS = 6
"""Steps of the search: enough to find the order that the lengths leave open."""


def to_tell(better: Iterator[Plan], should_stop: Stop = go_on) -> Iterator[Plan]:
    """Of ever better plans of one day those to tell a baker: what changes little comes before what is better.

    Args:
        better: the plans.
        should_stop: asked between steps.
    """
    little: Plan | None = None
    for number, plan in enumerate(better):
        if not number:
            little = little_changed(plan.problem, should_stop)
        yield rather(little, plan)


def left_alone(problem: Problem, should_stop: Stop = go_on) -> Plan | None:
    """The day with all lengths kept and nothing that clashes; None when somebody has to give way.

    It is as near to what the bench shows as can be. A dough may wait between two stages, and proof or rest longer or
    shorter, by as much as is not worth a question.
    """
    kept = as_it_is(problem)
    if held_soundly(kept, as_shown(kept)) == (None, True):
        return None
    shown = nearest(kept, as_shown(kept), should_stop)
    if shown is not None and shown.cost.late_s < WORTH_ASKING_S:
        return shown
    found = best_plan(kept, STEPS, should_stop)
    if found.cost.over_s:
        return shown
    return found if shown is None or shown.cost.late_s > found.cost.late_s + WORTH_ASKING_S else shown


def little_changed(problem: Problem, should_stop: Stop = go_on) -> Plan | None:
    """The day left alone, or else with the least that doughs which meet must give way to each other."""
    left = left_alone(problem, should_stop)
    if left is not None and left.cost.late_s < WORTH_ASKING_S:
        return left
    given = nearest(problem, as_shown(problem), should_stop)
    if left is None or given is None:
        return left or given
    return rather(left, given)


def rather(little: Plan | None, better: Plan) -> Plan:
    """The plan that changes little, unless a better one spares more lateness than is worth a question.

    Of a better plan only the order is taken where that will do: the rest stays as near to what the bench shows as
    can be, so that no dough is asked to give way for the sake of a shorter day.
    """
    most_s = better.cost.late_s + WORTH_ASKING_S
    if little is not None and little.cost.late_s <= most_s:
        return little
    near = near_to(better.problem, better.times, as_shown(better.problem)) if better.feasible else None
    return better if near is None or near.cost.late_s > most_s else near


def as_shown(problem: Problem) -> tuple[Times, ...]:
    """What the bench shows of the day, clashes and all."""
    return tuple(_shown(chain, problem.now_s) for chain in problem.chains)


def _shown(chain: Chain, now_s: int) -> Times:
    """Each stage as soon as the one before is over, at the length that now holds."""
    begins: list[int] = []
    ends: list[int] = []
    at_s = max(now_s, chain.not_before_s)
    for step in chain.steps:
        begins.append(at_s if step.begun_s is None else step.begun_s)
        end_s = begins[-1] + step.nominal_s
        at_s = step.ended_s if step.ended_s is not None else max(now_s, end_s) if step.running else end_s
        ends.append(at_s)
        at_s = max(now_s, at_s)
    return Times(chain.letter, tuple(begins), tuple(ends))


def as_it_is(problem: Problem) -> Problem:
    """The same day with every length kept: only starts, and what is not worth a question, are left open."""
    return _kept(problem, lambda step: max(step.wait_s, WORTH_ASKING_S), SLACK_S)


def straight_through(problem: Problem) -> Problem:
    """The same day with every length kept and no dough waiting between two stages: only the starts are left open."""
    return _kept(problem, lambda _: 0, 0)


def _kept(problem: Problem, wait_s: Callable[[Step], int], slack_s: int) -> Problem:
    chains = (
        replace(chain, steps=tuple(_as_now(step, wait_s(step), slack_s) for step in chain.steps))
        for chain in problem.chains
    )
    return replace(problem, chains=tuple(chains))


def _as_now(step: Step, wait_s: int, slack_s: int) -> Step:
    if step.ended or step.kind == "cool":
        return replace(step, wait_s=wait_s)
    slack_s = slack_s if step.kind in TIMED else 0
    least_s, most_s = max(step.least_s, step.nominal_s - slack_s), min(step.most_s, step.nominal_s + slack_s)
    return replace(step, least_s=least_s, most_s=most_s, wait_s=wait_s, instead=None)
