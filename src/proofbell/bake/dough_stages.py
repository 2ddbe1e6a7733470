"""The dough's first proof, and where it becomes pieces: by what stages are for, kinds and order, never by a name."""

from __future__ import annotations

from proofbell.formula.model import Formula, Stage, StageKind

FERMENTS = ("proof", "chill")
STANDS: tuple[StageKind, ...] = ("proof", "rest", "chill")
"""Kinds of stage in which a dough is left to itself before the oven."""


def first_proof(formula: Formula) -> Stage | None:
    """The dough's first proof; None where it has none, or the file does not tell which it is."""
    begins = formula.dough_begins
    if begins is None:
        return None
    return next((stage for stage in formula.stages[begins:] if stage.kind == "proof"), None)


def division(formula: Formula) -> int | None:
    """The index of the hands stage at which the dough becomes pieces; None where it never does, or nothing tells.

    It is the first that hands do before the final fermentation and after the one before that; after the only one,
    where hands come back then; or the last that follows a rest. Common practice, no source.
    """
    stages, begins = formula.stages, formula.dough_begins
    if begins is None:
        return None
    bake = _bake(formula)
    hands = [index for index in range(begins, bake) if stages[index].kind == "hands"]
    blocks = _blocks(formula, begins)
    after = blocks[-2][1] if len(blocks) > 1 else blocks[-1][1] if blocks else bake
    divided = next((index for index in hands if index > after), None)
    if divided is not None:
        return divided
    return next((i for i in reversed(hands) if any(s.kind in STANDS for s in stages[begins:i])), None)


def _blocks(formula: Formula, begins: int) -> list[tuple[int, int]]:
    """Fermentations before the bake, first and last index: what follows one another without hands is one."""
    found: list[tuple[int, int]] = []
    apart = True
    for index in range(begins, _bake(formula)):
        kind = formula.stages[index].kind
        if kind in FERMENTS:
            found = [*found, (index, index)] if apart else [*found[:-1], (found[-1][0], index)]
        apart = kind == "hands" or (apart and kind not in FERMENTS)
    return found


def _bake(formula: Formula) -> int:
    return next((index for index, stage in enumerate(formula.stages) if stage.kind == "bake"), len(formula.stages))
