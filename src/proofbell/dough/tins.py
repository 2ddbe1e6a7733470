"""Tins: how much they hold. What dough belongs in them is in `formula/tin_load.py`."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from proofbell.errors import Failure
from proofbell.quantities import Dimension, QuantityError, example, read_quantity, spellings
from proofbell.visible import visible
from proofbell.words import as_counted

LARGEST_ML = 100_000.0


def round_ml(diameter_cm: float, depth_cm: float) -> float:
    """Return the volume (ml) of a straight-sided round tin."""
    return math.pi * diameter_cm**2 / 4 * depth_cm


def box_ml(length_cm: float, width_cm: float, depth_cm: float) -> float:
    """Return the volume (ml) of a straight-sided box."""
    return length_cm * width_cm * depth_cm


def tapered_ml(
    top_length_cm: float, top_width_cm: float, bottom_length_cm: float, bottom_width_cm: float, depth_cm: float
) -> float:
    """Return the volume (ml) of a tin that is wider at the top: the prismoidal rule, exact for flat walls."""
    top, bottom = top_length_cm * top_width_cm, bottom_length_cm * bottom_width_cm
    middle = (top_length_cm + bottom_length_cm) / 2 * (top_width_cm + bottom_width_cm) / 2
    return depth_cm * (top + 4 * middle + bottom) / 6


def tapered_round_ml(top_cm: float, bottom_cm: float, depth_cm: float) -> float:
    """Return the volume (ml) of a round tin that is wider at the top."""
    return math.pi / 12 * depth_cm * (top_cm**2 + top_cm * bottom_cm + bottom_cm**2)


_NUMBER = r"([0-9]+(?:\.[0-9]+)?)"
_BY = r"\s*[x×]\s*"
_UNIT = f"({'|'.join(spellings(Dimension.SIZE))})"
_SHAPES = {
    "round": re.compile(rf"round\s+{_NUMBER}{_BY}{_NUMBER}\s*{_UNIT}"),
    "box": re.compile(rf"box\s+{_NUMBER}{_BY}{_NUMBER}{_BY}{_NUMBER}\s*{_UNIT}"),
    "tapered round": re.compile(rf"tapered\s+{_NUMBER}\s*/\s*{_NUMBER}{_BY}{_NUMBER}\s*{_UNIT}"),
    "tapered": re.compile(rf"tapered\s+{_NUMBER}{_BY}{_NUMBER}\s*/\s*{_NUMBER}{_BY}{_NUMBER}{_BY}{_NUMBER}\s*{_UNIT}"),
}
_VOLUMES: dict[str, Callable[..., float]] = {
    "round": round_ml,
    "box": box_ml,
    "tapered round": tapered_round_ml,
    "tapered": tapered_ml,
}


def read_tin_ml(text: str) -> float:
    """Return the volume (ml) of a tin told in words.

    "round 20 x 7 cm" (across, deep), "box 25 x 11 x 8 cm" (long, wide, deep), "tapered 23 x 11 / 21 x 10 x 7 cm" (top /
    bottom x deep), "tapered 20 / 16 x 7 cm" (round: across the top / bottom x deep); or a volume, such as "1600 ml".
    Raises Failure: none of these, or a tin that no oven holds.
    """
    plain = text.strip().casefold()
    for shape, pattern in _SHAPES.items():
        match = pattern.fullmatch(plain)
        if match:
            *numbers, unit = match.groups()
            return _sound(_VOLUMES[shape](*(_size_cm(number, unit, text) for number in numbers)), text)
    try:
        return _sound(read_quantity(text, Dimension.VOLUME), text)
    except QuantityError as wrong:
        raise _not_clear(text) from wrong


def _size_cm(number: str, unit: str, text: str) -> float:
    try:
        return read_quantity(f"{number} {unit}", Dimension.SIZE)
    except QuantityError as wrong:
        raise _not_clear(text) from wrong


def _not_clear(text: str) -> Failure:
    return Failure(
        f'The tin "{visible(text)}" is not clear.',
        as_counted(
            f'Write "{example(Dimension.VOLUME)}", "round ‹20 x 7 cm›", "box ‹25 x 11 x 8 cm›", '
            '"tapered ‹23 x 11 / 21 x 10 x 7 cm›" or, for a round one, "tapered ‹20 / 16 x 7 cm›".'
        ),
    )


def _sound(volume_ml: float, text: str) -> float:
    if not 10 <= volume_ml <= LARGEST_ML:
        raise Failure(f'The tin "{visible(text)}" would hold {volume_ml:.0f} ml.', "Give a tin of 10 ml to 100 litres.")
    return volume_ml
