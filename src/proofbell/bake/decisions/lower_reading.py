"""A dough that is read colder than before and would be sooner ready by its rate all the same."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake.decisions.adjust import Change, by_reading, minutes, rate_estimate
from proofbell.bake.state import BakeState
from proofbell.formula.model import Rate
from proofbell.words import temperature

FIT_S = 120.0
"""What the fit of a time constant leaves between two readings that tell the same."""


def by_a_lower_one(
    state: BakeState, index: int, readings: tuple[tuple[float, float], ...], change: Change | None
) -> Change | None:
    """The change where the newest of ``readings`` is lower than the one before and makes it sooner; any other as it is.

    It does so because the dough is warmer than was expected by now, and that is said; else nothing makes it sooner.
    """
    length_s = state.stages[index].length_s
    lower = len(readings) > 1 and readings[-1][1] < readings[-2][1]
    if change is None or not lower or change.to_s >= length_s or not isinstance(state.stage(index).adjust, Rate):
        return change
    before, (at_s, read_c) = rate_estimate(state, index, readings[:-1]), readings[-1]
    if before is None:
        return change
    seen = f"Dough {temperature(read_c)}"
    if read_c > before.path.temp_c(at_s):
        return by_reading(state, index, readings, f"{seen}, warmer than expected by now")
    if length_s - change.to_s > FIT_S:
        return change
    return replace(change, to_s=length_s, reason=f"{seen}: stays {minutes(length_s)} for the same fermentation.")
