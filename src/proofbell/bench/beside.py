"""What is in the oven already when another dough is to be loaded."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from proofbell.bake.heats import first_heat_c, heat_now_c
from proofbell.bake.prompts import dial
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState


@dataclass(frozen=True, slots=True)
class Inside:
    """A bake that is in the oven, the heat that it has now (conventional °C), and the places it takes."""

    bake: str
    letter: str
    heat_c: float | None
    places: int


def inside(states: Sequence[BakeState], now: Stamp) -> tuple[Inside, ...]:
    """All bakes that are in the oven now."""
    return tuple(
        Inside(state.id, state.letter, heat_now_c(state, state.current, state.now_s(now)), state.formula.oven.trays)
        for state in states
        if state.closed is None and state.current is not None and state.stage(state.current).kind == "bake"
    )


def no_place(state: BakeState, others: Sequence[Inside]) -> tuple[str, ...]:
    """What stands in the way of loading a bake beside those that are in; empty when nothing does."""
    nxt = None if state.current is None else state.current + 1
    if nxt is None or nxt >= len(state.stages) or state.stage(nxt).kind != "bake":
        return ()
    there = [one for one in others if one.bake != state.id]
    if not there:
        return ()
    who = " and ".join(one.letter for one in there) + (" is" if len(there) == 1 else " are") + " in the oven"
    heat_c = first_heat_c(state, nxt)
    other = next((one for one in there if None not in (one.heat_c, heat_c) and one.heat_c != heat_c), None)
    if other is not None and other.heat_c is not None and heat_c is not None:
        return (f"{who} at {dial(state, other.heat_c)}; this wants {dial(state, heat_c)}.",)
    places = state.kitchen.oven.trays
    if sum(one.places for one in there) + state.formula.oven.trays > places:
        return (f"{who}, which has {places} place{'s' if places > 1 else ''}.",)
    return ()
