"""The letters that tell live bakes apart on the bench; each is given to one live bake at a time."""

from __future__ import annotations

LETTERS = "ABCDEFGHIJKL"
"""A bench holds as many bakes as there are letters."""


def is_letter(text: str) -> bool:
    """Whether a bake can go by it."""
    return len(text) == 1 and text in LETTERS
