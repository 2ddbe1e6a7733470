"""What of a bake is due now, and what of that rings."""

from __future__ import annotations

from proofbell.bake.asking.prompt import OvenBefore, Prompt
from proofbell.bake.prompts import at_it, prompts, rings
from proofbell.bake.state import BakeState


def due(state: BakeState, now_s: float, before: OvenBefore | None = None) -> tuple[Prompt, ...]:
    return tuple(prompt for prompt in prompts(state, before, now_s=now_s) if prompt.due_s <= now_s)


def ringing(state: BakeState, now_s: float, before: OvenBefore | None = None) -> tuple[Prompt, ...]:
    """The due prompts whose bell sounds: nobody has silenced them, or is at it."""
    found = due(state, now_s, before)
    return tuple(each for each in found if rings(state, each) and not at_it(state, each, now_s))
