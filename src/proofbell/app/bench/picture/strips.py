"""The day at a glance: a strip for each dough on one time axis, the oven and the hands below. A click takes a dough."""

from __future__ import annotations

from collections.abc import Sequence

from textual import events
from textual.content import Content
from textual.message import Message

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.sheet import Sheet
from proofbell.app.drawing.strip_drawing import (
    Block,
    StripRow,
    block_of,
    draw_axis,
    draw_hands,
    draw_now,
    draw_oven,
    draw_strip,
    head_width,
)
from proofbell.app.drawing.time_axis import NEAR_S, SECOND, WHOLE_S, axis_for
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bench.board import Board
from proofbell.bench.busy import Busy
from proofbell.bench.wall import wall_us
from proofbell.frozen import dataclass

AROUND = 3
"""Lines beside the strips: the hours, the oven, the hands."""


@dataclass(frozen=True, slots=True)
class Day:
    """What the strips show."""

    now: Stamp
    rows: tuple[StripRow, ...]
    bakes: tuple[str, ...]
    oven: tuple[Busy, ...]
    hands: tuple[Busy, ...]
    people: int
    places: int
    first: int
    """The strip that must be seen even when there is room for one only."""


def day_of(states: Sequence[BakeState], board: Board, in_hand: str | None, people: int, places: int) -> Day:
    """The strips of all bakes; the one in hand and those that ring are marked. ``places``: of the oven."""
    ringing = {one.bake for one in board.rings}
    rows: list[StripRow] = []
    for state in states:
        view = board.of(state.id)
        spans = () if view is None else view.spans
        blocks = tuple(
            block_of(
                span,
                state.stage(span.stage).name,
                wall_us(state, span.begin_s, board.now),
                wall_us(state, span.end_s, board.now),
            )
            for span in spans
        )
        mark = "!" if state.id in ringing else "▸" if state.id == in_hand else " "
        style = "bold reverse" if state.id == in_hand else "bold $error" if state.id in ringing else "bold"
        rows.append(StripRow(state.letter, state.formula.name, blocks, mark, style))
    bakes = tuple(state.id for state in states)
    wanted = board.urgent if board.urgent in bakes else in_hand
    first = bakes.index(wanted) if wanted in bakes else 0
    return Day(board.now, tuple(rows), bakes, board.oven, board.hands, people, places, first)


class Strips(Sheet):
    """Draws a day. Its height is set by the screen; when it is too small for all, the most urgent stay in sight."""

    DEFAULT_CSS = """
    Strips { height: auto; padding: 0 1 0 0; }
    """

    class Taken(Message):
        """A dough was clicked."""

        def __init__(self, bake: str) -> None:
            super().__init__()
            self.bake = bake

    def __init__(self) -> None:
        super().__init__()
        self._day: Day | None = None
        self._top = 0
        self.whole = False
        """Whether the strips reach to the very end, or only over the next hours, where more can be seen."""

    def show(self, day: Day) -> None:
        self._day = day
        self.draw()

    def drawn(self, width: int, height: int) -> Content:
        """Hours, strips, oven, hands."""
        day = self._day
        canvas = Canvas(width, height)
        if day is None or not day.rows:
            return canvas.content()
        head = head_width(day.rows, width)
        axis = axis_for(*_reach(day), day.now.wall_us, width - head, WHOLE_S if self.whole else _near_s(day))
        room = max(1, height - AROUND)
        self._top = max(0, min(day.first - room + 1, len(day.rows) - room)) if len(day.rows) > room else 0
        shown = day.rows[self._top : self._top + room]
        draw_axis(canvas, 0, head, axis, day.now)
        if len(shown) < len(day.rows):
            canvas.put(1, 0, f"{len(day.rows) - len(shown)} more", "$quiet")
        for y, row in enumerate(shown, 1):
            draw_strip(canvas, y, head, row, axis)
        y = 1 + len(shown)
        draw_oven(canvas, y, head, day.oven, axis, day.places, day.now.wall_us)
        draw_hands(canvas, y + 1, head, day.hands, axis, day.people, day.now.wall_us)
        draw_now(canvas, 1, y + 2, head, axis, day.now.wall_us)
        return canvas.content()

    def on_click(self, event: events.Click) -> None:
        """Take the dough of that line in hand."""
        index = event.y - 1 + self._top
        if self._day is not None and event.y >= 1 and 0 <= index < len(self._day.bakes):
            self.post_message(self.Taken(self._day.bakes[index]))


def _reach(day: Day) -> tuple[int, int]:
    """The first and the last moment of everything that is on the bench."""
    blocks: list[Block] = [block for row in day.rows for block in row.blocks]
    if not blocks:
        return day.now.wall_us, day.now.wall_us + 3600 * SECOND
    return min(block.begin_us for block in blocks), max(block.end_us for block in blocks)


def _near_s(day: Day) -> float:
    """The next hours; further when nothing at all happens in them."""
    ends = [block.end_us for row in day.rows for block in row.blocks if block.end_us > day.now.wall_us]
    return max(NEAR_S, 1.3 * (min(ends, default=0) - day.now.wall_us) / SECOND)
