"""Units at the door: "25 °C", "1 h 30 min", "2.6 oz" become plain floats in °C, K, g, s, ml, m, % or hPa.

Inside the program only floats travel, and their names carry the unit. pint does the conversions, with nothing but
the units of the formula file defined, so that every other unit is an honest refusal. It is imported when the
first quantity is read, not when the program starts. Arithmetic is on fractions, so "32 °F" is 0 °C exactly.

Unit sizes: NIST Handbook 44, Appendix C (pound, ounce, foot, inch of mercury by definition), and NIST SP 811, B.8.
"""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass
from enum import Enum
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Any

from proofbell.visible import visible

if TYPE_CHECKING:
    import pint

LONGEST = 60
MOST_DIGITS = 20
ABSOLUTE_ZERO_C = -273.15


class Dimension(Enum):
    """What a field holds. A temperature reading and a difference of temperatures are not the same thing."""

    TEMPERATURE = "a temperature"
    DIFFERENCE = "a difference of temperatures"
    MASS = "a weight"
    TIME = "a length of time"
    VOLUME = "a volume"
    LENGTH = "a height"
    PERCENT = "a percentage"
    PRESSURE = "an air pressure"


class QuantityError(ValueError):
    """A text that is no quantity of the wanted dimension: what is wrong, and how to put it right."""

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy


@dataclass(frozen=True, slots=True)
class _Unit:
    """One unit: how people write it, what pint calls it, and where it is told apart, as a difference."""

    spellings: tuple[str, ...]
    pint_name: str
    dimensions: tuple[Dimension, ...]
    as_difference: str = ""


_DEGREES = (Dimension.TEMPERATURE, Dimension.DIFFERENCE)

_UNITS = (
    _Unit(("°C", "degC"), "degree_celsius", _DEGREES, "delta_degree_celsius"),
    _Unit(("°F", "degF"), "degree_fahrenheit", _DEGREES, "delta_degree_fahrenheit"),
    _Unit(("K",), "kelvin", (Dimension.DIFFERENCE,), "kelvin"),
    _Unit(("kg",), "kilogram", (Dimension.MASS,)),
    _Unit(("g",), "gram", (Dimension.MASS,)),
    _Unit(("lb",), "pound", (Dimension.MASS,)),
    _Unit(("oz",), "ounce", (Dimension.MASS,)),
    _Unit(("d",), "day", (Dimension.TIME,)),
    _Unit(("h",), "hour", (Dimension.TIME,)),
    _Unit(("min",), "minute", (Dimension.TIME,)),
    _Unit(("s",), "second", (Dimension.TIME,)),
    _Unit(("l", "L"), "liter", (Dimension.VOLUME,)),
    _Unit(("ml", "mL"), "milliliter", (Dimension.VOLUME,)),
    _Unit(("m",), "meter", (Dimension.LENGTH,)),
    _Unit(("ft",), "foot", (Dimension.LENGTH,)),
    _Unit(("%",), "percent", (Dimension.PERCENT,)),
    _Unit(("hPa",), "hectopascal", (Dimension.PRESSURE,)),
    _Unit(("kPa",), "kilopascal", (Dimension.PRESSURE,)),
    _Unit(("mbar",), "millibar", (Dimension.PRESSURE,)),
    _Unit(("inHg",), "inch_of_mercury", (Dimension.PRESSURE,)),
)

# 1 inHg (conventional) = 3.386389 kPa: NIST SP 811, B.8. The litre is written as a base unit of its own, because
# nothing here turns a volume into a length cubed.
_DEFINITIONS = """
kelvin = [temperature]
degree_celsius = kelvin; offset: 273.15
degree_fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9
gram = [mass]
kilogram = 1000 * gram
pound = 453.59237 * gram
ounce = pound / 16
second = [time]
minute = 60 * second
hour = 60 * minute
day = 24 * hour
milliliter = [volume]
liter = 1000 * milliliter
meter = [length]
foot = 0.3048 * meter
percent = [share]
hectopascal = [pressure]
kilopascal = 10 * hectopascal
millibar = hectopascal
inch_of_mercury = 33.86389 * hectopascal
"""

_TARGETS = {
    Dimension.TEMPERATURE: "degree_celsius",
    Dimension.DIFFERENCE: "kelvin",
    Dimension.MASS: "gram",
    Dimension.TIME: "second",
    Dimension.VOLUME: "milliliter",
    Dimension.LENGTH: "meter",
    Dimension.PERCENT: "percent",
    Dimension.PRESSURE: "hectopascal",
}

