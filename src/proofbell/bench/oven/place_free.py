"""When the oven has a place for what waits for it: the bakes to come begin no sooner, and are timed from then."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from proofbell.bake.outlook import Span
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.view import BakeView
from proofbell.bench.oven.queue import SECOND_US, Turn
from proofbell.bench.wall import wall_us


def once_free(pairs: Sequence[tuple[BakeState, BakeView]], now: Stamp, queue: Sequence[Turn]) -> tuple[BakeView, ...]:
    """The same views, each bake that comes next to a stage begun no sooner than its turn. What follows moves with it.

    After a bake at another heat the oven's change is counted, too, as far as it was told.
    """
    begins_us = {(turn.bake, turn.stage): turn.begin_us for turn in queue if turn.when == "coming"}

    def shown(state: BakeState, one: BakeView) -> BakeView:
        span = _loads_next(state, one)
        if span is None:
            return one
        begin_us = wall_us(state, span.begin_s, now)
        by_us = begins_us.get((state.id, span.stage), begin_us) - begin_us
        return _later(one, span.stage, by_us) if by_us > 0 else one

    return tuple(shown(state, one) for state, one in pairs)


def _loads_next(state: BakeState, one: BakeView) -> Span | None:
    nxt = None if state.closed is not None or state.current is None else state.current + 1
    return next((s for s in one.spans if s.stage == nxt and s.kind == "bake" and s.when == "coming"), None)


def _later(one: BakeView, index: int, by_us: int) -> BakeView:
    by_s = by_us / SECOND_US
    spans = tuple(
        replace(span, begin_s=span.begin_s + by_s, end_s=span.end_s + by_s) if span.stage >= index else span
        for span in one.spans
    )
    return replace(one, spans=spans, ready_us=one.ready_us + by_us)
