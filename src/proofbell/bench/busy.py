"""When oven and hands are busy with a bake: past, now and to come."""

from __future__ import annotations

from typing import Literal

from proofbell.bake.heats import first_heat_c, takes_s
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.bake.view import BakeView
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bench.plan.stage_steps import hands_needed
from proofbell.bench.wall import wall_us
from proofbell.frozen import dataclass

Use = Literal["heating", "hot", "baking", "hands"]


@dataclass(frozen=True, slots=True)
class Busy:
    """A stretch of time (UTC, µs) in which a bake uses the oven or the hands. ``heat_c``, ``places``: for the oven.

    ``hot``: it was told to be on, and waits for the bake.
    """

    use: Use
    letter: str
    begin_us: int
    end_us: int
    heat_c: float | None = None
    places: int = 1


def oven_use(state: BakeState, one: BakeView, now: Stamp) -> tuple[Busy, ...]:
    """Heating up and baking, past and to come: heating from when the oven was told to be on, else in time."""
    found: list[Busy] = []
    for span in one.spans:
        if span.kind != "bake":
            continue
        heat_c = first_heat_c(state, span.stage)
        begin_us, end_us = wall_us(state, span.begin_s, now), wall_us(state, span.end_s, now)
        found.append(Busy("baking", state.letter, begin_us, end_us, heat_c, oven_places(state.formula, state.batch)))
        if heat_c is not None:
            on_s, hot_s = _heated(state, span.stage, heat_c, span.begin_s)
            on_us, hot_us = wall_us(state, on_s, now), wall_us(state, hot_s, now)
            found.append(Busy("heating", state.letter, on_us, hot_us, heat_c))
            if hot_us < begin_us:
                found.append(Busy("hot", state.letter, hot_us, begin_us, heat_c))
    return tuple(found)


def _heated(state: BakeState, index: int, heat_c: float, begin_s: float) -> tuple[float, float]:
    """When the oven is put on for a bake, and when it is hot (the bake's own time, s): as told, else just in time."""
    on, hot = (state.mark(OvenTask(kind, index)) for kind in ("oven on", "oven hot"))
    needs_s = takes_s(state, heat_c, None if on is None else on.from_c)
    if on is None and hot is None:
        return begin_s - needs_s, begin_s
    hot_s = hot.at_s if hot is not None else begin_s if on is None else on.at_s + needs_s
    return (hot_s - needs_s if on is None else on.at_s), min(hot_s, begin_s)


def hands_use(state: BakeState, one: BakeView, now: Stamp) -> tuple[Busy, ...]:
    """When the bake needs a pair of hands, as the plan has it: at a stage's start, all through it, or at its end."""
    found: list[Busy] = []
    for span in one.spans:
        begin_s, end_s = span.begin_s, span.end_s
        at_start_s, at_end_s = hands_needed(state.stage(span.stage), round(end_s - begin_s))
        parts = [(begin_s, end_s if at_start_s is None else begin_s + at_start_s), (end_s - at_end_s, end_s)]
        found += [
            Busy("hands", state.letter, wall_us(state, begin, now), wall_us(state, end, now))
            for begin, end in parts
            if begin < end
        ]
    return tuple(sorted(found, key=lambda busy: busy.begin_us))
