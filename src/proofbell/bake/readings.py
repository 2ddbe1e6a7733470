"""What a person types at the bench, and whether it can be true."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import get_args

from proofbell.bake.events import Eye
from proofbell.dough.rise import rise_percent_from_height, rise_percent_from_volume
from proofbell.formula.model import ReadingKind, StageKind
from proofbell.formula.readings import LIMITS, READINGS
from proofbell.quantities import Dimension, OtherDimensionError, QuantityError, in_full, read_typed, units_typed

__all__ = ["EYES", "LIMITS", "OR_A_RISE", "READINGS", "ReadingError", "impossible", "is_pair", "is_temperature"]
__all__ += ["begins_a_unit", "kind_meant", "kind_typed", "may_become", "meant_in_f", "odd", "parse_reading"]
__all__ += ["perhaps_degrees", "told_by_unit", "with_its_unit"]

EYES: tuple[Eye, ...] = get_args(Eye)


def _begun(units: tuple[str, ...]) -> str:
    """A pattern for what a unit may be typed as so far."""
    return "|".join(re.escape(unit[:end]) for unit in units for end in range(len(unit), 0, -1))


_BEGUN = r"[-+−]?(?:\d{0,7}|\d{0,7}[.,]\d{0,4})"
_ANY_UNIT = _begun(tuple(unit for dimension in Dimension for unit in units_typed(dimension)))
_IN_A_JAR = {Dimension.SIZE: rise_percent_from_height, Dimension.JAR: rise_percent_from_volume}
"""How a rise follows from two heights in a straight-sided jar, or from two volumes."""

_SIZES = tuple(unit for dimension in _IN_A_JAR for unit in units_typed(dimension))
_SIZE, _SIZE_UNIT = r"\d{1,5}(?:[.,]\d{1,2})?", f"({'|'.join(sorted(_SIZES, key=len, reverse=True))})?"
_PAIR = re.compile(rf"^({_SIZE}) ?{_SIZE_UNIT} (?:to|→) ({_SIZE}) ?{_SIZE_UNIT}$")
_SIZE_BEGUN, _UNIT_PART = r"\d{1,5}(?:[.,]\d{0,2})?", f"(?:{_begun(_SIZES)})?"
_PAIR_BEGUN = re.compile(
    rf"{_SIZE_BEGUN} ?(?:{_UNIT_PART}|{_SIZE_UNIT} (?:t|to ?|→ ?|(?:to|→) {_SIZE_BEGUN} ?{_UNIT_PART})?)"
)
_HOW_A_PAIR = 'type two heights in a straight jar or two volumes, with their unit, such as "6 cm to 10 cm"'
OR_A_RISE = "6 cm to 10 cm in a straight jar, 400 ml to 640 ml, or not yet, ready, too far"


class ReadingError(ValueError):
    """What was typed is no reading of this kind."""


def parse_reading(what: ReadingKind, typed: str) -> float | Eye:
    """Read a number in °C, percent or g, or a judgement of the rise by eye.

    A bare number is in the unit that the kitchen counts in; °F, kg, oz and lb are turned into °C and g. A comma counts
    as a point. Raises ReadingError: with words for the baker.
    """
    words = " ".join(typed.split()).lower()
    if what == "rise" and words in EYES:
        return next(eye for eye in EYES if eye == words)
    if what == "rise" and is_pair(typed):
        return _rise_of_pair(words)
    limits = LIMITS[what]
    try:
        return read_typed(typed, limits.dimension)
    except OtherDimensionError as error:
        raise ReadingError(f"{what} is read in {limits.unit}, not in {error.unit}") from error
    except QuantityError as error:
        raise ReadingError(f"type a number in {limits.unit}" + (f", {OR_A_RISE}" if what == "rise" else "")) from error


def told_by_unit(typed: str) -> ReadingKind | None:
    """What a value is of by how it is written: ``60 %``, two sizes or ``ready`` a rise, ``912 g`` a weight.

    None for a bare number and a temperature: it may be of dough, room or core.
    """
    if is_pair(typed):
        return "rise"
    if typed.strip()[-1:].isdigit():
        return None
    found = next((what for what in READINGS if _reads(what, typed)), None)
    return None if found is None or is_temperature(found) else found


def with_its_unit(what: ReadingKind, typed: str) -> str:
    """What was typed, with the kitchen's unit behind a bare number where that is not °C, % or g: it is kept as text."""
    limits = LIMITS[what]
    plain = typed.strip()
    return in_full(plain, limits.dimension) if plain[-1:].isdigit() and limits.unit != limits.kept_unit else plain


def meant_in_f(what: ReadingKind, typed: str) -> str:
    """``78 °F`` for a bare 78 that cannot be °C, though °F is an ordinary reading of this kind; else nothing."""
    limits, plain = LIMITS[what], typed.strip()
    if limits.unit != "°C" or not plain[-1:].isdigit():
        return ""
    try:
        value_c, in_f = read_typed(plain, limits.dimension), f"{in_full(plain, limits.dimension).split()[0]} °F"
        if impossible(what, value_c) and not odd(what, read_typed(in_f, limits.dimension)):
            return in_f
    except QuantityError:
        pass
    return ""


