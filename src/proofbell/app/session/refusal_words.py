"""A refusal in words: the one way in which every answer says what cannot be, and how to put it right."""

from __future__ import annotations

from proofbell.bake.intents import Refused
from proofbell.formula.fault import Refusal


def in_words(refused: Refusal | Refused) -> str:
    """A refusal as one sentence or two: what, and how to put it right."""
    message, remedy = refused.message.rstrip("."), refused.remedy.rstrip(".")
    first = f"{message[:1].upper()}{message[1:]}."
    return f"{first} {remedy[:1].upper()}{remedy[1:]}." if remedy else first