_EXAMPLES = {
    Dimension.TEMPERATURE: "25 °C",
    Dimension.DIFFERENCE: "1.5 °C",
    Dimension.MASS: "75 g",
    Dimension.TIME: "50 min",
    Dimension.VOLUME: "1600 ml",
    Dimension.LENGTH: "350 m",
    Dimension.PERCENT: "2 %",
    Dimension.PRESSURE: "1013 hPa",
}

USUAL_UNIT: dict[Dimension, str] = {
    Dimension.TEMPERATURE: "°C",
    Dimension.DIFFERENCE: "°C",
    Dimension.MASS: "g",
    Dimension.TIME: "min",
    Dimension.VOLUME: "ml",
    Dimension.LENGTH: "m",
    Dimension.PERCENT: "%",
    Dimension.PRESSURE: "hPa",
}
"""The unit that a bare number most likely meant."""

# What people write, and the spelling that is meant. Looked up after the right spellings.
_NEARLY = {
    "c": "°C", "°c": "°C", "º c": "°C", "ºc": "°C", "º": "°C", "°": "°C", "deg c": "°C", "degc": "°C", "deg": "°C",
    "° c": "°C", "celsius": "°C", "degrees": "°C", "centigrade": "°C", "℃": "°C",
    "f": "°F", "°f": "°F", "ºf": "°F", "° f": "°F", "deg f": "°F", "degf": "°F", "fahrenheit": "°F", "℉": "°F",
    "k": "K", "kelvin": "K",
    "gr": "g", "gm": "g", "gram": "g", "grams": "g", "gramme": "g", "grammes": "g", "kilo": "kg", "kilos": "kg",
    "kgs": "kg", "kilogram": "kg", "kilograms": "kg", "ounce": "oz", "ounces": "oz", "lbs": "lb", "pound": "lb",
    "pounds": "lb", "sec": "s", "secs": "s", "second": "s", "seconds": "s", "mins": "min", "minute": "min",
    "minutes": "min", "hr": "h", "hrs": "h", "hour": "h", "hours": "h", "day": "d", "days": "d",
    "litre": "l", "litres": "l", "liter": "l", "liters": "l", "millilitre": "ml", "millilitres": "ml",
    "milliliter": "ml", "milliliters": "ml", "metre": "m", "metres": "m", "meter": "m", "meters": "m",
    "foot": "ft", "feet": "ft", "'": "ft", "percent": "%", "per cent": "%", "pct": "%", "hpa": "hPa", "kpa": "kPa",
    "mb": "mbar", "inhg": "inHg", "in hg": "inHg",
}  # fmt: skip

_SPACES = " \u00a0\u2009\u202f"
_PART = re.compile(rf"[{_SPACES}]*([+-]?)([0-9]+(?:\.[0-9]+)?|\.[0-9]+)[{_SPACES}]*([^0-9+\-.,]*)")
_COMMA = re.compile(r"^\s*[+-]?[0-9]+,[0-9]+")


def spellings(dimension: Dimension) -> tuple[str, ...]:
    """Every way to write a unit of one dimension, the usual one first."""
    return tuple(s for unit in _UNITS if dimension in unit.dimensions for s in unit.spellings)


def example(dimension: Dimension) -> str:
    """Give one quantity of the dimension, as people write it."""
    return _EXAMPLES[dimension]


def read_quantity(text: str, dimension: Dimension) -> float:
    """Read ``text`` as a quantity: °C, K, g, s, ml, m, % or hPa, by the dimension.

    Times and weights may be sums from the large unit to the small one: "1 h 30 min", "1 lb 8 oz".

    Raises:
        QuantityError: no quantity, a unit that is missing, unknown or of another dimension, a number that is
            not finite, or a temperature below absolute zero.
    """
    if len(text) > LONGEST:
        raise QuantityError(f'"{visible(text, most=30)}" is too long for a quantity.', _write_like(dimension))
    parts = _parts(text, dimension)
    total = sum((_convert(number, unit, dimension) for number, unit in parts), Fraction(0))
    value = float(total)
    if dimension is Dimension.TEMPERATURE and value < ABSOLUTE_ZERO_C:
        raise QuantityError(f'"{visible(text)}" is colder than anything can be.', "Nothing is below −273.15 °C.")
    return value


