"""A batch wider than the oven bakes in loads: each is a bake of its own, loaded, rung, turned and cored for itself."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake.weigh.batch import Batch
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.formula.model import Formula, Stage
from proofbell.formula.read import read_formula


def in_loads(formula: Formula, batch: Batch, places: int) -> tuple[Formula, Batch]:
    """The formula and the batch for an oven of so many places; as they are where all fits in, or nothing is baked.

    Each bake becomes as many stages as it has loads, and the batch takes no more places than the oven has.
    """
    count = -(-oven_places(formula, batch) // max(1, places))
    if count == 1 or any(stage.load is not None for stage in formula.stages):
        return formula, batch
    stages: list[Stage] = []
    place: list[int] = []
    for stage in formula.stages:
        place.append(len(stages))
        stages += _loads(stage, count) if stage.kind == "bake" else [stage]
    outside = tuple(replace(line, at=tuple(place[at] for at in line.at)) for line in formula.outside)
    lines = tuple(replace(line, at=tuple(place[at] for at in line.at)) for line in batch.lines)
    oven = replace(formula.oven, trays=max(1, places))
    return replace(formula, stages=tuple(stages), outside=outside, oven=oven), replace(batch, lines=lines)


def as_written(formula: Formula) -> Formula:
    """The formula of a bake as its text has it, with each bake as one stage again."""
    if all(stage.load is None for stage in formula.stages):
        return formula
    written, _ = read_formula(formula.text.encode(), formula.path or formula.name)
    return formula if written is None else replace(written, path=formula.path)


def _loads(stage: Stage, count: int) -> list[Stage]:
    return [
        replace(stage, name=f"{stage.name}, load {number} of {count}", load=(number, count))
        for number in range(1, count + 1)
    ]
