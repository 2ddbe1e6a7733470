"""How long a stage that is to come will be: the one figure of the list, the plan and what is said beside the countdown.

It is the length that the stage gets as it begins.
"""

from __future__ import annotations

from proofbell.bake.decisions.adjust import after_the_cold
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.state import BakeState


def coming_s(state: BakeState, index: int) -> float:
    """A stage's length (s); one that comes after the cold makes up for what that left, as it will once it begins."""
    run = state.stages[index]
    change = None if run.begun_s is not None else after_the_cold(state, index)
    return run.length_s if change is None else change.to_s


def judged_from_s(state: BakeState, index: int) -> float | None:
    """When a proof is judged early at the soonest (s into it), never after its end; None: its card does not say."""
    stretch = forgives(state, index).stretch
    return None if stretch is None else min(stretch[0], coming_s(state, index))
