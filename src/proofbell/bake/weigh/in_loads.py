"""A batch wider than the oven bakes in loads: each is a bake of its own, loaded, rung, turned and cored for itself.

A batch of another size may have more of them, or fewer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from proofbell.bake.state import BakeState, StageState
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
    oven = replace(formula.oven, trays=max(1, places))
    return _with_stages(replace(formula, oven=oven), batch, stages, place)


def as_written(formula: Formula) -> Formula:
    """The formula of a bake as its text has it, with each bake as one stage again."""
    if all(stage.load is None for stage in formula.stages):
        return formula
    written, _ = read_formula(formula.text.encode(), formula.path or formula.name)
    return formula if written is None else replace(written, path=formula.path)


def loads_of(state: BakeState, batch: Batch) -> int:
    """In how many loads a bake that is on would go at the size of another batch: its kitchen's oven has so many places.

    As many as it goes in where its formula's text does not say how wide it is.
    """
    written = _whole(state.formula)
    if written is None or all(stage.kind != "bake" for stage in written.stages):
        return loads_now(state.formula)
    return -(-oven_places(written, batch) // max(1, state.kitchen.oven.trays))


def loads_now(formula: Formula) -> int:
    """In how many loads a formula bakes; 1 also where it bakes nothing."""
    return max((stage.load[1] for stage in formula.stages if stage.load is not None), default=1)


def in_other_loads(state: BakeState, count: int) -> BakeState:
    """The bake in so many loads. None has begun, so nothing that was said belongs to a stage behind the first."""
    written = _whole(state.formula)
    if written is None or count == loads_now(state.formula):
        return state
    stages: list[Stage] = []
    runs: list[StageState] = []
    place: list[int] = []
    whole = iter(written.stages)
    for stage, run in zip(state.formula.stages, state.stages, strict=True):
        number, _ = stage.load or (1, 1)
        if number > 1:
            place.append(place[-1] + (number <= count))
            continue
        place.append(len(stages))
        one = replace(stage, name=next(whole).name, load=None)
        made = _loads(one, count) if one.kind == "bake" and count > 1 else [one]
        stages += made
        runs += [run, *(StageState(length_s=run.length_s) for _ in made[1:])]
    trays = max(1, state.kitchen.oven.trays) if count > 1 else written.oven.trays
    formula = replace(state.formula, oven=replace(state.formula.oven, trays=trays))
    formula, batch = _with_stages(formula, state.batch, stages, place)
    return replace(state, formula=formula, batch=batch, stages=tuple(runs))


def _whole(formula: Formula) -> Formula | None:
    """The formula with each bake as one stage; None where that is not known."""
    written, loads = as_written(formula), [stage.load or (1, 1) for stage in formula.stages]
    return written if len(written.stages) == sum(number == 1 for number, _ in loads) else None


def _with_stages(
    formula: Formula, batch: Batch, stages: Sequence[Stage], place: Sequence[int]
) -> tuple[Formula, Batch]:
    """Formula and batch with other stages; ``place`` says which each stage so far has become."""
    outside = tuple(replace(line, at=tuple(place[at] for at in line.at)) for line in formula.outside)
    lines = tuple(replace(line, at=tuple(place[at] for at in line.at)) for line in batch.lines)
    return replace(formula, stages=tuple(stages), outside=outside), replace(batch, lines=lines)


def _loads(stage: Stage, count: int) -> list[Stage]:
    return [
        replace(stage, name=f"{stage.name}, load {number} of {count}", load=(number, count))
        for number in range(1, count + 1)
    ]
