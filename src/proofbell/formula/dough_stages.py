"""The dough's first proof, where it becomes pieces, what is weighed out when: by kinds and order, never by a name."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import lru_cache

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


def goes_to_ferment(formula: Formula) -> int | None:
    """The index of the dough's first stage of fermentation; None where it has none, or the file does not tell."""
    begins = formula.dough_begins
    if begins is None:
        return None
    return next((i for i in range(begins, len(formula.stages)) if formula.stages[i].kind in FERMENTS), None)


def division(formula: Formula) -> int | None:
    """The index of the hands stage at which the dough becomes pieces; None where it never does, or nothing tells.

    It is the first that hands do before the final fermentation and after the one before that; after the only one,
    where hands come back then; or the last that follows a rest. A stage at which something goes into the dough is
    none of these. Common practice, no source.
    """
    begins = formula.dough_begins
    if begins is None:
        return None
    kinds = tuple([stage.kind for stage in formula.stages])
    return _division(kinds, begins, frozenset([index for line in formula.ingredients for index in line.at]))


def is_divided(formula: Formula, index: int) -> bool:
    """Whether the dough is in pieces as a stage begins."""
    at = division(formula)
    return at is not None and index > at


@lru_cache(maxsize=128)
def _division(kinds: tuple[StageKind, ...], begins: int, added: frozenset[int]) -> int | None:
    divided = divided_by_proofs(kinds, begins, added)
    if divided is not None:
        return divided
    hands = [index for index in _hands(kinds, begins) if index not in added]
    return next((i for i in reversed(hands) if any(kind in STANDS for kind in kinds[begins:i])), None)


def divided_by_proofs(kinds: Sequence[StageKind], begins: int, added: Collection[int] = ()) -> int | None:
    """The same by the fermentations around it alone, of stages of these kinds; ``added``: those that are not it."""
    blocks = _blocks(kinds, begins)
    after = blocks[-2][1] if len(blocks) > 1 else blocks[-1][1] if blocks else len(kinds)
    return next((index for index in _hands(kinds, begins) if index > after and index not in added), None)


def _hands(kinds: Sequence[StageKind], begins: int) -> list[int]:
    return [index for index in range(begins, bake_begins(kinds)) if kinds[index] == "hands"]


def _blocks(kinds: Sequence[StageKind], begins: int) -> list[tuple[int, int]]:
    """Fermentations before the bake, first and last index: what follows one another without hands is one."""
    found: list[tuple[int, int]] = []
    apart = True
    for index in range(begins, bake_begins(kinds)):
        kind = kinds[index]
        if kind in FERMENTS:
            found = [*found, (index, index)] if apart else [*found[:-1], (found[-1][0], index)]
        apart = kind == "hands" or (apart and kind not in FERMENTS)
    return found


def bake_begins(kinds: Sequence[StageKind]) -> int:
    """The index of the first bake; behind the last stage where nothing is baked."""
    return kinds.index("bake") if "bake" in kinds else len(kinds)


def weigh_before_s(formula: Formula, index: int) -> int:
    """How long (s) the weigh-out right before a stage takes; 0 where nothing is weighed out there."""
    if index == (formula.dough_begins or 0):
        return round(formula.weigh_s)
    made, parts = formula.stages[index].made_for, None
    if made is not None and index == formula.strand(index).start:
        maker = formula.maker(index)
        parts = None if maker is None else maker.made_of
    if parts is None:
        return 0
    return 60 + 40 * sum(part > 0 for part in (parts.flour, parts.water, parts.yeast, parts.salt, parts.starter))


def works_alone(stage: Stage) -> bool:
    """Whether a machine works on alone in a hands stage, once hands have done the first of it."""
    return stage.kind == "hands" and stage.hands_s is not None and stage.hands_s < stage.time_s
