"""A dough while it is made: how warm its butter lets it be, and how long its machine has run past its time."""

from __future__ import annotations

from proofbell.bake.state import BakeState
from proofbell.formula.foods.water import water_percent
from proofbell.formula.model import Formula

BUTTER_C = 28.0
"""Doughs with butter in layers are proofed at 28 °C at most: IREKS Compendium, final proof."""

GOES_IN_C, ABOVE_K = 26.0, 1.0
"""Butter is worked into no dough warmer than this, or so much warmer than it is meant: common practice, no source."""

BUTTER_PERCENT = 10.0
"""From so much on flour on the butter is felt in the dough: common practice, no source."""

KNEADING_S = 180.0
"""So much longer than meant is too long: common practice, no source."""


def before_it_ferments(state: BakeState, index: int) -> bool:
    """Whether hands are at work and nothing has stood yet."""
    return all(each.kind == "hands" for each in state.formula.stages[state.formula.strand(index).start : index + 1])


def butter_share(formula: Formula) -> float:
    """The fat that holds water, as butter does (percent on flour); 0 where it is not felt."""
    share = sum(each.percent for each in formula.ingredients if each.kind == "fat" and water_percent(each) >= 1)
    return share if share >= BUTTER_PERCENT else 0.0


def butter_stands_c(state: BakeState, index: int) -> float:
    """How warm a dough with butter may be in a stage (°C): less where butter is worked in there."""
    fats = (each for each in state.formula.ingredients if each.kind == "fat" and each.use == "dough")
    if not any(index in each.at for each in fats if water_percent(each) >= 1) or not before_it_ferments(state, index):
        return BUTTER_C
    wish_c = state.formula.dough.temperature_c
    return GOES_IN_C if wish_c is None else min(BUTTER_C, max(GOES_IN_C, wish_c + ABOVE_K))


def machine_late_s(state: BakeState, index: int, now_s: float) -> float:
    """How long (s) a machine has kneaded past its time as far as is known; 0 by hand, or once the dough was read since.

    It stands still while the bowl is in the cold for its butter: from such a reading until the next.
    """
    run = state.stages[index]
    if run.begun_s is None or state.formula.dough.mixing != "machine" or not before_it_ferments(state, index):
        return 0.0
    read = [each for each in state.readings_in(index, "dough temperature") if each.value is not None]
    if read and read[-1].at_s - run.begun_s >= run.length_s and not _too_soft(state, index, read[-1].value):
        return 0.0
    ends = [*(each.at_s for each in read[1:]), now_s]
    stood = (end - each.at_s for each, end in zip(read, ends, strict=False) if _too_soft(state, index, each.value))
    return max(0.0, now_s - run.begun_s - run.length_s - sum(stood))


def _too_soft(state: BakeState, index: int, value_c: float | None) -> bool:
    return value_c is not None and butter_share(state.formula) > 0 and value_c > butter_stands_c(state, index)
