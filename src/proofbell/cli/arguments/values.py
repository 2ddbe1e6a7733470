"""Reads the value behind a flag in one way for all commands; a refusal names the flag."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from proofbell.app.fields.typed import typed_length_s
from proofbell.errors import Failure
from proofbell.quantities import Dimension, QuantityError, as_counted_here, read_named_weight, read_quantity
from proofbell.visible import visible

T = TypeVar("T")


_DIGITS = 6


def quantity(text: str | None, dimension: Dimension, flag: str) -> float | None:
    """Read a quantity as this kitchen counts, in °C, K, g, s, m or hPa; None without the flag.

    Raises Failure: it is no such quantity.
    """
    return None if text is None else _read(lambda: read_quantity(as_counted_here(text, dimension), dimension), flag)


def minutes(text: str, flag: str) -> float:
    """Read a length of time as at the bench (s): ``10`` is minutes, ``1 h 20`` and ``1:20`` too.

    Raises Failure: it is none, or nothing.
    """
    found = _read(lambda: typed_length_s(text), flag)
    if not found:
        raise Failure(f"{flag}: {visible(text, most=40)!r} is no length of time.", "Write minutes, such as 10.")
    return found


def named_weight(text: str | None, flag: str) -> tuple[str, float] | None:
    """Read ``butter=200 g`` as a name and a weight (g); None without the flag. Raises Failure: it is none."""
    return None if text is None else _read(lambda: read_named_weight(text), flag)


def pieces(text: str | None, flag: str = "--pieces") -> int | None:
    """Read a number of pieces, or with another ``flag`` of something else; None without the flag.

    Raises Failure: it is no whole number.
    """
    if text is None:
        return None
    number = text.isascii() and text.isdecimal()
    if number and len(text) > _DIGITS and flag != "--pieces":
        raise Failure(f"{flag}: {visible(text, most=40)} is too many.", f"The greatest number is {10**_DIGITS - 1}.")
    # How many pieces can be goes by their weight: that is refused, with the number, where the size is worked out.
    if not (number and 1 <= len(text) <= 2 * _DIGITS):
        message = f'{flag}: "{visible(text, most=40)}" is not a number of {flag[2:]}.'
        raise Failure(message, "Write a whole number, 1 or more.")
    if int(text) == 0:
        raise Failure(f"{flag} must be at least 1.", "Write a whole number, 1 or more.")
    return int(text)


def _read(read: Callable[[], T], flag: str) -> T:
    try:
        return read()
    except QuantityError as wrong:
        raise Failure(f"{flag}: {wrong.message}", wrong.remedy) from wrong
