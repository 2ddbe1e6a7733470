"""How a judgement of the rise changes a proof's length: ready is due now, short is longer."""

from __future__ import annotations

import math

from proofbell.bake.checks import EARLY_S, EARLY_SHARE
from proofbell.bake.decisions.adjust import Change
from proofbell.bake.decisions.length_words import down_s, minutes, span, up_s
from proofbell.bake.events import Eye
from proofbell.bake.fermenting.cold import in_the_cold
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.fermenting.place import place_c
from proofbell.bake.fermenting.short_rise import extend_s, rise_wish, short_rise
from proofbell.bake.state import BakeState
from proofbell.formula.model import Stage
from proofbell.formula.stages import AT_MOST
from proofbell.words import percent, told_length

WARM_C = 27.0
"""A dough that falls behind in a place this warm is not told to stand warmer: common practice, no source."""


def by_rise(state: BakeState, index: int, value: float | None, eye: Eye | None, now_s: float) -> Change | None:
    """The change that a judgement of the rise makes (percent, or by eye); None when it makes none."""
    stage, run = state.stage(index), state.stages[index]
    if stage.kind != "proof" or run.begun_s is None:
        return None
    wish, elapsed_s = rise_wish(stage), now_s - run.begun_s
    low, at_most = (None, AT_MOST) if wish is None else (wish.wanted[0], wish.at_most)
    if eye in ("ready", "too far") or (value is not None and low is not None and value >= low):
        if elapsed_s >= run.length_s:
            return None
        seen = "Ready by eye" if eye == "ready" else "Gone too far" if eye == "too far" else f"Rise {percent(value)}"
        return Change(elapsed_s, "rise", f"{seen} after {told_length(elapsed_s)}: due now.")
    short = short_rise(state, index)
    if short is None or (elapsed_s < run.length_s and value is None) or run.extensions() >= at_most:
        return None
    longest_s = _longest_s(forgives(state, index), elapsed_s)
    more_s = extend_s(stage) if value is None else short.more_s
    by_pace = value is not None and short.told_by != "card"
    # Well before its longest, a dough that is all but surely short there is judged at the soonest that it can be ready.
    before = by_pace and elapsed_s < longest_s - min(EARLY_S, EARLY_SHARE * longest_s)
    soonest_s = max(longest_s, down_s(elapsed_s + short.low_s) if before else 0.0)
    to_s = min(up_s(elapsed_s + more_s), soonest_s)
    if to_s <= max(run.length_s, elapsed_s):
        return None
    said = "Not ready by eye" if value is None or low is None else f"Rise {percent(value)}, short of {percent(low)},"
    reason = f"{said} after {told_length(elapsed_s)}: {minutes(to_s - elapsed_s)} more"
    between = f"{span(down_s(short.low_s), up_s(short.high_s))}" if by_pace and math.isfinite(short.high_s) else ""
    if to_s >= up_s(elapsed_s + more_s):
        return Change(to_s, "rise", f"{reason}{f' ({between})' if between else ''}.")
    past = "past" if to_s > longest_s else "kept to"
    limit = f"{past} the {minutes(longest_s)} that this dough allows"
    if not by_pace:
        return Change(to_s, "rise", f"{reason}, {limit}.")
    likely = f"it likely takes {minutes(up_s(more_s))}{f' ({between})' if between else ''}"
    warmer = "" if place_c(state, index) >= WARM_C or in_the_cold(state, index) else "; stand it a little warmer"
    return Change(to_s, "rise", f"{reason}, then judge it again: {likely}, {limit}{warmer}.")


def _longest_s(stage: Stage, elapsed_s: float) -> float:
    """The longest that a short rise makes a stage (s); where the card does not say, twice as long as it took so far."""
    return up_s(2 * elapsed_s) if stage.stretch is None else stage.stretch[1]
