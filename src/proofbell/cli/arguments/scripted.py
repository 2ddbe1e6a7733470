"""Readings written into a command line: ``First proof: dough temperature = 27 °C``, ``… = 27 °C at 12 min``."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence

from proofbell.bake.fermenting.place_words import read_place
from proofbell.bake.intents import Move, Resize
from proofbell.bake.probe.lines import temperature_named
from proofbell.bake.readings import READINGS
from proofbell.bake.rehearse import Scripted, ScriptedSaid
from proofbell.bake.weigh.size_typed import read_size
from proofbell.cli.arguments import values
from proofbell.cli.arguments.known import nearest
from proofbell.errors import Failure
from proofbell.formula.model import Formula, ReadingKind
from proofbell.formula.stages import LONGEST_STAGE_S
from proofbell.quantities import Dimension, QuantityError
from proofbell.visible import visible
from proofbell.words import as_counted

SHAPE = 'Write it as "STAGE: WHAT = VALUE", such as "First proof: dough temperature = ‹27 °C›".'

SHAPE_PLACE = 'Write it as "STAGE = PLACE from MOMENT", such as "First proof = ‹4 °C› from 20 min".'

SHAPE_SIZE = 'Write it as "STAGE = SIZE from MOMENT", such as "Mix = 16 pieces" or "Mix = ‹700 g› flour from 2 min".'

SHAPE_AT = 'Write the moment as the time from the start of the stage, such as "‹62 °C› at 12 min".'


def scripted_readings(texts: Sequence[str], formulas: Sequence[Formula]) -> list[Scripted]:
    """Read them all, in order; stage names are told apart without capitals.

    Raises Failure: one is not written so, or names no stage of any of the formulas, or nothing that can be read.
    """
    stages = {stage.name.lower(): stage.name for formula in formulas for stage in formula.stages}
    return [_reading(text, stages) for text in texts]


def _reading(text: str, stages: dict[str, str]) -> Scripted:
    shown = visible(text, most=120)
    # The name of a stage may hold a colon or an equals sign; what is read and its value hold neither.
    stage, colon, rest = text.rpartition(":")
    what, equals, value = rest.partition("=")
    if not (colon and equals and stage.strip() and what.strip() and value.strip()):
        raise Failure(f"--reading: {shown} is not a reading.", as_counted(SHAPE))
    named = _stage_named(stage, stages, "--reading")
    value, at_s = _moment(value)
    return Scripted(named, reading_kind(what, "--reading"), value, at_s)


def scripted_moves(texts: Sequence[str], formulas: Sequence[Formula]) -> list[ScriptedSaid]:
    """Read ``STAGE = PLACE`` and ``STAGE = PLACE from MOMENT``.

    Raises Failure: one is not written so, or names no stage of any of the formulas.
    """
    return _said(texts, formulas, read_place, "--place", "a place", as_counted(SHAPE_PLACE))


def scripted_sizes(texts: Sequence[str], formulas: Sequence[Formula]) -> list[ScriptedSaid]:
    """Read ``STAGE = SIZE`` and ``STAGE = SIZE from MOMENT``.

    Raises Failure: one is not written so, or names no stage of any of the formulas.
    """
    return _said(texts, formulas, read_size, "--size", "a size", as_counted(SHAPE_SIZE))


def _said(
    texts: Sequence[str],
    formulas: Sequence[Formula],
    read: Callable[[str], Move | Resize],
    flag: str,
    what: str,
    shape: str,
) -> list[ScriptedSaid]:
    stages = {stage.name.lower(): stage.name for formula in formulas for stage in formula.stages}
    found: list[ScriptedSaid] = []
    for text in texts:
        # The name of a stage may hold an equals sign; what is said of it needs none.
        stage, value, at_s = _from_moment(text, flag, what, shape)
        try:
            found.append(ScriptedSaid(_stage_named(stage, stages, flag), read(value), at_s))
        except QuantityError as error:
            raise Failure(f"{flag}: {error.message}", error.remedy) from error
    return found


def _from_moment(text: str, flag: str, what: str, shape: str) -> tuple[str, str, float]:
    """``STAGE = WHAT from MOMENT`` in its three parts, the moment in seconds into the stage."""
    stage, equals, rest = text.rpartition("=")
    value, _, moment = re.sub(r"(?i)\s+from\s+", "\0", rest.strip(), count=1).partition("\0")
    if not (equals and stage.strip() and value.strip()):
        raise Failure(f"{flag}: {visible(text, most=120)} is not a stage and {what}.", shape)
    at_s = (values.quantity(moment, Dimension.TIME, flag) or 0.0) if moment else 0.0
    if not 0 <= at_s <= LONGEST_STAGE_S:
        raise Failure(f"{flag}: {visible(moment, most=40)} is not a moment of a stage.", shape)
    return stage, value, at_s


def _stage_named(text: str, stages: dict[str, str], flag: str) -> str:
    named = " ".join(text.split())
    if named.lower() in stages:
        return stages[named.lower()]
    meant = nearest(named, stages.values())
    known = f"The stages are: {', '.join(stages.values())}."
    raise Failure(
        f"{flag}: there is no stage {visible(named, most=80)}.", f"Did you mean {meant}? {known}" if meant else known
    )


def _moment(text: str) -> tuple[str, float | None]:
    """A value and how far into its stage it is read (s), where that is said: ``62 °C at 12 min``."""
    parts = re.split(r"(?i)\s+at\s+", f" {text.strip()}", maxsplit=1)
    value = parts[0].strip()
    if len(parts) == 1:
        return value, None
    at_s = values.quantity(parts[1], Dimension.TIME, "--reading")
    if not value or at_s is None or not 0 <= at_s <= LONGEST_STAGE_S:
        raise Failure(
            f"--reading: {visible(text.strip(), most=80)} is not a value and its moment.", as_counted(SHAPE_AT)
        )
    return value, at_s


def reading_kind(text: str, flag: str) -> ReadingKind:
    """What is read, by its name in the formula format, or as a probe tells it: ``core``; capitals do not matter.

    Raises Failure: it is nothing that can be read.
    """
    words = " ".join(text.lower().split())
    found = next((each for each in READINGS if each == words), None) or temperature_named(words)
    if found is not None:
        return found
    raise Failure(f"{flag}: {visible(text.strip(), most=80)} is not a kind of reading.", _known(words, READINGS))


def _known(word: str, known: Iterable[str]) -> str:
    names = list(known)
    meant = nearest(word, names)
    return (f"Did you mean {meant}? " if meant else "") + f"There are: {', '.join(names)}."