WARM_C = (15.0, 45.0)
"""A bare number that is so warm may be a dough's or a room's temperature: common practice, no source."""


def perhaps_degrees(typed: str) -> bool:
    """Whether a bare number might as well be the temperature of a dough or a room, in the unit that is usual here."""
    plain = typed.strip()
    try:
        return plain[-1:].isdigit() and WARM_C[0] <= read_typed(plain, Dimension.TEMPERATURE) <= WARM_C[1]
    except QuantityError:
        return False


def is_pair(typed: str) -> bool:
    """Whether a rise was given as two sizes, ``6 cm to 10 cm``: the first when the dough was put in, the second now."""
    return _PAIR.match(" ".join(typed.split()).lower()) is not None


def _rise_of_pair(words: str) -> float:
    """The rise (percent) from two heights in a straight-sided jar, or from two volumes."""
    match = _PAIR.match(words)
    if match is None:
        raise ReadingError(_HOW_A_PAIR)
    first, first_unit, second, second_unit = match.groups()
    # "6 to 10 cm" has its unit once; "6 to 10" might as well be percent.
    units = (first_unit or second_unit, second_unit or first_unit)
    for dimension, percent in _IN_A_JAR.items():
        if all(unit in units_typed(dimension) for unit in units):
            start, now = (read_typed(f"{n} {u}", dimension) for n, u in zip((first, second), units, strict=True))
            if not start > 0:
                raise ReadingError("the dough had a size when it was put in: type that first")
            return percent(now, start)
    raise ReadingError(_HOW_A_PAIR)


def may_become(what: ReadingKind, typed: str) -> bool:
    """Whether what is typed so far can still become a reading of this kind: a number, then its unit."""
    if what == "rise" and _PAIR_BEGUN.fullmatch(typed.lower()):
        return True
    unit = _begun(units_typed(LIMITS[what].dimension))
    return re.fullmatch(rf"{_BEGUN}|{_BEGUN}(?<=[\d.,])\s?(?:{unit})?", typed) is not None


def kind_meant(what: ReadingKind, typed: str, kinds: Iterable[ReadingKind]) -> ReadingKind | None:
    """The first kind that a whole value is of by its unit, where it is none of the kind it was typed as; else None."""
    if typed.strip()[-1:].isdigit() or _reads(what, typed):
        return None
    return next((other for other in kinds if _reads(other, typed)), None)


def _reads(what: ReadingKind, typed: str) -> bool:
    try:
        parse_reading(what, typed)
    except ReadingError:
        return False
    return True


def kind_typed(typed: str, kinds: Iterable[ReadingKind]) -> ReadingKind | None:
    """The first kind of reading that what is typed so far can become; None: it is none of them."""
    return next((what for what in kinds if may_become(what, typed)), None)


def begins_a_unit(typed: str) -> bool:
    """Whether a number is typed with at least the beginning of a unit, of whatever that measures."""
    return re.fullmatch(rf"{_BEGUN}(?<=[\d.,])\s?(?:{_ANY_UNIT})", typed) is not None


def impossible(what: ReadingKind, value: float) -> bool:
    """Whether a value cannot be: the probe is not in the dough, or a digit slipped."""
    low, high = LIMITS[what].possible
    return not low <= value <= high


EXPECTED_K = 8.0
"""So far beside what a check expects a dough's temperature is asked again: common practice, no source."""

COOLED_C = 5.0
"""A loaf that cools gets no colder than a kitchen is: common practice, no source."""

PROOF_C = (10.0, 38.0)
"""Where a dough that proofs in a room or a warm place lies: common practice, no source."""


def odd(
    what: ReadingKind, value: float, expect: tuple[float, float] | None = None, kind: StageKind | None = None
) -> bool:
    """Whether a value is unusual enough to be asked again.

    ``expect`` is what the check expects, ``kind`` the stage it is read in. What is expected is never odd, and a
    dough in the cold may come into it warm.
    """
    if expect is not None and expect[0] <= value <= expect[1]:
        return False
    low, high = LIMITS[what].usual
    if what == "core temperature" and kind == "cool":
        low = COOLED_C  # It is on its way to the room.
    if what == "dough temperature" and kind != "chill":
        if kind in ("proof", "rest") and (expect is None or expect[0] >= PROOF_C[0]):
            low, high = max(low, PROOF_C[0]), min(high, PROOF_C[1])
        if expect is not None:
            low, high = max(low, expect[0] - EXPECTED_K), min(high, expect[1] + EXPECTED_K)
    return not low <= value <= high


def is_temperature(what: ReadingKind) -> bool:
    """Whether the probe's correction applies."""
    return LIMITS[what].dimension is Dimension.TEMPERATURE
