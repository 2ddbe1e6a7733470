"""What its place, and those before it, make of a proof that nobody has read or timed."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake import events as kinds
from proofbell.bake.decisions.adjust import Change
from proofbell.bake.decisions.length_words import STEP_S, whole
from proofbell.bake.events import Body
from proofbell.bake.fermenting.at_the_bench import stood_over
from proofbell.bake.fermenting.cold import in_the_cold, warm_terms
from proofbell.bake.fermenting.forgiven import is_clear
from proofbell.bake.fermenting.place_words import about_words, where_words
from proofbell.bake.fermenting.terms import dough_readings
from proofbell.bake.state import BakeState
from proofbell.formula.stages import LONGEST_STAGE_S
from proofbell.words import told_length


def by_place(state: BakeState, index: int) -> Change | None:
    """The length that a proof has where it stands; None where something else tells it, or nothing can."""
    stage, run = state.stage(index), state.stages[index]
    others = any(a.body.by != "place" for a in run.adjustments)
    if stage.kind != "proof" or run.ended_s is not None or run.stood or others or in_the_cold(state, index):
        return None
    asked = warm_terms(state, index)
    if asked is None or (run.begun_s is not None and dough_readings(state, index)):
        return None
    found = asked.estimate()
    share = found.seconds / max(asked.nominal_s, 1.0)
    to_s = whole(stage.time_s * share) if stage.time_s * share <= LONGEST_STAGE_S else stage.time_s
    to_s = max(STEP_S, to_s)
    if not is_clear(asked, share) or abs(to_s - stage.time_s) < STEP_S:
        return Change(stage.time_s, "place", f"{where_words(state, index)}: as the formula has it.")
    high_s = found.high_s if math.isfinite(found.high_s) else None
    reason = f"{_lead(state, index)}: {about_words(to_s, found.low_s, high_s, stage.time_s)}."
    return Change(to_s, "place", reason, None, found.seconds, found.low_s, high_s, found.wide)


def _lead(state: BakeState, index: int) -> str:
    """Where it stands, and how long hands left it standing before."""
    stood, where = stood_over(state, index), where_words(state, index)
    if stood is None:
        return where
    return f"It stood {told_length(stood[1])} longer in {stood[0]}; {where[:1].lower()}{where[1:]}"


def where_they_stand(state: BakeState, but: int | None = None) -> list[Body]:
    """What their places make of all stages but one; each counts for those after it."""
    bodies: list[Body] = []
    for index in range(len(state.stages)):
        change = None if index == but else by_place(state, index)
        if change is not None:
            bodies += adjusted(state, index, change, None)
            state = state.with_stage(index, replace(state.stages[index], length_s=change.to_s))
    return bodies


def adjusted_with_the_rest(state: BakeState, index: int, change: Change | None, cause: int | None) -> list[Body]:
    """The event for a change of one stage, and what their places make of the others then."""
    bodies = adjusted(state, index, change, cause)
    if change is not None:
        state = state.with_stage(index, replace(state.stages[index], length_s=change.to_s))
    return [*bodies, *where_they_stand(state, index)]


def adjusted(state: BakeState, index: int, change: Change | None, cause: int | None) -> list[Body]:
    """The event for a change, or none when the length already is so."""
    if change is None or change.to_s == state.stages[index].length_s:
        return []
    return [
        kinds.TimeAdjusted(
            stage=index,
            from_s=state.stages[index].length_s,
            to_s=change.to_s,
            by=change.by,
            reason=change.reason,
            cause=cause,
            band_s=change.band_s,
            rate_s=change.rate_s,
            rate_low_s=change.rate_low_s,
            rate_high_s=change.rate_high_s,
            rough=change.rough,
        )
    ]
