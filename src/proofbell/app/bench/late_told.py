"""That a bake will be later than it is wanted, told once; again only when it has become much later still."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from proofbell.app.planning.by_plan import by_plan
from proofbell.app.session.local_time import hour_minute
from proofbell.bake.state import BakeState
from proofbell.bench.board import Board
from proofbell.bench.lateness import late_us, late_words
from proofbell.bench.plan.timetable import BakeTimes
from proofbell.bench.wall import wall_us
from proofbell.moment_text import MINUTE_US

MORE_US = 15 * MINUTE_US
"""So much later than was told is told again: common practice, no source."""


class LateTold:
    """Remembers which bakes it was told of."""

    def __init__(self) -> None:
        self._told_us: dict[str, int] = {}

    def news(self, states: Sequence[BakeState], board: Board, planned: Mapping[str, BakeTimes]) -> list[str]:
        """``A: ready 11:54, 14 min after it is wanted``, for each that has begun and was not told of yet."""
        wanted = [state for state in states if state.begun and state.ready_by_s is not None and state.closed is None]
        if not wanted:
            return []
        shown, found = by_plan(board, states, planned), []
        for state in wanted:
            one = shown.of(state.id)
            if one is None or not one.spans:
                continue
            ready_us = wall_us(state, one.spans[-1].end_s, board.now)
            by_us = late_us(state, ready_us, board.now)
            if by_us and by_us >= self._told_us.get(state.id, -MORE_US) + MORE_US:
                self._told_us[state.id] = by_us
                at = hour_minute(ready_us, board.now)
                found.append(f"{state.letter}: ready {at}{late_words(state, ready_us, board.now)}")
        return found
