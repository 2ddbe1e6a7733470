"""The units that numbers are told and typed in: °C or °F, g or oz, a clock of 24 h or of 12.

One setting for the whole program, as a language is: whoever loads the kitchen says it once (`use`), and only the words
for numbers (`proofbell.words`) and the readers of what is typed (`proofbell.quantities`) ask for it. Inside, and in
JSON, everything stays in °C, g and s: a command that prints JSON tells in those, and reads a bare number as ever.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Literal

from proofbell.frozen import dataclass

Degrees = Literal["°C", "°F"]
Weights = Literal["g", "oz"]
Hours = Literal["24 h", "12 h"]


@dataclass(frozen=True, slots=True)
class Units:
    """What a kitchen counts in."""

    temperature: Degrees = "°C"
    weight: Weights = "g"
    clock: Hours = "24 h"


METRIC = Units()

_told, _typed = [METRIC], [METRIC]


def use(units: Units, *, told: Units | None = None) -> None:
    """Tell and read numbers so from now on. ``told``: those that are told, where they are others."""
    _told[0], _typed[0] = told or units, units


def used() -> Units:
    """The units that numbers are told in now."""
    return _told[0]


def typed_in() -> Units:
    """The units of a bare number that is typed now."""
    return _typed[0]


@contextmanager
def said_in(units: Units) -> Iterator[None]:
    """Other units for a while, as for a working that is in °C and g by its nature."""
    before, _told[0] = _told[0], units
    try:
        yield
    finally:
        _told[0] = before


def f_from_c(temp_c: float) -> float:
    """From °C to °F."""
    return temp_c * 1.8 + 32


def c_from_f(temp_f: float) -> float:
    """From °F to °C."""
    return (temp_f - 32) / 1.8


def difference_c_from_f(difference_f: float) -> float:
    """Return a difference of °F in °C: a friction factor is one, so no 32 comes off."""
    return difference_f / 1.8


def difference_f_from_c(difference_k: float) -> float:
    """Return a difference of °C in °F."""
    return difference_k * 1.8


OUNCE_G = 453.59237 / 16
"""One ounce in g: the international pound by definition (NIST Handbook 44, Appendix C)."""

INCH_CM = 2.54
"""One inch in cm, by definition (the same handbook)."""
FOOT_M = 0.3048
"""One foot in m, by definition (the same handbook)."""
FLUID_OUNCE_ML = 29.5735295625
"""One fluid ounce of the US in ml (the same handbook)."""
