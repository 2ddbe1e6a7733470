"""What is in the oven already when another dough is to be loaded: that one waits, and is told for whom."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from proofbell.bake.asking.oven import dial
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.asking.stage_end import over_asks
from proofbell.bake.heats import first_heat_c, heat_now_c
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bench.wall import hour
from proofbell.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Inside:
    """A bake that is in the oven, the heat that it has now (conventional °C), and the places it takes.

    ``out_us`` is when it should be out (UTC µs); the moment now, where it runs over.
    """

    bake: str
    letter: str
    heat_c: float | None
    places: int
    out_us: int


@dataclass(frozen=True, slots=True)
class NoPlace:
    """Why a bake cannot be loaded: by which limit, beside whom, and both heats (conventional °C) where they differ."""

    limit: Literal["heat", "places"]
    inside: tuple[Inside, ...]
    wants_c: float | None
    has_c: float | None = None


def inside(states: Sequence[BakeState], now: Stamp) -> tuple[Inside, ...]:
    """All bakes that are in the oven now."""
    found: list[Inside] = []
    for state in states:
        if state.closed is not None or state.current is None or state.stage(state.current).kind != "bake":
            continue
        now_s, run = state.now_s(now), state.stages[state.current]
        left_s = max(0.0, (run.due_s or 0.0) - now_s)
        heat_c = heat_now_c(state, state.current, now_s)
        out_us = now.wall_us + round(left_s * 1_000_000)
        found.append(Inside(state.id, state.letter, heat_c, oven_places(state.formula, state.batch), out_us))
    return tuple(found)


def in_its_turn(state: BakeState, prompt: Prompt, at_us: int, others: Sequence[Inside], places: int) -> Prompt:
    """A prompt to load the oven, in other words while the oven has no place for it: ``load once A is out``.

    It is another prompt meanwhile, so that one who has silenced it is called again when the place is free.

    Args:
        state: the bake that it belongs to.
        prompt: any prompt.
        at_us: when it is due, or now where it is past that, UTC µs.
        others: what is in the oven.
        places: how many the oven has.
    """
    if not prompt.over or prompt.kind == "oven hot":
        return prompt
    there = sorted((one for one in others if one.out_us >= at_us), key=lambda one: (one.out_us, one.letter))
    waits_for = ""
    while there and no_place(state, there, places) is not None:
        waits_for = there.pop(0).letter
    if not waits_for:
        return prompt
    asks = over_asks(state, prompt.stage, waits_for)
    return replace(prompt, id=replace(prompt.id, waits=True), words=asks.words, reads=asks.reads)


def no_place(state: BakeState, others: Sequence[Inside], places: int) -> NoPlace | None:
    """What stands in the way of loading a bake beside those that are in an oven of so many places; None: nothing."""
    nxt = None if state.current is None else state.current + 1
    if nxt is None or nxt >= len(state.stages) or state.stage(nxt).kind != "bake":
        return None
    there = tuple(one for one in others if one.bake != state.id)
    heat_c = first_heat_c(state, nxt)
    other_c = next((one.heat_c for one in there if None not in (one.heat_c, heat_c) and one.heat_c != heat_c), None)
    if other_c is not None:
        return NoPlace("heat", there, heat_c, other_c)
    if there and sum(one.places for one in there) + oven_places(state.formula, state.batch) > places:
        return NoPlace("places", there, heat_c)
    return None


def heat_under_words(state: BakeState, task: OvenTask, others: Sequence[Inside], now: Stamp) -> str:
    """What to ask where the heat for a bake to come would be another under the bread that is in the oven; else nothing.

    ``A is in the oven at 170 °C until 09:22. Up to 220 °C already?``
    """
    there = [one for one in others if one.bake != state.id and one.heat_c is not None]
    heat_c = first_heat_c(state, task.stage)
    under = next((one for one in there if heat_c is not None and one.heat_c != heat_c), None)
    if task.kind != "oven on" or heat_c is None or under is None or under.heat_c is None:
        return ""
    until = f" until {hour(under.out_us, now)}" if under.out_us > now.wall_us else ""
    way = "Up" if heat_c > under.heat_c else "Down"
    return (
        f"{under.letter} is in the oven at {dial(state, under.heat_c)}{until}. {way} to {dial(state, heat_c)} already?"
    )


def no_place_words(state: BakeState, found: NoPlace, places: int) -> str:
    """Why a bake cannot be loaded now, in a sentence."""
    letters = [one.letter for one in found.inside]
    who = f"{' and '.join(letters)} {'is' if len(letters) == 1 else 'are'} in the oven"
    if found.has_c is not None and found.wants_c is not None:
        return f"{who} at {dial(state, found.has_c)}; this wants {dial(state, found.wants_c)}."
    return f"{who}, which has {places} place{'s' if places > 1 else ''}."
