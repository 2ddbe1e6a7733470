"""When the oven has a place for what waits for it: the bakes to come begin no sooner, and are timed from then."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from proofbell.bake.asking.oven import SAME_HEAT_S
from proofbell.bake.asking.prompt import OvenBefore
from proofbell.bake.heats import first_heat_c, hot_at_s, takes_s
from proofbell.bake.outlook import Span
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.bake.view import BakeView
from proofbell.bake.weigh.oven_places import oven_places
from proofbell.bench.admission import Inside, no_place
from proofbell.bench.wall import wall_us

SECOND_US = 1_000_000


def once_free(
    pairs: Sequence[tuple[BakeState, BakeView]],
    now: Stamp,
    there: Sequence[Inside],
    places: int,
    before: Mapping[str, OvenBefore],
) -> tuple[BakeView, ...]:
    """The same views, each bake that comes next to a stage begun no sooner than the oven has a place for it.

    After a bake at another heat the oven's change is counted, too, as far as it was told. What follows moves with it.
    """
    taken, found = list(there), {state.id: one for state, one in pairs}
    next_in = [(span, state, one) for state, one in pairs if (span := _loads_next(state, one)) is not None]
    for span, state, one in sorted(next_in, key=lambda each: (wall_us(each[1], each[0].begin_s, now), each[1].letter)):
        begin_us = wall_us(state, span.begin_s, now)
        free_us = _free_us(state, begin_us, taken, places)
        hot_us = wall_us(state, _changed_s(state, span, state.now_s(now), before.get(state.id)), now)
        change_us = hot_us if free_us is None else max(hot_us, free_us)
        if change_us > begin_us:
            found[state.id] = _later(one, span.stage, change_us - begin_us)
        out_us = wall_us(state, found[state.id].spans[span.stage].end_s, now)
        heat_c, needs = first_heat_c(state, span.stage), oven_places(state.formula, state.batch)
        taken.append(Inside(state.id, state.letter, heat_c, needs, out_us))
    return tuple(found[state.id] for state, _ in pairs)


def _loads_next(state: BakeState, one: BakeView) -> Span | None:
    nxt = None if state.closed is not None or state.current is None else state.current + 1
    return next((s for s in one.spans if s.stage == nxt and s.kind == "bake" and s.when == "coming"), None)


def _free_us(state: BakeState, at_us: int, taken: Sequence[Inside], places: int) -> int | None:
    """When there is a place from ``at_us`` on (UTC, µs); None: there is one already."""
    left = sorted((one for one in taken if one.out_us >= at_us), key=lambda one: (one.out_us, one.letter))
    free_us = None
    while left and no_place(state, left, places) is not None:
        free_us = left.pop(0).out_us
    return free_us


def _changed_s(state: BakeState, span: Span, now_s: float, before: OvenBefore | None) -> float:
    """When the oven has gone from the heat of the bake before to this one's (the bake's own time, s)."""
    heat_c = first_heat_c(state, span.stage)
    needs_s = 0.0 if before is None or heat_c is None else takes_s(state, heat_c, before.heat_c)
    if before is None or needs_s < SAME_HEAT_S or state.done(OvenTask("oven hot", span.stage)):
        return span.begin_s
    if state.done(OvenTask("oven on", span.stage)):
        return max(span.begin_s, hot_at_s(state, span.stage, now_s))
    return max(span.begin_s, max(now_s, before.until_s) + needs_s)


def _later(one: BakeView, index: int, by_us: int) -> BakeView:
    by_s = by_us / SECOND_US
    spans = tuple(
        replace(span, begin_s=span.begin_s + by_s, end_s=span.end_s + by_s) if span.stage >= index else span
        for span in one.spans
    )
    return replace(one, spans=spans, ready_us=one.ready_us + by_us)
