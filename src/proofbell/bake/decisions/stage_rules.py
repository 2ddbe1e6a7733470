"""What the baker says of stages: begin, done, longer, yes to the plan, give up."""

from __future__ import annotations

import math

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.checks import missed_checks
from proofbell.bake.core import long_unread_s
from proofbell.bake.decisions.adjust import hand_words
from proofbell.bake.decisions.reading_rules import carried_over
from proofbell.bake.decisions.refused import NOT_BEGUN
from proofbell.bake.intents import Bodies, Refused
from proofbell.bake.outlook import next_to_begin
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.steps import next_begun
from proofbell.formula.stages import LONGEST_STAGE_S
from proofbell.words import told_length

TOO_LONG = Refused("A stage lasts more than 0 min and at most 14 days.", "Give a length between the two.")


def plan_start(state: BakeState, intent: intents.PlanStart, now: Stamp) -> Bodies:
    if state.begun:
        return Refused("This bake has begun; its start cannot be moved.")
    if not max(intent.in_s, intent.ready_in_s or 0.0) <= LONGEST_STAGE_S:
        return Refused("A bake can be planned at most 14 days ahead.")
    now_s = state.now_s(now)
    ready_s = None if intent.ready_in_s is None else now_s + max(0.0, intent.ready_in_s)
    weigh_s = None if intent.weigh_in_s is None else now_s + max(0.0, intent.weigh_in_s)
    return [kinds.StartPlanned(now_s + max(0.0, intent.in_s), intents.said(intent.why), ready_s, weigh_s, intent.plan)]


def begin(state: BakeState, intent: intents.Begin, _now: Stamp) -> Bodies:
    index = next_to_begin(state) if intent.stage is None else intent.stage
    if index not in state.may_begin:
        return Refused("This bake has begun already." if intent.stage is None else "This stage cannot begin now.")
    return [kinds.StageBegun(index)]


def done(state: BakeState, intent: intents.Done, now: Stamp) -> Bodies:
    """The running stage is over and the next begins; after the last the bake is finished.

    A preferment that is ready waits for the other.
    """
    index = state.current
    if index is None:
        return NOT_BEGUN
    ended_s = state.now_s(now) - intent.ago_s
    begun_s = state.stages[index].begun_s or 0.0
    if not (intent.ago_s >= 0 and ended_s >= begun_s):
        name = state.stage(index).name
        began = f"{name} began {told_length(state.now_s(now) - begun_s)} ago."
        return Refused(began, "It ended since then, or ends now.")
    missed = missed_checks(state, index, ended_s)
    ended = kinds.StageEnded(index, missed=missed, ago_s=intent.ago_s)
    nxt = state.formula.followed_by(index)
    if nxt is None:
        return [ended, kinds.BakeClosed("finished")]
    if any(state.stages[one].ended_s is None for one in state.formula.follows(nxt) if one != index):
        return [ended]
    begun = kinds.StageBegun(nxt, ago_s=intent.ago_s)
    return [ended, begun, *carried_over(next_begun(state, ended, begun, state.now_s(now)), nxt)]


def longer(state: BakeState, intent: intents.Longer, now: Stamp) -> Bodies:
    """The running stage gets longer, from now when it is overdue, or shorter, at the least due now."""
    index = state.current
    if index is None:
        return NOT_BEGUN
    if not math.isfinite(intent.by_s) or intent.by_s == 0:
        return Refused("That changes nothing.", "Say by how much.")
    run = state.stages[index]
    elapsed_s = state.now_s(now) - (run.begun_s or 0.0)
    unread_s = long_unread_s(state, index, state.now_s(now)) if intent.by_s > 0 else None
    if unread_s is not None:
        return Refused(f"The core was read low {told_length(unread_s)} ago.", "Read it now, then say how much longer.")
    if intent.by_s > 0:
        to_s = max(run.length_s, elapsed_s) + intent.by_s
    else:
        to_s = max(run.length_s + intent.by_s, min(elapsed_s, run.length_s))
    if to_s == run.length_s:
        return Refused("The stage is due already; it cannot be shorter.", "Say done when it is over.")
    if to_s > max(LONGEST_STAGE_S, run.length_s):
        return TOO_LONG
    by_s = intent.by_s if intent.by_s > 0 else to_s - run.length_s
    reason = hand_words(state, index, by_s, to_s, over_s=to_s - run.length_s - by_s)
    return [kinds.TimeAdjusted(index, run.length_s, to_s, "hand", reason)]


def accept(state: BakeState, intent: intents.Accept, _now: Stamp) -> Bodies:
    """The baker says yes to a length that the plan proposes, perhaps in another place."""
    if not 0 <= intent.stage < len(state.stages):
        return Refused("There is no such stage.")
    if state.stages[intent.stage].ended_s is not None:
        return Refused("That stage is over; its time cannot change any more.")
    if not 0 < intent.to_s <= LONGEST_STAGE_S:
        return TOO_LONG
    if intent.place_c is not None and not math.isfinite(intent.place_c):
        return Refused("A place has a temperature.")
    run = state.stages[intent.stage]
    if intent.to_s == run.length_s and intent.place_c in (None, run.stood[-1].place_c if run.stood else None):
        return Refused("The stage has that length already.")
    reason = intents.said(intent.reason)
    return [kinds.TimeAdjusted(intent.stage, run.length_s, intent.to_s, "plan", reason, place_c=intent.place_c)]


def give_up(_state: BakeState, intent: intents.GiveUp, _now: Stamp) -> Bodies:
    return [kinds.BakeClosed("given up", intents.said(intent.why))]
