"""A core that is said to have become hotter than a crumb can in the time: another loaf, or the tip in the crust."""

from __future__ import annotations

from proofbell.bake.core import CoreRead, boils_in, core_readings, dough_in_c
from proofbell.bake.state import BakeState
from proofbell.dough.core_outlook import core_outlook

LEAP_K, LEAP_S = 12.0, 180.0
"""So much within so little time is held against the curve: common practice, no source. Below that the place of the tip
alone makes as much."""


def core_leap(state: BakeState, index: int, value_c: float, at_s: float) -> CoreRead | None:
    """The reading before one of ``value_c`` (°C) at a moment of the bake's own time (s), where that comes too soon.

    Too soon is sooner than the curve of `dough/core_outlook.py` has the crumb there, with all its range: 1 to 2 K a
    minute near the end, up to 8 in the middle of a small roll.
    """
    into_s = at_s - (state.stages[index].begun_s or 0.0)
    before = [each for each in core_readings(state, index) if each.at_s < into_s][-1:]
    if not before or value_c - before[0].value_c <= LEAP_K or into_s - before[0].at_s > LEAP_S:
        return None
    told = [(before[0].at_s, before[0].value_c)]
    found = core_outlook(told, value_c, boiling_c=boils_in(state.kitchen), dough_c=dough_in_c(state, index))
    if found is None:
        return before[0] if value_c >= boils_in(state.kitchen) else None
    return before[0] if into_s < found.low_s else None
