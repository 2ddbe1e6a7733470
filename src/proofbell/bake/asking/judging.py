"""Whether the rise of the stage in hand is to be judged now: for its end, early, or once more."""

from __future__ import annotations

from proofbell.bake.advice.butter import chilled
from proofbell.bake.advice.cold import cold_looks
from proofbell.bake.advice.scene import Scene
from proofbell.bake.asking.looking_again import judged_early_s
from proofbell.bake.asking.stage_end import to_be_judged, was_cold
from proofbell.bake.checks import answered, check_at_s
from proofbell.bake.fermenting.short_rise import judged_short, short_at_the_end
from proofbell.bake.fermenting.warming import warms_first
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import PromptId, Skipped
from proofbell.formula.dough_stages import STANDS

SOON_S = 5 * 60.0
"""Who reads something within five minutes of a judging most likely judges: common practice, no source."""


def unjudged(state: BakeState, index: int, now_s: float) -> str:
    """That a stage would be over without the judging that it wants by now, as its card has it or early; else nothing.

    A rise that is short past the end of its stage is told by its own words.
    """
    if state.stage(index).kind not in STANDS or warms_first(state, index, now_s):
        return ""
    chill = chilled(Scene(state, index, now_s))
    if chill is not None and chill.chills:
        return ""  # it goes from one cold into the other
    ends_soon = (state.stages[index].due_s or 0.0) - now_s <= SOON_S and to_be_judged(state, index)
    if not state.readings_in(index, "rise"):
        early_s = judged_early_s(state, now_s)
        early = early_s is not None and early_s <= now_s
        return "The rise is not judged." if early or ends_soon else ""
    again = ends_soon and judged_short(state, index) and short_at_the_end(state, index) is None
    return "The rise was short, and is not judged again." if again else ""


def judged_soon(state: BakeState, now_s: float) -> bool:
    """Whether the rise is what is read next: its judging is due, was due and is not answered, or is due soon."""
    index = state.current
    if index is None or state.closed is not None or state.stage(index).kind not in STANDS:
        return False
    return any(at_s - SOON_S <= now_s for at_s in _judgings_s(state, index, now_s))


def _judgings_s(state: BakeState, index: int, now_s: float) -> list[float]:
    """When the rise is to be judged in the stage in hand (the bake's own time, s), as far as nobody has."""
    run, short, early_s = state.stages[index], short_at_the_end(state, index), judged_early_s(state, now_s)
    begun_s = run.begun_s or 0.0
    found = [] if early_s is None else [early_s]
    found += [begun_s + into_s for into_s, reads in cold_looks(state, index) if reads == "rise"]
    if short is not None:
        found.append(begun_s + short.again_s)
    elif to_be_judged(state, index) or was_cold(state, index, now_s):
        found.append(begun_s + run.length_s)
    for number, check in enumerate(state.stage(index).checks):
        skipped = state.done(Skipped(PromptId("check", index, number)))
        if check.read == "rise" and check.when != "end" and not skipped and not answered(state, index, number):
            found.append(begun_s + check_at_s(state, index, check))
    return found
