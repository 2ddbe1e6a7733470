"""A bake as it would be if it were opened now, to tell its times before it is: nothing is begun, nothing is kept."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.intents import Open, Refused
from proofbell.bake.outlook import outlook
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.batch import Batch
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bake.weigh.weigh_out import weigh_again
from proofbell.formula.model import Formula
from proofbell.kitchen.model import Kitchen


def as_opened(formula: Formula, batch: Batch, kitchen: Kitchen) -> BakeState:
    """The bake with the times that its places in this kitchen make, its stages as in the formula."""
    oven = replace(kitchen.oven, trays=max(kitchen.oven.trays, oven_places(formula, batch)))
    kitchen = replace(kitchen, oven=oven)
    return _opened(formula, batch, kitchen)


def ready_in_s(formula: Formula, batch: Batch, kitchen: Kitchen) -> float:
    """How long (s) from its begin until it is ready in this kitchen, in as many loads as its oven asks for."""
    return outlook(_opened(formula, batch, kitchen), 0.0)[-1].end_s


def _opened(formula: Formula, batch: Batch, kitchen: Kitchen) -> BakeState:
    decision = decide(None, Open("", "A", formula, batch, kitchen, ""), Stamp(0, 0, ""))
    assert not isinstance(decision, Refused)  # noqa: S101 - a bake that does not exist yet can be opened
    return decided(None, decision)


def halves(formula: Formula, batch: Batch, kitchen: Kitchen) -> tuple[Batch, ...]:
    """Two batches of half the pieces each, of one that takes more places than the oven has; else none."""
    if not batch.pieces or batch.pieces < 2 or oven_places(formula, batch) <= max(1, kitchen.oven.trays):
        return ()
    found: list[Batch] = []
    for pieces in (batch.pieces - batch.pieces // 2, batch.pieces // 2):
        share = pieces / batch.pieces
        part = replace(batch, pieces=pieces, flour_g=batch.flour_g * share, dough_g=batch.dough_g * share)
        out = weigh_again(formula, kitchen, part)
        if out is None or oven_places(formula, part) >= oven_places(formula, batch):
            return ()
        found.append(out.batch)
    return tuple(found)


def in_its_places(formula: Formula, batch: Batch, kitchen: Kitchen) -> Formula:
    """The formula as this batch has it in its places: its proofs' times, what they forgive, its oven places."""
    opened = as_opened(formula, batch, kitchen)
    stages = [replace(forgives(opened, index), time_s=run.length_s) for index, run in enumerate(opened.stages)]
    oven = replace(formula.oven, trays=oven_places(formula, batch))
    return replace(formula, stages=tuple(stages), oven=oven)
