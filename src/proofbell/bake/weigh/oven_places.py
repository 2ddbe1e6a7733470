"""How many oven places a batch takes: as the formula says of its own size, and in the same proportion of another."""

from __future__ import annotations

import math

from proofbell.bake.weigh.batch import Batch
from proofbell.formula.model import Formula


def oven_places(formula: Formula, batch: Batch) -> int:
    """Return the oven places of a batch: as many pieces on each as the formula has. Common practice, no source.

    Where the formula or the batch is not in pieces, it is the formula's number; of one that bakes in loads, a load's.
    """
    if any(stage.load is not None for stage in formula.stages):
        return formula.oven.trays
    usual, trays = formula.batch.pieces, formula.oven.trays
    return trays if not usual or not batch.pieces else max(1, math.ceil(trays * batch.pieces / usual))
