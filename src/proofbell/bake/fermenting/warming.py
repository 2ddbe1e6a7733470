"""A dough that was put into the cold before the oven: how long it takes, once it is out, until it may be baked."""

from __future__ import annotations

import math

from proofbell.bake.fermenting.as_it_warms import judged_ready_s, once_out, take_out_s, until_s
from proofbell.bake.fermenting.cold import dough_after, in_the_cold, share_after
from proofbell.bake.fermenting.place import card_place_c, place_c, room_c
from proofbell.bake.fermenting.terms import tau_s, terms
from proofbell.bake.state import BakeState, StageState
from proofbell.dough.fermenting.rate import COLD_C
from proofbell.dough.fermenting.retard import Figure
from proofbell.dough.fermenting.time_constant import RANGE, TAU_DOUBT
from proofbell.frozen import dataclass
from proofbell.words import length, temperature

READY_C = 16.0
"""A retarded dough is baked from more than 16 °C inside on: IREKS Compendium 6.3.4."""

LEAST_READY_C = 10.0
"""In a cold room less has to do: pizza shops let dough balls warm to 50 to 60 °F (PMQ Pizza Magazine's think tank;
Pizza Today, November 2018)."""

NEAR_K = 3.0
"""No dough is waited for until it is nearer to its place: it takes ever longer. Common practice, no source."""

LONGEST_S = 3 * 3600.0
"""No dough warms for longer before it is baked: 2 to 2.5 h are published for pieces of 10 and 14 oz (PMQ's think tank),
3 to 5 h for the way to 25 °C (IREKS Compendium 6.3.4)."""

READ_AGAIN_S = 900.0
"""A dough that was read too cold is read again no sooner: common practice, no source."""

STEP_S = 300.0
"""Nobody can tell more finely than five minutes when a dough is so warm: common practice, no source."""


def baked_from_c(place_c: float) -> float:
    """How warm a dough out of the cold is to be before it is baked (°C), where it warms in a place (°C)."""
    return max(LEAST_READY_C, min(READY_C, place_c - NEAR_K))


@dataclass(frozen=True, slots=True)
class Warming:
    """How long (s, range) a dough warms until it may be baked, and never longer than `LONGEST_S` once it is out.

    ``to_take_out``: it is in the cold yet, until ``out_s`` (s into its stage). ``ready_s``: when it is to be baked (s
    into its stage), at ``ready_c`` (°C) or, ``bounded``, as it is by then. ``too_cold``: its place hardly warms it.
    ``risen``: it is ready before it is so warm, and goes into the oven then.
    """

    to_take_out: bool
    out_s: float
    low_s: float
    high_s: float
    ready_s: float
    ready_c: float
    bounded: bool
    too_cold: bool
    risen: bool = False

    @property
    def words(self) -> str:
        """``take it out of the cold, let it warm to 16 °C (40 min to 1 h 30 min)``, or for so long, if ready."""
        out = "take it out of the cold, " if self.to_take_out else ""
        if self.risen:
            return f"{out}let it warm for {self.span}"
        return f"{out}let it warm to {temperature(self.ready_c, 0)} ({self.span})"

    @property
    def span(self) -> str:
        """``40 min to 1 h 30 min``, or that its place is too cold for that."""
        if self.risen:
            return length(max(1, round(self.high_s / STEP_S)) * STEP_S)
        low_s, high_s = (STEP_S * step for step in (self.low_s // STEP_S, math.ceil(self.high_s / STEP_S)))
        if self.too_cold:
            return f"in a warmer place, {length(high_s)} at most"
        return f"{length(low_s)} to {length(high_s)}" if 0 < low_s < high_s else f"up to {length(high_s)}"


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
    return 0.0 if found is None else found.ready_s


def warming(state: BakeState, index: int, now_s: float | None = None) -> Warming | None:
    """How long a proof that stood in the cold has to warm before it is baked, from ``now_s`` of the bake's time.

    Without ``now_s`` from its end; from there too while it is in the cold. None where it is warm enough, or has warmed
    for the longest that is waited for it, or where its card itself sends it cold to the oven. Warming is proof as well:
    a dough is baked once it is ready, however cold it is then.
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
    into_s = run.length_s if now_s is None or run.begun_s is None else now_s - run.begun_s
    into_s = max(into_s, run.length_s) if cold else into_s
    read_s = asked.readings[-1][0] if asked.readings else 0.0
    out_s = into_s if cold else out_at_s(run)
    from_s = max(out_s, read_s)
    here_c = room_c(state) if cold else place_c(state, index)
    dough_c, tau, ready_c = dough_after(asked, from_s), tau_s(state, index, here_c), baked_from_c(here_c)
    longest_s = out_s + LONGEST_S
    if dough_c.value >= ready_c or into_s >= longest_s:
        return None
    done_s = _done_s(state, index, out_s)
    if done_s - into_s < STEP_S:
        return None
    off = math.exp(RANGE * TAU_DOUBT)
    likely_s = from_s + max(READ_AGAIN_S, until_s(ready_c, dough_c.value, here_c, tau))
    low_s = min(longest_s, from_s + until_s(ready_c, dough_c.high, here_c, tau / off)) - into_s
    high_s = min(longest_s, from_s + until_s(ready_c, dough_c.low, here_c, tau * off)) - into_s
    if high_s <= 0:
        return None
    if done_s < min(likely_s, longest_s) - READ_AGAIN_S:
        left_s = done_s - into_s
        return Warming(cold, out_s, left_s, left_s, done_s, ready_c, bounded=True, too_cold=False, risen=True)
    too_cold, bounded = here_c < ready_c + NEAR_K, likely_s >= longest_s
    return Warming(cold, out_s, max(0.0, low_s), high_s, min(longest_s, likely_s), ready_c, bounded, too_cold)


def _done_s(state: BakeState, index: int, out_s: float) -> float:
    """When a dough that is out of the cold from ``out_s`` on has done what its card asks for (s into its stage)."""
    asked, cold = terms(state, index), in_the_cold(state, index)
    if asked is None:
        return math.inf
    judged_s = judged_ready_s(state, index)
    if judged_s is not None:
        return judged_s
    if cold and share_after(asked, out_s).value >= 1:
        return out_s
    there = once_out(state, index, out_s) if cold else asked
    return math.inf if there is None else there.estimate().seconds


def warms_first(state: BakeState, index: int, now_s: float | None) -> bool:
    """Whether a dough is to come out of the cold and warm before its stage is over."""
    found = warming(state, index, now_s)
    return found is not None and found.to_take_out


def share_once_warm(state: BakeState, index: int, warm: Warming) -> Figure | None:
    """What a dough in the cold will have done as it goes into the oven, as a share of what its card asks for."""
    asked = once_out(state, index, warm.out_s)
    return None if asked is None else share_after(asked, warm.ready_s)


def comes_out_s(state: BakeState, index: int, done_s: float) -> float:
    """When a dough that was put into the cold comes out of it (s into its stage); ``done_s``: it would be ready there.

    Sooner by what it ferments as it warms, where it is to warm before it is baked.
    """
    waits = state.stage(index).kind in ("proof", "rest") and before_the_bake(state, index)
    if not waits or not in_the_cold(state, index) or sent_cold(state, index) or math.isinf(done_s):
        return done_s
    since_s = out_at_s(state.stages[index])
    if done_s <= since_s:
        return done_s
    return take_out_s(state, index, since_s, done_s, baked_from_c(room_c(state)))


def out_at_s(run: StageState) -> float:
    """When a dough that was moved came to where it stands (s into its stage)."""
    return run.stood[-1].at_s - (run.begun_s or 0.0)
