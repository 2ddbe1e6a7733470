"""The baker's word on how long the power was off."""

from __future__ import annotations

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.decisions.adjust import LONGEST_STAGE_S
from proofbell.bake.decisions.refused import closed
from proofbell.bake.doubt import outages
from proofbell.bake.intents import Bodies, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState


def rebase(state: BakeState, intent: intents.Rebase, now: Stamp) -> Bodies:
    """From the new start on, the bake's own time is moved by what was not counted, or counted too much."""
    if over := closed(state):
        return over
    if not 0 <= intent.off_s <= LONGEST_STAGE_S:
        return Refused("The power can have been off for up to 14 days, not less than nothing.", "Give a rough length.")
    one = next((one for one in outages(state, now) if one.since == intent.since), None)
    if one is None:
        return Refused("The power was not off there.", "Look again: something changed meanwhile.")
    if one.settled and one.said_s == intent.off_s:
        return Refused("That is already recorded.")
    return [kinds.TimeRebased(one.since, intent.off_s, intent.off_s - one.by_clocks_s, intents.said(intent.why))]
