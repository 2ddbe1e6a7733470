"""The board as the plan has it: what is to come stands at its planned hours, in strips, rows and list alike.

What runs stays as it is, for its bell rings by the bench: only the baker can give it another length.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from proofbell.bake.heats import first_heat_c
from proofbell.bake.outlook import Span
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.view import BakeView
from proofbell.bench.board import Board, Coming
from proofbell.bench.busy import Busy, hands_use, oven_use
from proofbell.bench.plan.proposals import ASK_START_S, WORTH_ASKING_S
from proofbell.bench.plan.timetable import BakeTimes
from proofbell.bench.wall import wall_us
from proofbell.formula.dough_stages import STANDS

SECOND_US = 1_000_000


def by_plan(board: Board, states: Sequence[BakeState], planned: Mapping[str, BakeTimes]) -> Board:
    """The same moment with the stages to come where the plan (by bake id) has them; a bake without one stays."""
    known = {state.id: state for state in states}
    spans = {
        one.bake: _spans(known[one.bake], one, board.now, planned[one.bake])
        for one in board.views
        if one.bake in planned and one.bake in known and known[one.bake].closed is None
    }
    if not spans:
        return board
    views = tuple(replace(one, spans=spans.get(one.bake, one.spans)) for one in board.views)
    lettered = sorted(((known[one.bake], one) for one in views if one.bake in known), key=lambda pair: pair[0].letter)
    coming = [_coming(c, known[c.bake], board, spans[c.bake]) if c.bake in spans else c for c in board.coming]
    oven = tuple(busy for state, one in lettered for busy in oven_use(state, one, board.now))
    coming = [_once_out(c, known[c.bake], oven) if c.bake in known else c for c in coming]
    return replace(
        board,
        views=views,
        coming=tuple(sorted(coming, key=lambda c: c.order)),
        oven=oven,
        hands=tuple(busy for state, one in lettered for busy in hands_use(state, one, board.now)),
    )


def _spans(state: BakeState, one: BakeView, now: Stamp, bake: BakeTimes) -> tuple[Span, ...]:
    if len(bake.lines) != len(state.stages):
        return one.spans
    later_us = _later_us(state, one, now, bake)

    def own_s(at_us: int) -> float:
        return state.now_s(now) + (at_us + later_us - now.wall_us) / SECOND_US

    spans = tuple(
        replace(span, begin_s=own_s(bake.lines[span.stage].begins_us), end_s=own_s(bake.lines[span.stage].ends_us))
        if span.when == "coming"
        else span
        for span in one.spans
    )
    return _following_on(state, spans, {span.stage: span for span in one.spans})


def _following_on(state: BakeState, spans: tuple[Span, ...], own: Mapping[int, Span]) -> tuple[Span, ...]:
    """What follows on what runs begins as that rings, where the plan has it later; the next proof or rest takes it up.

    A plan may keep what runs for longer, by too little to be asked about or until somebody has said yes to it.
    What waits for its oven, or for a dough to warm, begins no sooner than it does by the bench (``own``).
    """
    running = [span for span in spans if span.when == "now"]
    coming = [span for span in spans if span.when == "coming"]
    if len(running) != 1 or not coming or state.formula.followed_by(running[0].stage) != coming[0].stage:
        return spans
    begins_s = own[coming[0].stage].begin_s
    waits = begins_s > running[0].end_s
    by_s = begins_s - coming[0].begin_s
    by_s = by_s if waits else min(0.0, by_s)
    found = {span.stage: span for span in spans}
    for span in coming:
        begin_s = span.begin_s + by_s
        by_s = 0.0 if span.kind in STANDS and span.end_s > begin_s else by_s
        found[span.stage] = replace(span, begin_s=begin_s, end_s=span.end_s + by_s)
    return tuple(found[span.stage] for span in spans)


def _later_us(state: BakeState, one: BakeView, now: Stamp, bake: BakeTimes) -> int:
    """How much later than planned all of it will be (µs), as is known already: what runs is over its time.

    A start that is near is asked about; until that is answered it stands where it will ring.
    """
    running = [span for span in one.spans if span.when == "now"]
    if running:
        later_us = max(wall_us(state, span.end_s, now) - bake.lines[span.stage].ends_us for span in running)
        # Hands that are done much sooner than planned have the rest sooner too, until it is planned anew.
        sooner = all(span.kind == "hands" for span in running) and -later_us >= WORTH_ASKING_S * SECOND_US
        return later_us if sooner else max(0, later_us)
    to_come = [span for span in one.spans if span.when == "coming"]
    if not to_come:
        return 0
    first = min(to_come, key=lambda span: span.begin_s)
    begins_us, planned_us = wall_us(state, first.begin_s, now), bake.lines[first.stage].begins_us
    asked = not state.begun and state.start_s is not None
    if asked and min(begins_us, planned_us) - now.wall_us <= ASK_START_S * SECOND_US:
        return begins_us - planned_us
    return max(0, now.wall_us - planned_us)


def _coming(one: Coming, state: BakeState, board: Board, spans: Sequence[Span]) -> Coming:
    """What is asked for a stage to come, moved with it; not what follows at once on what runs: it rings by that."""
    if one.now or one.prompt.stage in {state.formula.followed_by(index) for index in state.running}:
        return one
    shown = board.of(state.id)
    before = next((s for s in (shown.spans if shown else ()) if s.stage == one.prompt.stage), None)
    after = next((s for s in spans if s.stage == one.prompt.stage), None)
    if before is None or after is None or after.when != "coming":
        return one
    by_us = round((after.begin_s - before.begin_s) * SECOND_US)
    if one.prompt.kind == "oven on" and one.at_us - board.now.wall_us <= ASK_START_S * SECOND_US:
        by_us = min(0, by_us)  # its bell is near, and rings by the bench
    return replace(one, at_us=max(board.now.wall_us, one.at_us + by_us))


def _once_out(one: Coming, state: BakeState, oven: Sequence[Busy]) -> Coming:
    """Another heat, no sooner than the bread is out that would be in the oven by then."""
    if one.now or one.prompt.kind != "oven on":
        return one
    heat_c = first_heat_c(state, one.prompt.stage)
    others = [busy for busy in oven if busy.use == "baking" and busy.letter != one.letter and busy.heat_c != heat_c]
    for busy in sorted(others, key=lambda busy: busy.begin_us):
        if busy.begin_us <= one.at_us < busy.end_us:
            one = replace(one, at_us=busy.end_us)
    return one
