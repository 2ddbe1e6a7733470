"""What was left behind on bowl and bench, and what the oven took, by the weights that were read."""

from __future__ import annotations

from proofbell.bake.state import BakeState, Reading

TELLS_WITHIN = 0.25
"""A weight farther than this share from the dough's is of something else: one piece, or the bowl with it."""


def make_up_loss_percent(state: BakeState) -> float | None:
    """What of the dough did not reach the oven (percent of the dough mixed); None when nobody weighed it on the way."""
    before, _ = weights_around_bake(state)
    if before is None or not state.batch.dough_g > 0:
        return None
    return 100.0 * (1.0 - before / state.batch.dough_g)


def bake_loss_percent(state: BakeState) -> float | None:
    """What the oven took (percent of the dough that went in); None without a weight before and one after.

    Bake loss is the loss of mass from dough to cooled bread, 10 to 13 percent as a rule (Gisslen, *Professional
    Baking*).
    """
    before, after = weights_around_bake(state)
    return None if before is None or after is None else 100.0 * (1.0 - after / before)


def weights_around_bake(state: BakeState) -> tuple[float | None, float | None]:
    """The last weight (g) of the whole batch on the way into the oven, and the last one after it."""
    bake = next((i for i in range(len(state.stages)) if state.stage(i).kind == "bake"), None)
    if bake is None:
        return None, None
    going_in: list[float] = []
    coming_out: list[float] = []
    for reading in state.readings:
        if reading.what != "weight" or reading.value is None:
            continue
        whole_g = _whole_g(state, reading.value)
        if whole_g is None:
            continue
        (going_in if _goes_in(state, reading, bake) else coming_out).append(whole_g)
    return (going_in[-1] if going_in else None), (coming_out[-1] if coming_out else None)


def _goes_in(state: BakeState, reading: Reading, bake: int) -> bool:
    begun_s = state.stages[bake].begun_s
    if begun_s is None or reading.at_s < begun_s:
        return True
    if reading.stage != bake or reading.check is None or reading.check >= len(state.stage(bake).checks):
        return False
    return state.stage(bake).checks[reading.check].when == "start"


def _whole_g(state: BakeState, weight_g: float) -> float | None:
    """The weight of the whole batch (g): as read, or one piece's times the pieces; None when it is neither."""
    dough_g, batch = state.batch.dough_g, state.batch
    if abs(weight_g - dough_g) <= TELLS_WITHIN * dough_g:
        return weight_g
    if batch.pieces and batch.piece_g and abs(weight_g - batch.piece_g) <= TELLS_WITHIN * batch.piece_g:
        return weight_g * batch.pieces
    return None
