"""What a dough waits for that was put into the cold and is out of it again."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake.decisions.adjust import Change
from proofbell.bake.decisions.length_words import STEP_S
from proofbell.bake.fermenting.cold import in_the_cold
from proofbell.bake.fermenting.place_words import where_words
from proofbell.bake.fermenting.warming import Warming, before_the_bake, warming, was_cold
from proofbell.bake.state import BakeState
from proofbell.dough.fermenting.rate import COLD_C
from proofbell.words import temperature, told_length

ROUGH_S = 300.0
"""No time out of the cold is better known than this: common practice, no source."""

NEARLY_S = 900.0
"""So little of a night in the cold is nothing to a dough: common practice, no source."""


def once_out(state: BakeState, index: int, now_s: float, change: Change | None, read: str = "") -> Change | None:
    """Its stage's length where ``change`` has it ready before now, or too cold for the oven; else None.

    How far a night took it is known too roughly to call it late by hours: it is over now, or once the dough is likely
    warm enough for its oven. One whose card lets the cold stand for this proof has had it after the card's least time.
    ``read``: the reading that tells so, in words.
    """
    run = state.stages[index]
    if run.begun_s is None or not was_cold(run) or in_the_cold(state, index):
        return None
    into_s = math.ceil((now_s - run.begun_s) / STEP_S) * STEP_S
    if _night_over(state, index):
        # One that is over already has been so since its time was up.
        return Change(min(into_s, run.length_s), "place", "Long enough in the cold by its card.")
    by_rule_s = run.length_s if change is None else change.to_s
    due_s = max(into_s, by_rule_s)
    there = state.with_stage(index, replace(run, length_s=due_s))
    wait = warming(there, index, now_s)
    warm = 0.0 if wait is None else math.ceil(wait.ready_s / STEP_S) * STEP_S
    if max(due_s, warm) == by_rule_s:
        return None
    if wait is None or warm <= due_s:
        return Change(due_s, "place", f"{f'{read}, out' if read else 'Out'} of the cold, and far enough by the rate.")
    where = where_words(state, index)
    lead = f"{read}, {where[:1].lower()}{where[1:]}" if read else where
    return Change(warm, "place", f"{lead}: {_wait_words(wait, warm - into_s)}.")


def _wait_words(wait: Warming, seconds: float) -> str:
    """``at 16 °C in about 2 h (1 h 30 min to 3 h)``, or that it is waited for no longer."""
    about = told_length(max(1.0, round(seconds / ROUGH_S)) * ROUGH_S)
    if wait.too_cold:
        return f"it hardly warms there; stand it warmer, or bake it in {about} as it is"
    if wait.bounded:
        return f"{about} to warm and no longer, though it may be colder than {temperature(wait.ready_c, 0)} then"
    return f"at {temperature(wait.ready_c, 0)} in about {about} ({wait.span})"


def _night_over(state: BakeState, index: int) -> bool:
    """Whether a dough has had the time in the cold after which its card has it baked, to within some minutes."""
    chill, stood = state.stage(index).chill_instead, state.stages[index].stood
    if chill is None or len(stood) < 2 or not before_the_bake(state, index):
        return False
    was, here = stood[-2:]
    return was.place_c < COLD_C and here.at_s - was.at_s >= chill.least_s - NEARLY_S
