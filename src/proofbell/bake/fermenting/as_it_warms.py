"""What a dough out of the cold still ferments while it warms for the oven, and when it is therefore taken out."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake.fermenting.cold import dough_after
from proofbell.bake.fermenting.place import room_c
from proofbell.bake.fermenting.short_rise import judges_the_rise, rise_wish, short_rise
from proofbell.bake.fermenting.terms import Terms, tau_s, terms
from proofbell.bake.state import BakeState

STEP_S = 60.0
"""Nothing in the cold is known more finely than a minute."""


def once_out(state: BakeState, index: int, out_s: float) -> Terms | None:
    """A dough's terms where it comes out of the cold into the room at ``out_s`` (s into its stage)."""
    asked = terms(state, index)
    if asked is None:
        return None
    out_s, here_c = max(STEP_S, math.ceil(out_s / STEP_S) * STEP_S), room_c(state)
    cold = (out_s, asked.place_c, asked.tau_s)
    return replace(asked, stood=(*asked.stood, cold), place_c=here_c, tau_s=tau_s(state, index, here_c))


def judged_ready_s(state: BakeState, index: int) -> float | None:
    """When a dough was judged to be ready by its rise (s into its stage); endless where it was judged to be short.

    None where nobody has judged it: then its rate tells.
    """
    stage, begun_s = state.stage(index), state.stages[index].begun_s or 0.0
    judged = [each for each in state.readings_in(index, "rise") if judges_the_rise(stage, each)]
    if not judged:
        return None
    ready = judged[-1].eye in ("ready", "too far")
    if rise_wish(stage) is not None and judged[-1].value is not None:
        ready = short_rise(state, index) is None
    return judged[-1].at_s - begun_s if ready else math.inf


def take_out_s(state: BakeState, index: int, since_s: float, done_s: float, ready_c: float) -> float:
    """When a dough in the cold is taken out (s into its stage), so that it is ready as it is warm enough, not before.

    ``since_s``: it came there, and by ``done_s`` would be ready there. ``ready_c``: how warm it goes into its oven.
    """
    low_s, high_s = since_s, done_s
    while high_s - low_s > STEP_S:
        out_s = (low_s + high_s) / 2
        asked = once_out(state, index, out_s)
        if asked is None:
            return done_s
        if asked.estimate().seconds <= out_s + warms_s(asked, out_s, ready_c):
            high_s = out_s
        else:
            low_s = out_s
    return high_s


def warms_s(asked: Terms, out_s: float, ready_c: float) -> float:
    """How long a dough that comes out at ``out_s`` takes to a temperature (s), by Newton's law of cooling."""
    return until_s(ready_c, dough_after(asked, out_s).value, asked.place_c, asked.tau_s)


def until_s(ready_c: float, dough_c: float, place_c: float, tau: float) -> float:
    """Newton's law of cooling; endless where its place is no warmer."""
    if dough_c >= ready_c:
        return 0.0
    return tau * math.log((place_c - dough_c) / (place_c - ready_c)) if place_c > ready_c else math.inf