def _parts(text: str, dimension: Dimension) -> list[tuple[Fraction, _Unit]]:
    plain = text.replace("\u2212", "-").strip(_SPACES)
    if _COMMA.match(plain):
        raise QuantityError(
            f'"{visible(text)}" has a comma in its number.', f'Write a point: "{visible(plain.replace(",", ".", 1))}".'
        )
    parts: list[tuple[Fraction, _Unit]] = []
    position = 0
    while position < len(plain):
        match = _PART.match(plain, position)
        if match is None:
            raise QuantityError(f'"{visible(text)}" is not {dimension.value}.', _write_like(dimension))
        sign, digits, unit_text = match.groups()
        if len(digits) > MOST_DIGITS:
            raise QuantityError(f'The number in "{visible(text)}" has too many digits.', _write_like(dimension))
        number = Fraction(digits) * (-1 if sign == "-" else 1)
        parts.append((number, _unit(unit_text.strip(_SPACES), digits, text, dimension)))
        position = match.end()
    if not parts:
        raise QuantityError("There is nothing written here.", _write_like(dimension))
    _check_sum(parts, plain, text, dimension)
    return parts


def _check_sum(parts: list[tuple[Fraction, _Unit]], plain: str, text: str, dimension: Dimension) -> None:
    """A sum runs from the large unit to the small one and has no signs."""
    if len(parts) == 1:
        return
    order = [_UNITS.index(unit) for _, unit in parts]
    summable = dimension in (Dimension.TIME, Dimension.MASS)
    if summable and order == sorted(set(order)) and not any(sign in plain for sign in "+-"):
        return
    how = (
        "Write the large unit first, each unit once, without signs: " if summable else "Write one number and one unit: "
    )
    told = (
        '"1 h 30 min".' if dimension is Dimension.TIME else '"1 lb 8 oz".' if summable else f'"{_EXAMPLES[dimension]}".'
    )
    raise QuantityError(f'"{visible(text)}" cannot be added up.', how + told)


def _unit(unit_text: str, digits: str, text: str, dimension: Dimension) -> _Unit:
    for unit in _UNITS:
        if unit_text in unit.spellings:
            if dimension in unit.dimensions:
                return unit
            what = unit.dimensions[0].value
            raise QuantityError(
                f'"{visible(text)}" is {what}; here {dimension.value} is wanted.', _write_like(dimension)
            )
    if not unit_text:
        raise QuantityError(
            f'"{visible(text)}" does not say which unit.', f'Write "{digits} {USUAL_UNIT[dimension]}", with the unit.'
        )
    meant = _meant(unit_text, dimension)
    if meant:
        raise QuantityError(f'"{visible(unit_text)}" is not how a unit is written here.', f'Write "{digits} {meant}".')
    allowed = ", ".join(spellings(dimension))
    raise QuantityError(
        f'"{visible(unit_text)}" is not a unit that is known here.', f"Known for {dimension.value}: {allowed}."
    )


def _meant(unit_text: str, dimension: Dimension) -> str:
    low = " ".join(unit_text.casefold().split())
    near = difflib.get_close_matches(low, _NEARLY, n=1, cutoff=0.8) if len(low) > 2 else []
    meant = _NEARLY.get(low) or (_NEARLY[near[0]] if near else "")
    if not meant:
        meant = next((s for s in spellings(dimension) if s.casefold() == low), "")
    return meant if meant in spellings(dimension) else ""


def _write_like(dimension: Dimension) -> str:
    return f'Write a number and a unit, such as "{_EXAMPLES[dimension]}" ({", ".join(spellings(dimension))}).'


def _convert(number: Fraction, unit: _Unit, dimension: Dimension) -> Fraction:
    name = unit.as_difference if dimension is Dimension.DIFFERENCE else unit.pint_name
    magnitude: Any = _registry().Quantity(number, name).to(_TARGETS[dimension]).magnitude
    return Fraction(magnitude)


@cache
def _registry() -> pint.UnitRegistry[Any]:
    """A registry with our units only; exact, because every number in it is a fraction."""
    import pint

    registry: pint.UnitRegistry[Any] = pint.UnitRegistry(None, non_int_type=Fraction)
    for line in _DEFINITIONS.strip().splitlines():
        registry.define(line)
    return registry
