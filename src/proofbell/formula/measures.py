"""The kinds of value that are quantities: "25 °C", ["50 min", "100 min"], "room", "start"."""

from __future__ import annotations

from collections.abc import Callable

from proofbell import words
from proofbell.formula.findings import Findings
from proofbell.formula.kinds import BAD, Bad, Schema, Text, called, shown
from proofbell.formula.text.positions import Path
from proofbell.frozen import dataclass
from proofbell.quantities import Dimension, QuantityError, example, kept_unit, read_quantity, spellings, usual_unit

_SAY: dict[Dimension, Callable[[float], str]] = {
    Dimension.TEMPERATURE: words.temperature,
    Dimension.DIFFERENCE: words.difference,
    Dimension.MASS: words.grams,
    Dimension.TIME: words.length,
    Dimension.VOLUME: words.volume,
    Dimension.LENGTH: words.height,
    Dimension.PERCENT: words.percent,
}


def say(value: float, dimension: Dimension) -> str:
    """Say a value of any dimension with its unit."""
    return _SAY[dimension](value) if dimension in _SAY else f"{value:g} {kept_unit(dimension)}"


@dataclass(frozen=True, slots=True)
class Measure:
    """A quantity from ``least`` to ``most``, in the unit that the program uses; ``above`` leaves ``least`` out."""

    dimension: Dimension
    least: float
    most: float
    above: bool = False

    def read(self, value: object, path: Path, findings: Findings) -> float | Bad:
        """Return the number in °C, K, g, s, ml, m, % or hPa."""
        if not isinstance(value, str):
            self._refuse_type(value, path, findings)
            return BAD
        try:
            number = read_quantity(value, self.dimension)
        except QuantityError as error:
            findings.error(path, error.message, error.remedy)
            return BAD
        if number < self.least or (self.above and number == self.least):
            low = say(self.least, self.dimension)
            said = f"not more than {low}" if self.above else f"below {low}, the least there can be here"
            findings.error(path, f"{shown(value)} is {said}.", self._span())
            return BAD
        if number > self.most:
            high = say(self.most, self.dimension)
            findings.error(path, f"{shown(value)} is above {high}, the most there can be here.", self._span())
            return BAD
        return number

    def _span(self) -> str:
        low, high = say(self.least, self.dimension), say(self.most, self.dimension)
        return f"Write more than {low} and at most {high}." if self.above else f"Write {low} to {high}."

    def _refuse_type(self, value: object, path: Path, findings: Findings) -> None:
        sample = example(self.dimension)
        if isinstance(value, int | float) and not isinstance(value, bool):
            unit = usual_unit(self.dimension)
            message = f"The number {shown(value)} does not say which unit."
            findings.error(path, message, f'Write "{shown(value)} {unit}", in quotation marks and with the unit.')
            return
        message = f"{self.dimension.value.capitalize()} is wanted here; this is {called(value)}."
        findings.error(path, message, f'Write it like "{sample}".')

    def schema(self) -> Schema:
        """A string of a number and one of the units; of several for times and weights."""
        return {"type": "string", "pattern": pattern(self.dimension)}


@dataclass(frozen=True, slots=True)
class MeasureOrName:
    """A quantity, or a name that begins with a letter."""

    measure: Measure
    most: int

    def read(self, value: object, path: Path, findings: Findings) -> float | str | Bad:
        """Return the number in the program's unit, or the name."""
        if isinstance(value, str) and value.strip()[:1].isalpha():
            return Text(self.most).read(value, path, findings)
        return self.measure.read(value, path, findings)

    def schema(self) -> Schema:
        name = {"type": "string", "maxLength": self.most, "pattern": r"^\s*[^\W\d_][^\n\t]*$"}
        return {"anyOf": [self.measure.schema(), name]}


