"""How long to look for better plans, in steps of the search: the same on every machine, for screen and command."""

from __future__ import annotations

from collections.abc import Mapping

from proofbell.planner.problem import Problem

STEPS = {4: 1500, 8: 600, 12: 300}
"""Steps of the search for up to so many bakes, at most: a few seconds on a small machine."""

BESIDE = {4: 300, 8: 160, 12: 80}
"""The same beside a live bench, where each word that is said asks for another plan."""


def steps_for(problem: Problem, steps: Mapping[int, int] = STEPS) -> int:
    """How many steps to look for better plans of so many chains."""
    count = len(problem.chains)
    return next((most for upto, most in sorted(steps.items()) if count <= upto), min(steps.values()))
