"""What tests of plans share: a formula without the small uses of hands, and the steps of one stage."""

from __future__ import annotations

from dataclasses import replace

from proofbell.formula.model import Formula
from proofbell.planner.problem import Chain


def whole_stages_only(formula: Formula) -> Formula:
    """The same formula without a weigh-out, readings, turning and retards, as a day is reckoned on paper."""
    stages = tuple(replace(each, checks=(), rise=None, turn_s=None, chill_instead=None) for each in formula.stages)
    return replace(formula, batch=replace(formula.batch, weigh_s=0.0), stages=stages)


def of_stage(chain: Chain, stage: int) -> int:
    """The index of the first step of a stage."""
    return next(at for at, step in enumerate(chain.steps) if step.of == stage)
