"""Where the dough stands, as a person types it: a place of the kitchen, or a temperature."""

from __future__ import annotations

from proofbell.bake.intents import Move
from proofbell.quantities import Dimension, in_full, read_quantity


def read_place(text: str, ago_s: float = 0.0) -> Move:
    """``fridge``, ``proving box``, ``12 °C``; a bare number is in the kitchen's degrees.

    Raises:
        QuantityError: it begins like a temperature and is none.
    """
    plain = " ".join(text.split())
    if plain[:1].isalpha() or not plain:
        return Move(plain, ago_s=ago_s)
    return Move(place_c=read_quantity(in_full(plain, Dimension.TEMPERATURE), Dimension.TEMPERATURE), ago_s=ago_s)
