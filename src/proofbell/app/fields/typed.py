"""What is typed into a field of a screen: a number with or without its unit, or a whole number."""

from __future__ import annotations

import re

from proofbell.formula.measures import say
from proofbell.formula.stages import LONGEST_STAGE_S
from proofbell.quantities import Dimension, QuantityError, kept_unit, read_typed, usual_unit
from proofbell.visible import visible

_HOURS_MINUTES = re.compile(r"(\d{1,3})\s*(?:h|:)\s*(\d{1,2})")
_BARE = re.compile(r"\d{1,5}(?:[.,]\d{1,2})?")


def quantity(text: str, dimension: Dimension, least: float, most: float) -> float | None:
    """Read what was typed as °C, g, s and so on; None for an empty field. A comma counts as a point.

    Raises QuantityError: it is none, or lies outside ``least`` to ``most``.
    """
    if not text.strip():
        return None
    return within(read_typed(text, dimension), text, dimension, least, most)


def within(value: float, text: str, dimension: Dimension, least: float, most: float) -> float:
    """The value, when it lies from ``least`` to ``most``. Raises QuantityError: it does not."""
    if least <= value <= most:
        return value
    bounds = f"{least:.10g} and {most:.10g} {kept_unit(dimension)}"
    if dimension is Dimension.TIME or usual_unit(dimension) != kept_unit(dimension):
        bounds = f"{say(least, dimension)} and {say(most, dimension)}"
    raise QuantityError(f'"{visible(text.strip(), most=20)}" is not between {bounds}.')


def whole(text: str, least: int, most: int) -> int | None:
    """Read a whole number; None for an empty field.

    Raises QuantityError: it is none, or lies outside ``least`` to ``most``.
    """
    plain = text.strip()
    if not plain:
        return None
    if re.fullmatch(r"[-−][0-9]{1,6}", plain):
        raise QuantityError(f'"{visible(plain, most=20)}" must be more than {least - 1}.')
    if not re.fullmatch(r"[0-9]{1,6}", plain):
        raise QuantityError(f'"{visible(plain, most=20)}" is not a whole number.')
    value = int(plain)
    if not least <= value <= most:
        raise QuantityError(f"{value} is not between {least} and {most}.")
    return value


def typed_length_s(text: str, most_s: float = LONGEST_STAGE_S) -> float | None:
    """Read a length as a baker types one (s): ``40`` is minutes, ``1 h 20`` and ``1:20`` too; None for nothing.

    Raises QuantityError: it is no length, or longer than ``most_s``.
    """
    plain = text.strip()
    if both := _HOURS_MINUTES.fullmatch(plain):
        plain = f"{both[1]} h {both[2]} min"
    elif _BARE.fullmatch(plain):
        plain = f"{plain} min"
    return quantity(plain, Dimension.TIME, 0.0, most_s)
