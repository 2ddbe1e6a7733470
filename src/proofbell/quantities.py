"""Units at the door: "25 °C", "1 h 30 min", "2.6 oz" become plain floats in °C, K, g, s, ml, cm, m, % or hPa.

Every door reads by this one parser and this one table: formula and kitchen file, command line, readings, tins and
fields. Files want the unit (`read_quantity`); at the bench a bare number will do (`read_typed`), and to a command in a
kitchen of °F or oz (`as_counted_here`). Inside the program only floats travel, and their names carry the unit. Where a
unit only has another size, the table's size is the conversion; pint does those between scales that begin at different
zeros, and is imported for the first of them, since that takes as long as a whole command. Arithmetic is on fractions,
so "32 °F" is 0 °C exactly.

Unit sizes: NIST Handbook 44, Appendix C (pound, ounce, inch, foot by definition; the fluid ounce of the US), and
NIST SP 811, B.8.
"""

from __future__ import annotations

import difflib
import re
from enum import Enum
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Any

from proofbell.frozen import dataclass
from proofbell.units import FLUID_OUNCE_ML, FOOT_M, INCH_CM, typed_in
from proofbell.visible import visible

if TYPE_CHECKING:
    import pint

LONGEST = 60
MOST_DIGITS = 20
ABSOLUTE_ZERO_C = -273.15


class Dimension(Enum):
    """What a field holds. A temperature reading and a difference of temperatures are not the same thing.

    Nor are a height above the sea and a length in the kitchen, or a volume in a file and a mark on a jar: each is
    written in units of its own.
    """

    TEMPERATURE = "a temperature"
    DIFFERENCE = "a difference of temperatures"
    MASS = "a weight"
    TIME = "a length of time"
    VOLUME = "a volume"
    JAR = "a volume in a jar"
    LENGTH = "a height"
    SIZE = "a size"
    PERCENT = "a percentage"
    PRESSURE = "an air pressure"


class QuantityError(ValueError):
    """A text that is no quantity of the wanted dimension: what is wrong, and how to put it right."""

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy


class OtherDimensionError(QuantityError):
    """A quantity, but of another dimension; ``unit`` is how it was written."""

    def __init__(self, message: str, remedy: str, unit: str) -> None:
        super().__init__(message, remedy)
        self.unit = unit


@dataclass(frozen=True, slots=True)
class _Unit:
    """One unit.

    Attributes:
        spellings: how it is written, the usual way first.
        name: what pint calls it.
        dimensions: what it measures.
        size: in the unit of its dimension that the program uses.
        zero_k: where its scale begins, for a temperature.
        typed: how it may be written at the bench besides; few keyboards have the sign of a degree.
    """

    spellings: tuple[str, ...]
    name: str
    dimensions: tuple[Dimension, ...]
    size: Fraction = Fraction(1)
    zero_k: Fraction | None = None
    typed: tuple[str, ...] = ()


_DEGREES = (Dimension.TEMPERATURE, Dimension.DIFFERENCE)
_VOLUMES = (Dimension.VOLUME, Dimension.JAR)
_FIFTHS = Fraction(5, 9)
_POUND_G = Fraction("453.59237")

_UNITS = (
    _Unit(("°C", "degC"), "celsius", _DEGREES, zero_k=Fraction("273.15"), typed=("°c", "C", "c")),
    _Unit(("°F", "degF"), "fahrenheit", _DEGREES, _FIFTHS, Fraction("459.67") * _FIFTHS, ("°f", "F", "f")),
    _Unit(("K",), "kelvin", (Dimension.DIFFERENCE,)),
    _Unit(("kg",), "kilogram", (Dimension.MASS,), Fraction(1000)),
    _Unit(("g",), "gram", (Dimension.MASS,)),
    _Unit(("lb",), "pound", (Dimension.MASS,), _POUND_G),
    _Unit(("oz",), "ounce", (Dimension.MASS,), _POUND_G / 16),
    _Unit(("d",), "day", (Dimension.TIME,), Fraction(24 * 3600)),
    _Unit(("h",), "hour", (Dimension.TIME,), Fraction(3600)),
    _Unit(("min",), "minute", (Dimension.TIME,), Fraction(60)),
    _Unit(("s",), "second", (Dimension.TIME,)),
    _Unit(("l", "L"), "liter", _VOLUMES, Fraction(1000)),
    _Unit(("dl",), "deciliter", (Dimension.JAR,), Fraction(100)),
    _Unit(("fl oz",), "US_fluid_ounce", (Dimension.VOLUME,), Fraction(str(FLUID_OUNCE_ML))),
    _Unit(("ml", "mL"), "milliliter", _VOLUMES),
    _Unit(("m",), "meter", (Dimension.LENGTH,)),
    _Unit(("ft",), "foot", (Dimension.LENGTH,), Fraction(str(FOOT_M))),
    _Unit(("cm",), "centimeter", (Dimension.SIZE,)),
    _Unit(("mm",), "millimeter", (Dimension.SIZE,), Fraction(1, 10)),
    _Unit(("in",), "inch", (Dimension.SIZE,), Fraction(str(INCH_CM))),
    _Unit(("%",), "percent", (Dimension.PERCENT,)),
    _Unit(("hPa",), "hectopascal", (Dimension.PRESSURE,)),
    _Unit(("kPa",), "kilopascal", (Dimension.PRESSURE,), Fraction(10)),
    _Unit(("mbar",), "millibar", (Dimension.PRESSURE,)),
    _Unit(("inHg",), "inch_of_mercury", (Dimension.PRESSURE,), Fraction("33.86389")),
)
"""Large before small, as a sum is written. 1 inHg (conventional) = 3.386389 kPa: NIST SP 811, B.8."""


