"""A dough that was put into the cold before the oven: how long it takes, once it is out, until it may be baked."""

from __future__ import annotations

import math

from proofbell.bake.fermenting.cold import dough_after, in_the_cold
from proofbell.bake.fermenting.place import card_place_c, place_c, room_c
from proofbell.bake.fermenting.terms import tau_s, terms
from proofbell.bake.state import BakeState, StageState
from proofbell.dough.fermenting.rate import COLD_C
from proofbell.dough.fermenting.time_constant import RANGE, TAU_DOUBT
from proofbell.frozen import dataclass
from proofbell.words import length, temperature

READY_C = 16.0
"""A retarded dough is baked from more than 16 °C inside on: IREKS Compendium 6.3.4."""

STEP_S = 300.0
"""Nobody can tell more finely than five minutes when a dough is so warm: common practice, no source."""


@dataclass(frozen=True, slots=True)
class Warming:
    """How long (s, range) a dough warms until it may be baked; endless where its place is too cold for that.

    ``to_take_out``: it is in the cold yet. ``ready_s``: when it is likely so warm (s into its stage), once it is out.
    """

    to_take_out: bool
    low_s: float
    high_s: float
    ready_s: float

    @property
    def words(self) -> str:
        """``take it out, let it warm to 16 °C (40 min to 1 h 30 min)``."""
        return f"{'take it out, ' if self.to_take_out else ''}let it warm to {temperature(READY_C, 0)} ({self.span})"

    @property
    def span(self) -> str:
        """``40 min to 1 h 30 min``, or that it never comes where it stands."""
        if math.isinf(self.high_s):
            return "in a warmer place"
        low_s, high_s = (STEP_S * step for step in (self.low_s // STEP_S, math.ceil(self.high_s / STEP_S)))
        return f"{length(low_s)} to {length(high_s)}" if low_s else f"up to {length(high_s)}"


def was_cold(run: StageState) -> bool:
    """Whether a stage's dough was put into the cold, wherever it stands now."""
    return any(each.place_c < COLD_C for each in run.stood)


def before_the_bake(state: BakeState, index: int) -> bool:
    nxt = state.formula.followed_by(index)
    return nxt is not None and state.stage(nxt).kind == "bake"


def sent_cold(state: BakeState, index: int) -> bool:
    """Whether a stage's own card sends its dough cold to the oven: it stands in the cold, or may instead of the room.

    Hearth loaves are baked straight from a night's retard: common practice, no source.
    """
    stage = state.stage(index)
    return stage.chill_instead is not None or card_place_c(stage, state.kitchen) < COLD_C


def warm_s(state: BakeState, index: int, now_s: float | None = None) -> float:
    """When a dough out of the cold is likely warm enough for its oven (s into its stage); 0 where nothing waits for it.

    ``now_s`` as in :func:`warming`.
    """
    found = warming(state, index, now_s)
    return found.ready_s if found is not None and math.isfinite(found.ready_s) else 0.0


def warming(state: BakeState, index: int, now_s: float | None = None) -> Warming | None:
    """How long a proof that stood in the cold has to warm before it is baked, from ``now_s`` of the bake's time.

    Without ``now_s`` from its end. None where it is warm enough, or where its card itself sends it cold to the oven.
    """
    stage, run = state.stage(index), state.stages[index]
    if stage.kind not in ("proof", "rest") or not before_the_bake(state, index):
        return None
    cold = in_the_cold(state, index)
    if not (cold or was_cold(run)) or sent_cold(state, index):
        return None
    asked = terms(state, index)
    if asked is None:
        return None
    into_s = run.length_s if now_s is None or run.begun_s is None else max(run.length_s, now_s - run.begun_s)
    read_s = asked.readings[-1][0] if asked.readings else 0.0
    moved_s = 0.0 if cold else run.stood[-1].at_s - (run.begun_s or 0.0)
    from_s = max(into_s if cold else moved_s, read_s)
    here_c = room_c(state) if cold else place_c(state, index)
    dough_c, tau = dough_after(asked, from_s), tau_s(state, index, here_c)
    if dough_c.value > READY_C:
        return None
    off = math.exp(RANGE * TAU_DOUBT)
    likely_s = _until_ready_s(dough_c.value, here_c, tau)
    passed_s = max(0.0, into_s - from_s)
    low_s = _until_ready_s(dough_c.high, here_c, tau / off) - passed_s
    high_s = _until_ready_s(dough_c.low, here_c, tau * off) - passed_s
    return None if high_s <= 0 else Warming(cold, max(0.0, low_s), high_s, from_s + likely_s)


def _until_ready_s(dough_c: float, place_c: float, tau: float) -> float:
    """Newton's law of cooling."""
    if dough_c >= READY_C:
        return 0.0
    return tau * math.log((place_c - dough_c) / (place_c - READY_C)) if place_c > READY_C else math.inf
