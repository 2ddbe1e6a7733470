"""What of a batch is in which bowl by now, and whether more can go in."""

from __future__ import annotations

from typing import Literal

from proofbell.bake.state import BakeState
from proofbell.bake.tasks import Weighed
from proofbell.bake.weigh.batch import BatchLine
from proofbell.formula.dough_stages import FERMENTS, STANDS, division

DoughIs = Literal["open", "fermenting", "divided"]


def dough_is(state: BakeState) -> DoughIs:
    """How far the dough is: open to more of everything, left to ferment, or pieces.

    It is pieces once the stage that divides it is over; one that is never divided, once it is in the oven.
    """
    stages, runs, divides = state.formula.stages, state.stages, division(state.formula)
    baked = any(run.begun_s is not None and stage.kind == "bake" for stage, run in zip(stages, runs, strict=True))
    if baked or (divides is not None and runs[divides].ended_s is not None):
        return "divided"
    first = state.formula.dough_begins or 0
    ferments = any(runs[i].begun_s is not None and stages[i].kind in FERMENTS for i in range(first, len(stages)))
    return "fermenting" if ferments else "open"


def in_bowl_g(state: BakeState) -> tuple[float, ...]:
    """What of each line of the batch is in its bowl (g).

    That is what is ticked off, and all that a stage which has begun since the size was said last takes in; else what
    was in it as the size was said.
    """
    return tuple(_there_g(state, n, whole=all_in(state, n)) for n in range(len(state.batch.lines)))


def weighed_g(state: BakeState) -> tuple[float, ...]:
    """The same by the ticks alone (g): what the scale shows to one who weighs while the stage already runs."""
    return tuple(_there_g(state, n, whole=state.done(Weighed(n))) for n in range(len(state.batch.lines)))


def _there_g(state: BakeState, number: int, *, whole: bool) -> float:
    grams, said = state.batch.lines[number].grams, state.size_said
    before_g = 0.0 if said is None else said.body.in_bowl_g[number]
    if whole:
        return max(before_g, grams)
    # All of it was in the bowl, and that was taken back: none of it is.
    return before_g if before_g < grams else 0.0


def all_in(state: BakeState, number: int) -> bool:
    if state.done(Weighed(number)):
        return True
    before = frozenset[int]() if state.size_said is None else state.size_said.begun
    line = state.batch.lines[number]
    since = [index for index in _takes_it_in(state, line) if index not in before]
    begun = [state.stages[index].begun_s is not None for index in since]
    return all(begun) and bool(begun) if line.use != "dough" else any(begun)


def waits(state: BakeState, number: int) -> bool:
    """Whether a line goes into the dough later, and is in no more than its own bowl yet: less of it can be taken."""
    line = state.batch.lines[number]
    return line.use == "dough" and any(state.stages[index].begun_s is None for index in line.at)


def _takes_it_in(state: BakeState, line: BatchLine) -> list[int]:
    """The stages (indices) of which any that has begun has the line in it; outside the dough, all of them."""
    stages = state.formula.stages
    if line.use != "dough":
        return list(line.at)
    made = [index for index, stage in enumerate(stages) if stage.made_for == line.into] if line.into else []
    if line.at:
        return list(range(line.at[0], len(stages)))
    # Where the file does not say how a preferment is made, it is there when the dough begins.
    return made or list(range(state.formula.dough_begins or 0, len(stages)))


def is_ripening(state: BakeState, preferment: str) -> bool:
    """Whether nothing can be stirred into a preferment any more: it was left to ripen, or is in the dough."""
    own = [index for index, stage in enumerate(state.formula.stages) if stage.made_for == preferment]
    if any(state.stages[index].begun_s is not None and state.stage(index).kind in STANDS for index in own):
        return True
    lines = state.batch.lines
    return any(line.name == preferment and not line.into and all_in(state, n) for n, line in enumerate(lines))
