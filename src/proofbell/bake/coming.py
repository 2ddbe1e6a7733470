"""How long a stage that is to come will be: the one figure of the list, the plan and what is said beside the countdown.

It is the length that the stage gets as it begins.
"""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake.decisions.adjust import after_the_cold
from proofbell.bake.decisions.by_place import by_place
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.state import BakeState
from proofbell.formula.dough_stages import STANDS


def coming_s(state: BakeState, index: int, now_s: float | None = None) -> float:
    """A stage's length (s) by what came before it: the cold, how warm its dough came, hands that left it standing.

    ``now_s`` (the bake's own time): hands that are at work are taken to end then, at the soonest as they began.
    """
    run = state.stages[index]
    if run.begun_s is not None:
        return run.length_s
    state = _ended(state, index - 1, now_s)
    change = after_the_cold(state, index)
    if change is None and _has_stood(state, index):
        change = by_place(state, index)
    return run.length_s if change is None else change.to_s


def _has_stood(state: BakeState, index: int) -> bool:
    """Whether its dough stood before: then it comes as warm as that, and what hands did to it, have made it."""
    before = range(state.formula.strand(index).start, index)
    return any(state.stage(i).kind in STANDS and state.stages[i].begun_s is not None for i in before)


def _ended(state: BakeState, index: int, now_s: float | None) -> BakeState:
    if index not in state.running or now_s is None or state.stage(index).kind != "hands":
        return state
    run = state.stages[index]
    return state.with_stage(index, replace(run, ended_s=max(now_s, run.begun_s or 0.0)))


EARLY_SHARE, EARLIEST_SHARE = 0.9, 0.75
"""What is judged early is judged before so much of its length; where its card's least is no sooner than that, from
three quarters of it on. Common practice, no source."""


def judged_from_s(state: BakeState, index: int) -> float | None:
    """When a proof is judged early at the soonest (s into it), clearly before its end; None: its card does not say."""
    stretch = forgives(state, index).stretch
    if stretch is None:
        return None
    length_s = coming_s(state, index)
    return stretch[0] if stretch[0] <= EARLY_SHARE * length_s else EARLIEST_SHARE * length_s // 60 * 60
