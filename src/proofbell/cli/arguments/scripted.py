"""Readings written into a command line: ``First proof: dough temperature = 27 °C``, ``… = 27 °C at 12 min``."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from proofbell.bake.decisions.adjust import LONGEST_STAGE_S
from proofbell.bake.readings import READINGS
from proofbell.bake.rehearse import Scripted
from proofbell.cli.arguments import values
from proofbell.cli.arguments.known import nearest
from proofbell.errors import Failure
from proofbell.formula.model import Formula, ReadingKind
from proofbell.quantities import Dimension
from proofbell.visible import visible

SHAPE = 'Write it as "STAGE: WHAT = VALUE", such as "First proof: dough temperature = 27 °C".'

SHAPE_AT = 'Write the moment as the time from the start of the stage, such as "62 °C at 12 min".'


def scripted_readings(texts: Sequence[str], formulas: Sequence[Formula]) -> list[Scripted]:
    """Read them all, in order; stage names are told apart without capitals.

    Raises:
        Failure: one is not written so, or names no stage of any of the formulas, or nothing that can be read.
    """
    stages = {stage.name.lower(): stage.name for formula in formulas for stage in formula.stages}
    return [_reading(text, stages) for text in texts]


def _reading(text: str, stages: dict[str, str]) -> Scripted:
    shown = visible(text, most=120)
    # The name of a stage may hold a colon or an equals sign; what is read and its value hold neither.
    stage, colon, rest = text.rpartition(":")
    what, equals, value = rest.partition("=")
    if not (colon and equals and stage.strip() and what.strip() and value.strip()):
        raise Failure(f"--reading: {shown} is not a reading.", SHAPE)
    named = " ".join(stage.split())
    if named.lower() not in stages:
        meant = nearest(named, stages.values())
        known = f"The stages are: {', '.join(stages.values())}."
        raise Failure(
            f"--reading: there is no stage {visible(named, most=80)}.",
            f"Did you mean {meant}? {known}" if meant else known,
        )
    value, at_s = _moment(value)
    return Scripted(stages[named.lower()], reading_kind(what, "--reading"), value, at_s)


def _moment(text: str) -> tuple[str, float | None]:
    """A value and how far into its stage it is read (s), where that is said: ``62 °C at 12 min``."""
    parts = re.split(r"\s+at\s+", f" {text.strip()}", maxsplit=1, flags=re.IGNORECASE)
    value = parts[0].strip()
    if len(parts) == 1:
        return value, None
    at_s = values.quantity(parts[1], Dimension.TIME, "--reading")
    if not value or at_s is None or not 0 <= at_s <= LONGEST_STAGE_S:
        raise Failure(f"--reading: {visible(text.strip(), most=80)} is not a value and its moment.", SHAPE_AT)
    return value, at_s


def reading_kind(text: str, flag: str) -> ReadingKind:
    """What is read, by its name in the formula format; capitals do not matter.

    Raises:
        Failure: it is nothing that can be read.
    """
    words = " ".join(text.lower().split())
    found = next((each for each in READINGS if each == words), None)
    if found is not None:
        return found
    raise Failure(f"{flag}: {visible(text.strip(), most=80)} is not a kind of reading.", _known(words, READINGS))


def _known(word: str, known: Iterable[str]) -> str:
    names = list(known)
    meant = nearest(word, names)
    return (f"Did you mean {meant}? " if meant else "") + f"There are: {', '.join(names)}."