@dataclass(frozen=True, slots=True)
class _Told:
    """How a dimension is written and kept.

    Attributes:
        unit: what the program counts in, by pint's name.
        usual: the unit that a bare number most likely meant.
        example: a quantity as people write it.
    """

    unit: str
    usual: str
    example: str


_DIMENSIONS = {
    Dimension.TEMPERATURE: _Told("celsius", "°C", "25 °C"),
    Dimension.DIFFERENCE: _Told("kelvin", "°C", "1.5 °C"),
    Dimension.MASS: _Told("gram", "g", "75 g"),
    Dimension.TIME: _Told("second", "min", "50 min"),
    Dimension.VOLUME: _Told("milliliter", "ml", "1600 ml"),
    Dimension.JAR: _Told("milliliter", "ml", "400 ml"),
    Dimension.LENGTH: _Told("meter", "m", "350 m"),
    Dimension.SIZE: _Told("centimeter", "cm", "6 cm"),
    Dimension.PERCENT: _Told("percent", "%", "2 %"),
    Dimension.PRESSURE: _Told("hectopascal", "hPa", "1013 hPa"),
}

_ELSEWHERE = {
    (Dimension.TEMPERATURE, "°F"): "77 °F",
    (Dimension.DIFFERENCE, "°F"): "3 °F",
    (Dimension.MASS, "oz"): "2.6 oz",
    (Dimension.VOLUME, "fl oz"): "54 fl oz",
    (Dimension.LENGTH, "ft"): "1200 ft",
}

_WITH_OUNCES = {Dimension.MASS: "oz", Dimension.VOLUME: "fl oz", Dimension.LENGTH: "ft"}
"""What goes with ounces, where those are weighed."""

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
_TYPED_COMMA = re.compile(r"(?<![0-9.,]),(?=[0-9])|(?<=[0-9]),(?=[0-9])")
_TYPED = re.compile(r"([+-]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+))\s*(.*)")


def spellings(dimension: Dimension) -> tuple[str, ...]:
    """Every way to write a unit of one dimension, the usual one first."""
    return tuple(s for unit in _UNITS if dimension in unit.dimensions for s in unit.spellings)


def units_typed(dimension: Dimension) -> tuple[str, ...]:
    """Every way to write a unit that is short enough to be typed at the bench."""
    return tuple(s for unit in _UNITS if dimension in unit.dimensions for s in (unit.spellings[0], *unit.typed))


def usual_unit(dimension: Dimension) -> str:
    """The unit that a bare number most likely meant, in a kitchen that counts as this one does."""
    if dimension in _DEGREES:
        return typed_in().temperature
    usual = _DIMENSIONS[dimension].usual
    return usual if typed_in().weight == "g" else _WITH_OUNCES.get(dimension, usual)


def kept_unit(dimension: Dimension) -> str:
    """The unit that the program keeps it in; times are kept in s, whatever is usual."""
    return "s" if dimension is Dimension.TIME else _DIMENSIONS[dimension].usual


def example(dimension: Dimension) -> str:
    """Give one quantity of the dimension, as people write it in a kitchen that counts as this one does."""
    return _ELSEWHERE.get((dimension, usual_unit(dimension)), _DIMENSIONS[dimension].example)


