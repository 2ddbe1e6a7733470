"""A dough that was ready long before its time in one proof: the next one, and its oven, are likely wanted early too."""

from __future__ import annotations

import math

from proofbell.bake.advice.proof import over_proofed
from proofbell.bake.advice.scene import Scene
from proofbell.bake.coming import coming_s, judged_from_s
from proofbell.bake.state import BakeState
from proofbell.formula.model import StageKind
from proofbell.frozen import dataclass
from proofbell.words import told_length

FAST_SHARE = 0.75
"""A proof that was judged ready within less of its time was fast: common practice, no source."""


@dataclass(frozen=True, slots=True)
class CameFast:
    """A stage that was ready after ``took_s`` of ``meant_s``, before the proof of that name and index.

    ``from_s`` is when that proof is to be judged at the soonest (s into it); ``at_hand`` is the kind of the stage that
    runs. ``since``: that moment has come.
    """

    stage: str
    took_s: float
    meant_s: float
    proof: str
    at: int
    from_s: float
    at_hand: StageKind
    since: bool = False


def came_fast(scene: Scene) -> CameFast | None:
    """A proof, or the hands or rest before it, of a dough whose proof before was judged ready long before its time.

    The cold between the two makes another dough of it, and one that went too far is told of as that.
    """
    state, strand = scene.state, scene.state.formula.strand(scene.index)
    proof = next((i for i in range(scene.index, strand.stop) if state.stage(i).kind in ("proof", "bake")), None)
    if proof is None or state.stage(proof).kind == "bake" or scene.cold or scene.newest("rise"):
        return None
    stood = (i for i in range(scene.index - 1, strand.start - 1, -1) if state.stage(i).kind in ("proof", "chill"))
    before = next(stood, None)
    took = None if before is None else _judged_ready(state, before)
    if before is None or took is None or took[0] >= FAST_SHARE * took[1]:
        return None
    if over_proofed(Scene(state, before, state.stages[before].ended_s or scene.now_s)) is not None:
        return None
    length_s = coming_s(state, proof, scene.now_s)
    soonest_s = judged_from_s(state, proof)
    from_s = math.ceil(min(length_s * took[0] / took[1], length_s if soonest_s is None else soonest_s) / 60) * 60.0
    since = proof == scene.index and scene.into_s >= from_s
    names = state.stage(before).name, state.stage(proof).name
    return CameFast(names[0], *took, names[1], proof, from_s, scene.stage.kind, since)


def _judged_ready(state: BakeState, index: int) -> tuple[float, float] | None:
    """How long a stage took (s) whose rise ended it, and how long it was to be until then; None where none did."""
    last = state.stages[index].adjustments[-1:]
    return next(
        ((a.body.to_s, a.body.from_s) for a in last if a.body.by == "rise" and a.body.to_s < a.body.from_s), None
    )


def came_fast_seen(found: CameFast) -> str:
    return f"{found.stage} was ready after {told_length(found.took_s)} of {told_length(found.meant_s)}"


def came_fast_do(found: CameFast) -> str:
    if found.since:
        return "judge it now"
    what = "judge it early" if found.at_hand == "proof" else f"judge {found.proof} early"
    return f"{what}, from {told_length(found.from_s)} on"
