"""What a stage says to the one at the bench: the formula's own text, and when its dough goes into the cold."""

from __future__ import annotations

from proofbell.bake.fermenting.place import retard_c
from proofbell.bake.fermenting.warming import warming
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.lines import pinches
from proofbell.words import temperature

LOADING_S = 300.0
"""So long after a bake has begun somebody may still be loading: common practice, no source."""

PUT_AWAY_S = 1800.0
"""So long a dough is told to be put into the cold: common practice, no source."""


def loading_text(state: BakeState, index: int, now_s: float) -> str:
    """What the formula says of putting the bread into the oven, while that is to be done; empty for nothing."""
    stage = state.stage(index)
    coming = state.stage(nxt).loading if (nxt := state.formula.followed_by(index)) is not None else ""
    if coming and now_s >= (state.stages[index].due_s or now_s + 1):
        # Not yet for a dough that is to come out of the cold and warm first.
        return coming if warming(state, index, now_s) is None else ""
    if stage.loading and now_s - (state.stages[index].begun_s or 0.0) < LOADING_S:
        return f"{stage.loading} {stage.text}".rstrip()
    return ""


def stage_text(state: BakeState, index: int, now_s: float) -> str:
    """What the formula says of a stage; of a preferment's first also what it is stirred from."""
    stage = state.stage(index)
    if loading := loading_text(state, index, now_s):
        return loading
    if stage.made_for is None or index != state.formula.strand(index).start:
        return stage.text
    notes = [line.note for line in state.batch.lines if line.name == stage.made_for and line.note]
    notes += pinches(state.formula, state.batch, stage.made_for, state.kitchen.scale)
    return " ".join(filter(None, [*(f"{note}." for note in notes), stage.text]))


def put_away(state: BakeState, index: int | None, now_s: float) -> str:
    """That a dough which the plan has in the cold goes there, for as long as somebody may be at it."""
    cold_c = None if index is None else retard_c(state, index)
    if index is None or cold_c is None or now_s - (state.stages[index].begun_s or 0.0) >= PUT_AWAY_S:
        return ""
    return f"Put it into the cold, {temperature(cold_c, 0)}"
