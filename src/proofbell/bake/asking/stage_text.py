"""What the formula says to the one at the bench."""

from __future__ import annotations

from proofbell.bake.state import BakeState
from proofbell.bake.weigh.lines import pinches

LOADING_S = 300.0
"""So long after a bake has begun somebody may still be loading: common practice, no source."""


def stage_text(state: BakeState, index: int, now_s: float) -> str:
    """What the formula says of a stage; of a preferment's first also what it is stirred from."""
    stage = state.stage(index)
    coming = state.stage(nxt).loading if (nxt := state.formula.followed_by(index)) is not None else ""
    if coming and now_s >= (state.stages[index].due_s or now_s + 1):
        return coming
    if stage.loading and now_s - (state.stages[index].begun_s or 0.0) < LOADING_S:
        return f"{stage.loading} {stage.text}".rstrip()
    if stage.made_for is None or index != state.formula.strand(index).start:
        return stage.text
    notes = [line.note for line in state.batch.lines if line.name == stage.made_for and line.note]
    notes += pinches(state.formula, state.batch, stage.made_for, state.kitchen.scale)
    return " ".join(filter(None, [*(f"{note}." for note in notes), stage.text]))
