"""What is typed into a field of a screen: a number with or without its unit, or a whole number."""

from __future__ import annotations

import re

from proofbell.journal.reviews.moments import local
from proofbell.quantities import USUAL_UNIT, Dimension, QuantityError, read_quantity
from proofbell.visible import visible

__all__ = ["local", "quantity", "whole"]

_BARE = re.compile(r"[-+−]?\d{1,7}(?:[.,]\d{1,4})?")
_DEGREES = re.compile(r"^([-+−]?[0-9.]+) ?°? ?([FfCc])$")
"""Few keyboards have the sign of a degree."""
_COMMA = re.compile(r"(?<=\d),(?=\d)")


def quantity(text: str, dimension: Dimension, least: float, most: float) -> float | None:
    """Read what was typed as °C, g, s and so on; None for an empty field. A comma counts as a point.

    Raises:
        QuantityError: it is none, or lies outside ``least`` to ``most``.
    """
    plain = _COMMA.sub(".", text.strip())
    if dimension is Dimension.TEMPERATURE:
        plain = _DEGREES.sub(r"\1 °\2", plain).replace("°f", "°F").replace("°c", "°C")
    if not plain:
        return None
    unit = USUAL_UNIT[dimension]
    bare = plain.removesuffix(unit).strip()
    if _BARE.fullmatch(bare) and dimension is not Dimension.TIME:
        value = float(bare.replace("−", "-"))
    else:
        value = read_quantity(f"{plain} {unit}" if _BARE.fullmatch(plain) else plain, dimension)
    if not least <= value <= most:
        raise QuantityError(f'"{visible(text.strip(), most=20)}" is not between {least:.10g} and {most:.10g} {unit}.')
    return value


def whole(text: str, least: int, most: int) -> int | None:
    """Read a whole number; None for an empty field.

    Raises:
        QuantityError: it is none, or lies outside ``least`` to ``most``.
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