def pattern(dimension: Dimension) -> str:
    """Return the regular expression of the quantities of one dimension (ECMA 262, as JSON Schema wants it)."""
    units = "|".join(spellings(dimension))
    space = "[ \\u00a0\\u2009\\u202f]*"
    number = r"([0-9]+(\.[0-9]+)?|\.[0-9]+)"
    sign = "[-+\\u2212]?"
    if dimension in (Dimension.TIME, Dimension.MASS):
        return f"^{space}({sign}{number}{space}({units}){space})+$"
    return f"^{space}{sign}{number}{space}({units}){space}$"


@dataclass(frozen=True, slots=True)
class Pair:
    """Two quantities, the lower one first."""

    measure: Measure

    def read(self, value: object, path: Path, findings: Findings) -> tuple[float, float] | Bad:
        low = example(self.measure.dimension)
        if not isinstance(value, list) or len(value) != 2:
            what = f"this list has {len(value)}" if isinstance(value, list) else f"this is {called(value)}"
            findings.error(path, f"Two values are wanted here, low and high; {what}.", f'Write ["{low}", "…"].')
            return BAD
        read = [self.measure.read(item, (*path, index), findings) for index, item in enumerate(value)]
        first, second = read
        if isinstance(first, Bad) or isinstance(second, Bad):
            return BAD
        if first > second:
            message = f"{shown(value[0])} is above {shown(value[1])}."
            findings.error(path, message, f"Put the lower one first: [{shown(value[1])}, {shown(value[0])}].")
            return BAD
        return first, second

    def schema(self) -> Schema:
        return {"type": "array", "items": self.measure.schema(), "minItems": 2, "maxItems": 2}


@dataclass(frozen=True, slots=True)
class WordOr:
    """One of a few words, or a quantity: ``"room"`` or ``"18 °C"``; ``"start"`` or ``"30 min"``."""

    words: tuple[str, ...]
    measure: Measure

    def read(self, value: object, path: Path, findings: Findings) -> str | float | Bad:
        if isinstance(value, str) and value in self.words:
            return value
        if isinstance(value, str) and not any(character.isdigit() for character in value):
            near = findings.nearest(value, self.words)
            hint = f'Did you mean "{near}"? ' if near else ""
            options = ", ".join(f'"{word}"' for word in self.words)
            dimension = self.measure.dimension
            remedy = f'{hint}One of: {options}, or {dimension.value} such as "{example(dimension)}".'
            findings.error(path, f"{shown(value)} is not known here.", remedy)
            return BAD
        return self.measure.read(value, path, findings)

    def schema(self) -> Schema:
        return {"anyOf": [{"enum": list(self.words)}, self.measure.schema()]}


@dataclass(frozen=True, slots=True)
class Later:
    """A quantity, or with ``pair`` two, whose dimension another field decides; kept as written until that is known."""

    dimensions: tuple[Dimension, ...]
    pair: bool = False

    def read(self, value: object, path: Path, findings: Findings) -> str | list[object] | Bad:
        """Return what is written when its sort is right."""
        if self.pair and isinstance(value, list):
            return value
        if not self.pair and isinstance(value, str):
            return value
        wanted = "Two values are" if self.pair else "A quantity in quotation marks is"
        sample = '["24 °C", "26 °C"]' if self.pair else '"24 °C"'
        findings.error(path, f"{wanted} wanted here; this is {called(value)}.", f"Write it like {sample}.")
        return BAD

    def schema(self) -> Schema:
        one: Schema = {"anyOf": [{"type": "string", "pattern": pattern(each)} for each in self.dimensions]}
        return {"type": "array", "items": one, "minItems": 2, "maxItems": 2} if self.pair else one


NONE = "none"


@dataclass(frozen=True, slots=True)
class NoneOr:
    """``"none"``, where there is nothing to give; or a pair of quantities."""

    pair: Pair

    def read(self, value: object, path: Path, findings: Findings) -> str | tuple[float, float] | Bad:
        if isinstance(value, str) and value.strip().casefold() == NONE:
            return NONE
        return self.pair.read(value, path, findings)

    def schema(self) -> Schema:
        return {"anyOf": [{"const": NONE}, self.pair.schema()]}
