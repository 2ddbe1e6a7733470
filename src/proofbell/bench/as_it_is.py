"""Whether a day works out with every length as it now is: only when it does not is a baker asked to change one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from proofbell.bench.model import Plan, Problem, Step
from proofbell.bench.search import plan as best_plan
from proofbell.bench.what_moved import WORTH_ASKING_S

STEPS = 6
"""Steps of the search: enough to find the order that the lengths leave open."""


def works_as_it_is(better: Plan) -> bool:
    """Whether nobody has to give way: all lengths kept, nothing clashes and nothing is later than in the plan.

    A dough may wait between two stages for as long as is not worth a question.
    """
    found = best_plan(as_it_is(better.problem), STEPS)
    return found.cost.over_s == 0 and found.cost.late_s <= better.cost.late_s + WORTH_ASKING_S


def as_it_is(problem: Problem) -> Problem:
    """The same day with every length kept: only starts, and short waits between stages, are left open."""
    return _kept(problem, lambda step: max(step.wait_s, WORTH_ASKING_S))


def straight_through(problem: Problem) -> Problem:
    """The same day with every length kept and no dough waiting between two stages: only the starts are left open."""
    return _kept(problem, lambda _: 0)


def _kept(problem: Problem, wait_s: Callable[[Step], int]) -> Problem:
    chains = (
        replace(chain, steps=tuple(_as_now(step, wait_s(step)) for step in chain.steps)) for chain in problem.chains
    )
    return replace(problem, chains=tuple(chains))


def _as_now(step: Step, wait_s: int) -> Step:
    if step.ended or step.kind == "cool":
        return replace(step, wait_s=wait_s)
    return replace(step, least_s=step.nominal_s, most_s=step.nominal_s, wait_s=wait_s, instead=None)
