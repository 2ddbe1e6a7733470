"""What the place that a dough stands in makes of its stages: the room as it is read, and where the baker puts it."""

from __future__ import annotations

import math
from dataclasses import replace

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.advice.butter import CHILL_MIN, butter_melts, chilled
from proofbell.bake.advice.scene import Scene
from proofbell.bake.decisions.adjust import Change
from proofbell.bake.decisions.by_place import adjusted_with_the_rest
from proofbell.bake.decisions.length_words import change_words, span, whole
from proofbell.bake.decisions.out_of_the_cold import once_out
from proofbell.bake.decisions.refused import NOT_BEGUN
from proofbell.bake.fermenting.cold import in_the_cold, warm_terms
from proofbell.bake.fermenting.forgiven import by_band_s, forgives
from proofbell.bake.fermenting.kneading import before_it_ferments
from proofbell.bake.fermenting.place import place_c, places_known
from proofbell.bake.fermenting.place_words import about_words, moved_words, where_words
from proofbell.bake.fermenting.warming import comes_out_s
from proofbell.bake.intents import Bodies, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.steps import moved_to
from proofbell.dough.fermenting.rate import COLD_C
from proofbell.formula.dough_stages import STANDS
from proofbell.formula.stages import LONGEST_STAGE_S
from proofbell.words import temperatures, told_length

LEAST_C, MOST_C = -30.0, 60.0
"""Where a dough can stand: as wide as the formula's own places."""


def move(state: BakeState, intent: intents.Move, now: Stamp) -> Bodies:
    """The baker puts the dough somewhere, or says that it was put there a while ago."""
    index = state.current
    if index is None:
        return NOT_BEGUN
    stage, run, now_s = state.stage(index), state.stages[index], state.now_s(now)
    if stage.kind not in STANDS:
        remedy = "End the stage first, then say where the dough is."
        if before_it_ferments(state, index):
            remedy = "Cool or warm it as you need, and read it again."
        return Refused(f"In {stage.name} the dough does not stand anywhere.", remedy)
    where_c = state.kitchen.place_c(intent.place) if intent.place_c is None else intent.place_c
    if where_c is None:
        known = ", ".join(name for name, _ in places_known(state))
        return Refused(
            f"This kitchen has no {intents.said(intent.place, 40)}.", f"It has: {known}. Or give a temperature."
        )
    if not LEAST_C <= where_c <= MOST_C:
        return Refused("No dough stands there.", f"A place is {temperatures(LEAST_C, MOST_C)}.")
    since_s = now_s - (run.begun_s or 0.0)
    if not 0 <= intent.ago_s <= since_s:
        return Refused(f"{stage.name} began {told_length(since_s)} ago.", "Say a moment since then.")
    nxt, soft = state.formula.followed_by(index), butter_melts(Scene(state, index, now_s))
    if where_c < COLD_C and nxt is not None and soft is not None and soft.goes_on_now:
        # It is told to go on, as its card has it in the cold next: there it is with that, and not before.
        then, cold = state.stage(nxt).name, state.stage(nxt).kind == "chill"
        return Refused(
            f"{stage.name} ends as it goes into the cold.", f"End it: {then}{'' if cold else ', then the cold'}."
        )
    body = kinds.DoughMoved(index, where_c, intents.said(intent.place, 40), intent.ago_s)
    moved = state.with_stage(index, moved_to(run, body, now_s))
    change = _after_move(state, moved, index)
    change = once_out(moved, index, now_s, change) or _for_its_butter(moved, index, now_s, change)
    return [body, *adjusted_with_the_rest(moved, index, change, None)]


def _after_move(before: BakeState, state: BakeState, index: int) -> Change | None:
    """The stage's length where the dough stands now; None where that does not follow, or never comes."""
    stage, run, asked = state.stage(index), state.stages[index], warm_terms(state, index)
    if asked is None or (stage.kind == "chill" and in_the_cold(state, index)):
        return None
    found, band_s = asked.estimate(), by_band_s(state, index)
    rule_s = comes_out_s(state, index, found.seconds) if band_s is None else band_s
    if max(found.seconds, rule_s) > LONGEST_STAGE_S:
        return None
    on_top_s = sum(a.body.to_s - a.body.from_s for a in run.adjustments if a.body.by in ("hand", "rise"))
    to_s = max(0.0, whole(rule_s) + on_top_s)
    # Neither what a rule was kept to, nor what is too little to be told, nor the card's longest in the cold makes a
    # colder place the sooner one; and in a warmer one it is kept to the least that its dough needs as by a reading.
    stretch, colder = forgives(state, index).stretch, place_c(state, index) < place_c(before, index)
    least_s = run.length_s if colder else 0.0 if stretch is None else min(run.length_s, stretch[0])
    to_s = max(to_s, least_s)
    share = (to_s - on_top_s) / max(whole(found.seconds), 1.0)
    found = replace(found, low_s=share * found.low_s, high_s=share * found.high_s)
    high_s = found.high_s if math.isfinite(found.high_s) else None
    most_s, moved = max(_longest_in_the_cold_s(state, index), least_s), moved_words(before, state, index)
    if to_s > most_s:
        to_s, told = most_s, f"{told_length(most_s)} and no longer, by its card"
    elif found.wide or high_s is None:
        told = about_words(to_s, found.low_s, high_s, run.length_s)
    else:
        told = f"{change_words(run.length_s, to_s)} ({span(whole(found.low_s + on_top_s), whole(high_s + on_top_s))})"
    return Change(to_s, "place", f"{moved}: {told}.", band_s, found.seconds, found.low_s, high_s, found.wide)


def _for_its_butter(state: BakeState, index: int, now_s: float, change: Change | None) -> Change | None:
    """A dough that is put into the cold for its butter stays there as long as that takes, at the least.

    Where its card has it in the cold before it is shaped, it goes on then; else it rises on as it would.
    """
    found, run = chilled(Scene(state, index, now_s)), state.stages[index]
    if found is None:
        return change
    to_s = whole(found.read_by_s - (run.begun_s or 0.0))
    if not found.chills and max(run.length_s if change is None else change.to_s, 0.0) >= to_s:
        return change
    reason = f"{where_words(state, index)}: {CHILL_MIN[0]} min for its butter, then {found.then}."
    return Change(to_s, "place", reason)


def _longest_in_the_cold_s(state: BakeState, index: int) -> float:
    """The longest that a stage's card has its dough in the cold (s, from the stage's beginning); endless where none."""
    run, chill = state.stages[index], state.stage(index).chill_instead
    if chill is None or not in_the_cold(state, index):
        return math.inf
    return whole(run.stood[-1].at_s - (run.begun_s or 0.0) + chill.most_s)
