"""What comes up over all bakes, in order of time: what is due now, what a bake will ask, and every stage to come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from proofbell.bake.asking.stage_end import after
from proofbell.bake.state import BakeState
from proofbell.bench.board import Board, wall_us


@dataclass(frozen=True, slots=True)
class Ahead:
    """One thing to do at a UTC moment (µs). ``due`` is true when its time has come."""

    at_us: int
    letter: str
    bake: str
    words: str
    due: bool


def ahead(states: Sequence[BakeState], board: Board) -> tuple[Ahead, ...]:
    """Everything to come, the overdue first."""
    found = [Ahead(c.at_us, c.letter, c.bake, c.prompt.words, c.now) for c in board.coming]
    for state in states:
        found += _stages(state, board)
    return tuple(sorted(found, key=lambda one: (one.at_us, one.letter)))


def _stages(state: BakeState, board: Board) -> list[Ahead]:
    """The stages after the next one, for the next one is asked for by a prompt already, hands stages excepted."""
    one = board.of(state.id)
    if one is None or state.closed is not None:
        return []
    current = state.current
    found: list[Ahead] = []
    if current is None and state.start_s is None:
        # Nobody has said when: it may begin at once, and all that follows is reckoned from now.
        found.append(Ahead(board.now.wall_us, state.letter, state.id, f"begin: {state.stage(0).name}", due=False))
    asked = current is not None and state.stage(current).kind != "hands"
    first = 1 if current is None else current + (2 if asked else 1)
    found += [
        Ahead(wall_us(state, span.begin_s, board.now), state.letter, state.id, after(state, span.stage - 1), due=False)
        for span in one.spans
        if span.stage >= first and span.when == "coming"
    ]
    last = len(state.stages) - 1
    if one.spans and not (current == last and asked):
        end_us = wall_us(state, one.spans[-1].end_s, board.now)
        found.append(Ahead(end_us, state.letter, state.id, "ready", due=False))
    return found
