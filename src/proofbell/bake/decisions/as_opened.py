"""A bake as it would be if it were opened now, to tell its times before it is: nothing is begun, nothing is kept."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.intents import Open, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.batch import Batch
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.formula.model import Formula
from proofbell.kitchen.model import Kitchen


def as_opened(formula: Formula, batch: Batch, kitchen: Kitchen) -> BakeState:
    """The bake with the times that its places in this kitchen make, its stages as in the formula."""
    oven = replace(kitchen.oven, trays=max(kitchen.oven.trays, oven_places(formula, batch)))
    kitchen = replace(kitchen, oven=oven)
    decision = decide(None, Open("", "A", formula, batch, kitchen, ""), Stamp(0, 0, ""))
    assert not isinstance(decision, Refused)  # noqa: S101 - a bake that does not exist yet can be opened
    return decided(None, decision)


def in_its_places(formula: Formula, batch: Batch, kitchen: Kitchen) -> Formula:
    """The formula as this batch has it in its places: its proofs' times, what they forgive, its oven places."""
    opened = as_opened(formula, batch, kitchen)
    stages = [replace(forgives(opened, index), time_s=run.length_s) for index, run in enumerate(opened.stages)]
    oven = replace(formula.oven, trays=oven_places(formula, batch))
    return replace(formula, stages=tuple(stages), oven=oven)
