"""What comes up over all bakes, in order of time: what is due now, what a bake will ask, and every stage to come."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.bake.advice.core_words import READ_THE_CORE
from proofbell.bake.asking.oven import dial, in_oven
from proofbell.bake.asking.stage_end import beginning
from proofbell.bake.outlook import Span, next_to_begin
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bench.board import Board, Coming
from proofbell.bench.busy import Busy
from proofbell.bench.lateness import late_words
from proofbell.bench.oven.least_off import least_off_s
from proofbell.bench.wall import wall_us
from proofbell.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Ahead:
    """One thing to do at a UTC moment (µs). ``due`` is true when its time has come, ``timer`` for a baker's own.

    ``cooled``: it is bread that is ready, and is never late. ``inside``: it is done in the middle of a bake to come,
    and is told where there is room for it. ``waits``: for hands that are on another dough, which the words name; or a
    weigh-out for its start: until then nothing is late.
    ``once_out``: another bake is taken out first.
    """

    at_us: int
    letter: str
    bake: str
    words: str
    due: bool
    timer: bool = False
    cooled: bool = False
    inside: bool = False
    waits: bool = False
    once_out: bool = False


def ahead(states: Sequence[BakeState], board: Board) -> tuple[Ahead, ...]:
    """Everything to come, the overdue first."""
    known = {state.id: state for state in states}
    found = [_asked(c, known.get(c.bake), board.now) for c in board.coming]
    for state in states:
        found += _stages(state, board)
    # As a bake ends its core is read before it is taken out.
    return tuple(sorted(found, key=lambda one: (round(one.at_us / 1000), one.once_out, one.letter, not one.inside)))


def _asked(c: Coming, state: BakeState | None, now: Stamp) -> Ahead:
    """What is asked for, with the dough that it waits for; of bread that cools, how late that will be."""
    cooled = c.prompt.over and c.prompt.patient
    words = f"{c.prompt.words}, after {c.after}" if c.after else c.prompt.words
    words += late_words(state, c.at_us, now) if cooled and state is not None and not c.now else ""
    timer, waits = c.is_timer, bool(c.after) or c.prompt.weighs_ahead
    return Ahead(c.at_us, c.letter, c.bake, words, c.now, timer, cooled, waits=waits, once_out=c.once_out)


def _stages(state: BakeState, board: Board) -> list[Ahead]:
    """The stages after the next one, for the next one is asked for by a prompt already, hands stages excepted."""
    one = board.of(state.id)
    if one is None or state.closed is not None:
        return []
    found: list[Ahead] = []
    first = next_to_begin(state)
    if not state.begun and state.start_s is None and first is not None:
        # Nobody has said when: it may begin at once, or when the plan has it.
        begin = f"begin: {state.stage(first).name}"
        begin_s = next(span.begin_s for span in one.spans if span.stage == first)
        found.append(Ahead(wall_us(state, begin_s, board.now), state.letter, state.id, begin, due=False))
    found += [] if state.begun else _oven_on(state, board)
    prompted = {state.formula.followed_by(i) for i in state.running if state.stage(i).kind != "hands"} | {first}
    found += [
        Ahead(wall_us(state, span.begin_s, board.now), state.letter, state.id, beginning(state, span.stage), due=False)
        for span in one.spans
        if span.stage not in prompted and span.when == "coming"
    ]
    for span in one.spans:
        found += _inside(state, span, board) if span.kind == "bake" and span.when == "coming" else []
    last = len(state.stages) - 1
    if one.spans and not (state.current == last and state.stage(last).kind != "hands"):
        end_us = wall_us(state, one.spans[-1].end_s, board.now)
        words = f"ready{late_words(state, end_us, board.now)}"
        found.append(Ahead(end_us, state.letter, state.id, words, due=False))
    return found


def _inside(state: BakeState, span: Span, board: Board) -> list[Ahead]:
    """What is done in the middle of a bake to come: the tray turned, another heat, the core read."""
    stage = state.stage(span.stage)
    found = [(each.due_s, each.words) for each in in_oven(state, span.stage, stage, span.begin_s, span.seconds)]
    reads = [check for check in stage.checks if check.read == "core temperature" and check.when != "start"]
    found += [(span.end_s if check.at_s is None else span.begin_s + check.at_s, READ_THE_CORE) for check in reads]
    return [
        Ahead(wall_us(state, at_s, board.now), state.letter, state.id, words, due=False, inside=True)
        for at_s, words in found
    ]


def _oven_on(state: BakeState, board: Board) -> list[Ahead]:
    """When a bake that has not begun will want its oven on; nothing where another one keeps it hot until then."""
    heating = next((use for use in board.oven if use.use == "heating" and use.letter == state.letter), None)
    if heating is None or heating.heat_c is None:
        return []
    others = [use for use in board.oven if use.use == "baking" and use.letter != state.letter]

    def keeps(use: Busy, heating: Busy, wanted_c: float) -> bool:
        off_s = least_off_s(state.kitchen.oven, wanted_c if use.heat_c is None else use.heat_c, wanted_c)
        return use.begin_us <= heating.end_us and use.end_us > heating.begin_us - off_s * 1_000_000

    if any(keeps(use, heating, heating.heat_c) for use in others):
        return []
    words = f"oven on, {dial(state, heating.heat_c)}"
    return [Ahead(heating.begin_us, state.letter, state.id, words, due=False)]
