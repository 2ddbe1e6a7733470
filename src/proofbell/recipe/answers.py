"""What the baker says to the guesses: kept by line and field, so that an answer outlives what is typed elsewhere."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from proofbell.errors import Failure
from proofbell.formula.ingredients import ALLERGENS
from proofbell.frozen import dataclass
from proofbell.quantities import Dimension, QuantityError, read_quantity, read_typed
from proofbell.recipe.model import Guess, Takes

YES: Final = "yes"
"""The guess is right as it stands."""

NO_INGREDIENT: Final = "no ingredient"
"""The guess's line names nothing that goes into the dough or on it: it is left out."""

Key = tuple[str, str]
"""The words of the guess's line ("" for the recipe as a whole), and its field."""

_MEASURES: Final[Mapping[Takes, tuple[Dimension, str, float, float]]] = {
    "weight": (Dimension.MASS, "g", 0.01, 100_000),
    "percent": (Dimension.PERCENT, "%", 0.001, 1000),
    "temperature": (Dimension.TEMPERATURE, "°C", -20, 400),
    "time": (Dimension.TIME, "s", 1, 7 * 86400),
}


@dataclass(frozen=True, slots=True)
class Answers:
    """All answers to one recipe; ``lines`` are those of its text as it is now."""

    said: Mapping[Key, str]
    lines: tuple[str, ...]

    @classmethod
    def to(cls, text: str, said: Mapping[Key, str] | None) -> Answers:
        return cls(said or {}, tuple(line.strip() for line in text.split("\n")))

    def key(self, line: int, field: str) -> Key:
        """What an answer is kept by."""
        return (self.lines[line - 1] if 0 < line <= len(self.lines) else ""), field

    def of(self, line: int, field: str) -> str:
        """What was said; empty: nothing."""
        return self.said.get(self.key(line, field), "")

    def left_out(self) -> frozenset[int]:
        """The lines (from 1) that were said to be no ingredients."""
        gone = {line for (line, _), answer in self.said.items() if answer == NO_INGREDIENT and line}
        return frozenset(number for number, line in enumerate(self.lines, 1) if line in gone)

    def number(self, line: int, field: str, takes: Takes) -> float | None:
        """What was said as g, percent, °C or s; None where it is no such quantity."""
        return number(self.of(line, field), takes)

    def agreed(self, guess: Guess) -> Guess:
        """The guess, marked where it was said to be right."""
        yes = self.of(guess.line, guess.field) == YES and may_be_right(guess)
        return replace(guess, said=YES) if yes and not guess.said else guess


def may_be_right(guess: Guess) -> bool:
    """Whether one can say yes to it: there is a value, or it takes nothing else."""
    return guess.takes == "yes" or (guess.takes != "nothing" and bool(guess.value))


def number(said: str, takes: Takes) -> float | None:
    """An answer as g, percent, °C or s; None where it is no such quantity."""
    if not said or takes not in _MEASURES:
        return None
    dimension, _, least, most = _MEASURES[takes]
    try:
        value = read_quantity(said, dimension)
    except QuantityError:
        return None
    return value if least <= value <= most else None


def read_answer(guess: Guess, typed: str) -> str:
    """Return what was typed as an answer to a guess, in the one way in which answers are kept.

    Raises Failure: it is none.
    """
    word = " ".join(typed.split()).casefold()
    if word == YES and may_be_right(guess):
        return YES
    if word in ("x", NO_INGREDIENT) and guess.may_go:
        return NO_INGREDIENT
    fitting = [each for each in guess.options if each.casefold().startswith(word)]
    exact = [each for each in fitting if each.casefold() == word]
    if word and (exact or len(fitting) == 1):
        return (exact or fitting)[0]
    if guess.takes == "allergens" and word:
        return _allergens(word)
    if guess.takes not in _MEASURES:
        told = f"Type {' or '.join(guess.options)}." if guess.options else "Say yes to it, or change the recipe's text."
        raise Failure("This is no answer here.", told)
    dimension, unit, least, most = _MEASURES[guess.takes]
    try:
        value = read_typed(typed, dimension)
    except QuantityError as error:
        also = f" Or type {', '.join(guess.options)}." if guess.options else ""
        raise Failure(error.message, f"{error.remedy}{also}".strip()) from error
    if not least <= value <= most:
        raise Failure("This is far from anything that a recipe could mean.", "Look at the number and its unit.")
    return f"{value:.6g} {unit}"


def _allergens(typed: str) -> str:
    said = [each.strip() for each in typed.split(",") if each.strip()]
    unknown = [each for each in said if each not in ALLERGENS]
    if unknown or not said:
        raise Failure("This is no allergen that the law names.", f"None, or out of: {', '.join(ALLERGENS)}.")
    return ", ".join(said)
