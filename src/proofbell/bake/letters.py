"""The letters that tell live bakes apart on the bench; each is given to one live bake at a time."""

from __future__ import annotations

LETTERS = "ABCDEFGHIJKL"
"""A bench holds as many bakes as there are letters."""


NO_LETTER = "?"
"""What a bake goes by whose log names none of them, until it gets one."""


def is_letter(text: str) -> bool:
    return len(text) == 1 and text in LETTERS


def letter_in(text: str) -> str:
    """The letter that a log names; ``NO_LETTER`` where that is none, as a log from anywhere may have it."""
    return text if is_letter(text) else NO_LETTER
