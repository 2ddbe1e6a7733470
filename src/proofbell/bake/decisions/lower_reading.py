"""A dough that is read colder than before and would be sooner ready by its rate all the same."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake.decisions.adjust import Change, by_reading
from proofbell.bake.decisions.length_words import minutes
from proofbell.bake.fermenting.before_reading import modelled_c
from proofbell.bake.fermenting.terms import start_c
from proofbell.bake.state import BakeState
from proofbell.words import temperature

FIT_S = 120.0
"""What the fit of a time constant leaves between two readings that tell the same."""


def by_a_lower_one(
    state: BakeState, index: int, readings: tuple[tuple[float, float], ...], change: Change | None
) -> Change | None:
    """The change where the newest of ``readings`` is no higher than the one before, and sooner; any other as it is.

    The first one is held against the card's dough. It does so because the dough is warmer than was likely by now, and
    that is said; else nothing makes it sooner, nor what is as near to that as the probe is good to.
    """
    length_s, run = state.stages[index].length_s, state.stages[index]
    if change is None or not readings or change.to_s >= length_s or change.by != "rate":
        return change
    at_s, read_c = readings[-1]
    before_c = readings[-2][1] if len(readings) > 1 else start_c(state, index)
    taken = state.readings_in(index, "dough temperature")
    if before_c is None or read_c > before_c or not taken or run.begun_s is None:
        return change
    path = modelled_c(state, index, run.begun_s + at_s, taken[-1].number)
    if path is None:
        return change
    seen = f"Dough {temperature(read_c)}"
    if read_c > path.value:
        as_likely = read_c < before_c and read_c <= path.value + state.kitchen.probe.good_to_k(read_c)
        if as_likely and len(readings) > 1:
            return replace(change, to_s=length_s, reason=f"{seen}, as was likely by now: stays {minutes(length_s)}.")
        return by_reading(state, index, readings, f"{seen}, warmer than was likely by now")
    if len(readings) < 2 or read_c == before_c or length_s - change.to_s > FIT_S:
        return change
    return replace(change, to_s=length_s, reason=f"{seen}: stays {minutes(length_s)} for the same fermentation.")
