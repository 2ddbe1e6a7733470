"""Which stages are the dough's own, and where it becomes pieces: by kinds, order and figures, never by a name.

The format does not say which stages make a preferment, so a file with preferments is looked at: their stages come
before the dough's. Where its figures do not decide it, nothing is told rather than guessed.
"""

from __future__ import annotations

from proofbell.formula.model import Formula, Rate, Stage

FERMENTS = ("proof", "chill")
STANDS = ("proof", "rest", "chill")


def dough_begins(formula: Formula) -> int | None:
    """The index of the stage at which the dough is made; None where the file does not tell.

    Without a preferment it is the first. With some, each may ferment in stages of its own, or come to the bowl ripe.
    A fermentation that is told for another temperature than the dough's is a preferment's; one that is told for the
    dough's is the dough's own, save where enough follow for a first and a final proof besides.
    """
    begins, left = 0, sum(1 for line in formula.ingredients if line.kind == "preferment")
    blocks = _blocks(formula, 0)
    for number, (first, last) in enumerate(blocks):
        if not left:
            break
        own = _told_for_the_dough(formula, formula.stages[first])
        if own is None or (own and len(blocks) - number >= left + 2):
            return None
        if own:
            break
        begins, left = last + 1, left - 1
    return begins


def first_proof(formula: Formula) -> Stage | None:
    """The dough's first proof; None where it has none, or the file does not tell which it is."""
    begins = dough_begins(formula)
    if begins is None:
        return None
    return next((stage for stage in formula.stages[begins:] if stage.kind == "proof"), None)


def division(formula: Formula) -> int | None:
    """The index of the hands stage at which the dough becomes pieces; None where it is never divided.

    It is the first that hands do before the final fermentation and after the one before that; after the only one,
    where hands come back then; or the last that follows a rest. Common practice, no source.
    """
    stages, begins = formula.stages, dough_begins(formula) or 0
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


def _told_for_the_dough(formula: Formula, stage: Stage) -> bool | None:
    """Whether a stage's rate or first check is told for the dough's own temperature; None where neither says."""
    wanted_c = formula.dough.temperature_c
    if wanted_c is None:
        return None
    if isinstance(stage.adjust, Rate):
        return stage.adjust.at_c == wanted_c
    for check in stage.checks:
        if check.read == "dough temperature" and check.when == "start" and check.expect is not None:
            low_c, high_c = check.expect
            return low_c <= wanted_c <= high_c
    return None
