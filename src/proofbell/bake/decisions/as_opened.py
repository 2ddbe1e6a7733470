"""A bake as it would be if it were opened now, to tell its times before it is: nothing is begun, nothing is kept."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.intents import Open, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.batch import Batch
from proofbell.formula.model import Formula
from proofbell.kitchen.model import Kitchen


def as_opened(formula: Formula, batch: Batch, kitchen: Kitchen) -> BakeState:
    """The bake with the times that its places in this kitchen make, its stages as in the formula."""
    oven = replace(kitchen.oven, trays=max(kitchen.oven.trays, formula.oven.trays))
    kitchen = replace(kitchen, oven=oven)
    decision = decide(None, Open("", "A", formula, batch, kitchen, ""), Stamp(0, 0, ""))
    assert not isinstance(decision, Refused)  # noqa: S101 - a bake that does not exist yet can be opened
    return decided(None, decision)


def in_its_places(formula: Formula, batch: Batch, kitchen: Kitchen) -> Formula:
    """The formula with its proofs' times, and what they forgive, as its places make them: to plan by."""
    opened = as_opened(formula, batch, kitchen)
    stages = [replace(forgives(opened, index), time_s=run.length_s) for index, run in enumerate(opened.stages)]
    return replace(formula, stages=tuple(stages))
