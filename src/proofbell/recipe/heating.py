"""How long the oven is to be heated, with a pot or a stone in it: a formula has no field for it, so it is told."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from proofbell.recipe.model import Guess, StageDraft, Step
from proofbell.recipe.reading.steps import middle
from proofbell.words import length


def heated(stages: Sequence[StageDraft], steps: Sequence[Step], guesses: list[Guess]) -> list[StageDraft]:
    """The stages, the one before the bake with the words for a heating that has a length; each such length is asked."""
    found = list(stages)
    told = [step for step in steps if step.act == "oven" and step.seconds is not None]
    bake = next((index for index, stage in enumerate(found) if stage.kind == "bake"), None)
    if bake is None:
        return found
    for step in told:
        seconds = middle(step.seconds) if step.seconds is not None else 0.0
        before = found[max(0, bake - 1)]
        text = ". ".join(each for each in (before.text.rstrip("."), step.text) if each)
        found[max(0, bake - 1)] = replace(before, text=text)
        why = "no field of a formula: the oven's hour follows from this kitchen's heat_up, so light it that long before"
        guesses.append(Guess(step.line, "oven, heated for", length(seconds), why, ask=True))
    return found
