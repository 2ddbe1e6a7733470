"""A refusal in words: the one way in which every answer says what cannot be, and how to put it right."""

from __future__ import annotations

from proofbell.bake.intents import Refused
from proofbell.errors import Failure
from proofbell.words import sentence


def in_words(refused: Failure | Refused) -> str:
    """A refusal as one sentence or two: what, and how to put it right."""
    return f"{sentence(refused.message)} {sentence(refused.remedy)}".strip()
