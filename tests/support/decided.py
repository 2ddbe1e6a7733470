"""Bakes of the house formulas made by decisions alone, at seconds from nought: no bench, no screen."""

from __future__ import annotations

from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide, decided
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.formula.model import Formula
from proofbell.kitchen.model import Kitchen
from tests.support.bakes import house

KITCHEN = Kitchen()

TO_FINAL_PROOF: tuple[tuple[float, Intent], ...] = (
    (0, intents.Begin()),
    (360, intents.Done()),
    (960, intents.Done()),
    (5160, intents.Done()),
    (6360, intents.Done()),
)
"""Harbour knots in their nominal times: mix, knead, first proof, divide and tie."""


def at(seconds: float) -> Stamp:
    """So many seconds after the clock began."""
    return Stamp(round(seconds * 1_000_000), round(seconds * 1_000_000), "boot")


def bake(letter: str, name: str | Formula, *told: tuple[float, Intent], start_in_s: float | None = None) -> BakeState:
    """A bake of a formula, or of the house formula of a name, after all that was said, each at its second."""
    formula = house(name) if isinstance(name, str) else name
    batch = weigh_out(formula, KITCHEN).batch
    opening = intents.Open(f"{letter}-bake", letter, formula, batch, KITCHEN, "test", start_in_s=start_in_s)
    state = _taken(None, 0.0, opening)
    for seconds, intent in told:
        state = _taken(state, seconds, intent)
    return state


def said(state: BakeState, seconds: float, *told: Intent) -> BakeState:
    """The bake after more was said, all at one second. None of it may be refused."""
    for intent in told:
        state = _taken(state, seconds, intent)
    return state


def _taken(state: BakeState | None, seconds: float, intent: Intent) -> BakeState:
    decision = decide(state, intent, at(seconds))
    assert not isinstance(decision, Refused), decision
    after = decided(state, decision)
    assert after is not None
    return after