def in_full(typed: str, dimension: Dimension) -> str:
    """What was typed at the bench as a file has it: the usual unit behind a bare number, and a comma as a point."""
    plain = _TYPED_COMMA.sub(".", typed.replace("\u2212", "-").strip())
    match = _TYPED.fullmatch(plain)
    if match is None:
        return plain
    number, unit_text = match.groups()
    unit_text = unit_text.replace("° ", "°")
    meant = next((unit for unit in _UNITS if dimension in unit.dimensions and unit_text in unit.typed), None)
    return f"{number} {meant.spellings[0] if meant else unit_text or usual_unit(dimension)}"


def as_counted_here(text: str, dimension: Dimension) -> str:
    """What a command was given: by a bare number a kitchen that counts in °F or oz means those; others say the unit."""
    return in_full(text, dimension) if usual_unit(dimension) != _DIMENSIONS[dimension].usual else text


def read_typed(typed: str, dimension: Dimension) -> float:
    """Read what was typed at the bench, as `in_full` has it. Raises QuantityError: as `read_quantity`."""
    return read_quantity(in_full(typed, dimension), dimension)


def read_named_weight(text: str) -> tuple[str, float]:
    """Read ``butter 200 g`` or ``butter = 200 g``: the name, and the weight (g).

    Raises QuantityError: there is no name or no weight.
    """
    name, sign, amount = text.rpartition("=")
    if not sign:
        cut = next((index for index, character in enumerate(text) if character.isdigit()), len(text))
        name, amount = text[:cut], text[cut:]
    if not name.strip() or not amount.strip():
        message = f'"{visible(text, most=60)}" does not say what there is, and how much.'
        raise QuantityError(message, 'Write the ingredient and a weight, such as "butter=200 g".')
    return name.strip(), read_typed(amount, Dimension.MASS)


def read_quantity(text: str, dimension: Dimension) -> float:
    """Read ``text`` as a quantity: °C, K, g, s, ml, cm, m, % or hPa, by the dimension.

    Times and weights may be sums from the large unit to the small one: "1 h 30 min", "1 lb 8 oz". Raises QuantityError:
    no quantity, a unit that is missing, unknown or of another dimension, a number that is not finite, or a temperature
    below absolute zero.
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
        parts.append((number, _unit(unit_text.strip(_SPACES), f"{sign}{digits}", text, dimension)))
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
        '"1 h 30 min".' if dimension is Dimension.TIME else '"1 lb 8 oz".' if summable else f'"{example(dimension)}".'
    )
    raise QuantityError(f'"{visible(text)}" cannot be added up.', how + told)


def _unit(unit_text: str, digits: str, text: str, dimension: Dimension) -> _Unit:
    for unit in _UNITS:
        if unit_text in unit.spellings:
            if dimension in unit.dimensions:
                return unit
            what = unit.dimensions[0].value
            message = f'"{visible(text)}" is {what}; here {dimension.value} is wanted.'
            raise OtherDimensionError(message, _write_like(dimension), unit_text)
    if not unit_text:
        usual = usual_unit(dimension)
        # Of a bare 78 nobody can say whether a room of a kitchen in °C was meant.
        other = {"°C": "°F", "°F": "°C"}.get(usual)
        either = f'"{digits} {usual}"' + (f' or "{digits} {other}"' if other else "")
        raise QuantityError(f'"{visible(text)}" does not say which unit.', f"Write {either}, with the unit.")
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
    return f'Write a number and a unit, such as "{example(dimension)}" ({", ".join(spellings(dimension))}).'


def _convert(number: Fraction, unit: _Unit, dimension: Dimension) -> Fraction:
    wanted, name = _DIMENSIONS[dimension].unit, unit.name
    if name == wanted:
        return number
    if dimension is not Dimension.TEMPERATURE:
        return number * unit.size
    magnitude: Any = _registry().Quantity(number, name).to(wanted).magnitude
    return Fraction(magnitude)


@cache
def _registry() -> pint.UnitRegistry[Any]:
    """A registry with the table's temperatures only; exact, because every number in it is a fraction."""
    import pint

    registry: pint.UnitRegistry[Any] = pint.UnitRegistry(None, non_int_type=Fraction)
    registry.define("kelvin = [kelvin]")
    for unit in _UNITS:
        if unit.zero_k is not None:
            size, zero = (f"{each.numerator} / {each.denominator}" for each in (unit.size, unit.zero_k))
            registry.define(f"{unit.name} = {size} * kelvin; offset: {zero}")
    return registry
