"""What is said of a dough in the cold."""

from __future__ import annotations

import math

from proofbell.bake.decisions.adjust import LONGEST_STAGE_S
from proofbell.bake.fermenting.cold import ColdOutlook, cold_outlook, in_the_cold
from proofbell.bake.fermenting.forgiven import forgives, within
from proofbell.bake.fermenting.place_words import rough, where_words
from proofbell.bake.fermenting.terms import dough_readings
from proofbell.bake.state import BakeState
from proofbell.words import length, temperature


def said_of_the_cold(state: BakeState, index: int) -> str:
    """How far the dough will be at take-out, once it was read or moved there; empty where nothing is to be said."""
    run = state.stages[index]
    if run.begun_s is None or not in_the_cold(state, index):
        return ""
    if not run.stood and not dough_readings(state, index):
        return ""
    found = cold_outlook(state, index)
    return "" if found is None else cold_words(state, found)


def cold_words(state: BakeState, found: ColdOutlook) -> str:
    """One or two sentences: temperature and fermentation at take-out with their ranges, and what follows from them."""
    temp, share = found.out.temp_c, found.out.share
    # Moved there by hand it is nowhere else told that it stands there.
    where = f"{where_words(state, found.stage)}: at" if state.stages[found.stage].stood else "At"
    said = (
        f"{where} take-out about {temperature(temp.value, 0)} ({temp.low:.0f} to {temp.high:.0f}) and "
        f"{share.value * 100:.0f} % done ({share.low * 100:.0f} to {share.high * 100:.0f})."
    )
    run = state.stages[found.stage]
    ready_s, _low_s, high_s = found.ready_s
    if run.agreed_place and high_s < run.length_s:
        # Moved into the cold, it is to be ready there; even the slowest of its range is before its time is up.
        said += f" By the rate it is ready after about {rough(ready_s)}: take it out then."
    elif then := then_words(state, found):
        said += f" {then}"
    return said


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
