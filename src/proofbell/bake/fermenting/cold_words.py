"""What is said of a dough in the cold."""

from __future__ import annotations

import math

from proofbell.bake.fermenting.cold import ColdOutlook, cold_outlook, in_the_cold, share_after
from proofbell.bake.fermenting.forgiven import forgives, within
from proofbell.bake.fermenting.place_words import rough, where_words
from proofbell.bake.fermenting.short_rise import judged_short
from proofbell.bake.fermenting.terms import brought_c, dough_readings, terms
from proofbell.bake.fermenting.warming import before_the_bake, sent_cold, warming
from proofbell.bake.state import BakeState
from proofbell.formula.stages import LONGEST_STAGE_S
from proofbell.words import length, sentence, temperature

OVER_S = 300.0
"""So long after its time a dough counts as left in the cold: common practice, no source."""

FAR_SHARE = 1.5
"""So many times what its card asks for a proof is too far, as of a rise: common practice, no source."""

NIGHT_S = 6 * 3600.0
"""Less is no night: common practice, no source."""

WIDE_S = 3600.0
"""Limits nearer to each other than this are told as one time: common practice, no source."""

TOO_FAR = "That is too far: take it out, knock it back and shape it now."


def said_of_the_cold(
    state: BakeState, index: int, now_s: float, *, for_a_while: bool = False, ready: bool = False
) -> str:
    """How far the dough will be at take-out, once it was read or moved there; empty where nothing is to be said.

    One that was not taken out in time: how far it is by now. ``for_a_while``: it is there for minutes, not for a night.
    ``ready``: its rise was judged enough before that, so that only its warmth is told while those minutes run.
    """
    run = state.stages[index]
    if run.begun_s is None or not in_the_cold(state, index):
        return ""
    if not run.stood and not dough_readings(state, index) and brought_c(state, index) is None:
        return ""
    found = cold_outlook(state, index, now_s)
    if found is None:
        return ""
    over = now_s - run.begun_s >= run.length_s + OVER_S
    if ready and not over:
        return warmth_words(state, found)
    said = cold_words(state, found, over=over, for_a_while=for_a_while and not over)
    return f"{said} {TOO_FAR}" if _too_far(state, index, now_s - run.begun_s) else said


def _too_far(state: BakeState, index: int, into_s: float) -> bool:
    """Whether a proof before the shaping is well past what its card asks for by now, where it was put into the cold."""
    asked = terms(state, index)
    if asked is None or state.stage(index).kind != "proof" or before_the_bake(state, index):
        return False
    if judged_short(state, index):
        return False  # what its rise shows is believed
    return share_after(asked, into_s).value >= FAR_SHARE


def warmth_words(state: BakeState, found: ColdOutlook) -> str:
    """How warm a dough in the cold is as it is taken out, and its range."""
    temp = found.out.temp_c
    about = f"{temperature(temp.value, 0)} ({temp.low:.0f} to {temp.high:.0f})"
    return sentence(f"{where_words(state, found.stage)}: at take-out about {about}")


def cold_words(state: BakeState, found: ColdOutlook, *, over: bool = False, for_a_while: bool = False) -> str:
    """One or two sentences: temperature and fermentation at take-out with their ranges, and what follows from them.

    ``over``: it was not taken out in time, and they are of now. ``for_a_while``: nothing is said of a night there.
    """
    temp, share = found.out.temp_c, found.out.share
    # Moved there by hand it is nowhere else told that it stands there.
    where = f"{where_words(state, found.stage)}: " if state.stages[found.stage].stood else ""
    warm = warming(state, found.stage, state.stages[found.stage].due_s)
    rest = ", the rest as it warms" if warm is not None and share.value < 1 else ""
    at = "now" if over else "at take-out"
    said = sentence(
        f"{where}{at} about {temperature(temp.value, 0)} ({temp.low:.0f} to {temp.high:.0f}) and "
        f"{share.value * 100:.0f} % done ({share.low * 100:.0f} to {share.high * 100:.0f}){rest}"
    )
    to_load = before_the_bake(state, found.stage) and not sent_cold(state, found.stage)
    if over and share.low >= 1 and to_load and not judged_short(state, found.stage):
        return f"{said} Over-proofed by now: bake it as soon as the oven is hot."
    if for_a_while:
        return said
    run = state.stages[found.stage]
    ready_s, _low_s, high_s = found.ready_s
    if run.agreed_place and high_s < run.length_s:
        # Moved into the cold, it is to be ready there; even the slowest of its range is before its time is up.
        said += f" By the rate it is ready after about {rough(ready_s)}: take it out then."
    elif _not_for_a_night(state, found):
        said += " It is ready before the cold slows it: do not leave it there for the night."
    elif then := then_words(state, found):
        said += f" {then}"
    return said + _by_its_card(state, found.stage)


def _not_for_a_night(state: BakeState, found: ColdOutlook) -> bool:
    """Whether a dough that its baker put into the cold to be worked later is ready there within hours."""
    run = state.stages[found.stage]
    if not run.stood or run.agreed_place or before_the_bake(state, found.stage):
        return False
    return found.ready_s[2] < (run.stood[-1].at_s - (run.begun_s or 0.0)) + NIGHT_S


def _by_its_card(state: BakeState, index: int) -> str:
    """`` Its card allows 12 h to 16 h.``, where that is more than one time."""
    stretch = forgives(state, index).stretch
    if stretch is None or stretch[1] - stretch[0] < WIDE_S:
        return ""
    return f" Its card allows {length(stretch[0])} to {length(stretch[1])}."


def then_words(state: BakeState, found: ColdOutlook) -> str:
    """How long the stage after the cold takes; empty where that is as its card has it."""
    if found.following is None or found.following_s is None:
        return ""
    stage, run, then_s = state.stage(found.following), state.stages[found.following], found.following_s
    # What the place has made of it already follows from this very cold.
    by_place = bool(run.adjustments) and run.adjustments[-1].body.by == "place"
    now_s = stage.time_s if by_place else run.length_s
    if math.isfinite(then_s):
        then_s = within(forgives(state, found.following).stretch, then_s)
    if not math.isfinite(then_s) or then_s > LONGEST_STAGE_S:
        return f"Then {stage.name} will not get there where it stands."
    about, was = rough(then_s), length(now_s)
    return f"Then {stage.name} takes about {about}, not {was}." if abs(then_s - now_s) >= 60 and about != was else ""
