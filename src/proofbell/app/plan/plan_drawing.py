"""A plan drawn: a strip for each bake, the oven and the hands below, clashes marked where they happen."""

from __future__ import annotations

from textual.content import Content

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.fitted_axis import fitted_axis
from proofbell.app.drawing.sheet import Sheet
from proofbell.app.drawing.strip_drawing import (
    Block,
    StripRow,
    draw_axis,
    draw_hands,
    draw_now,
    draw_oven,
    draw_strip,
    head_width,
)
from proofbell.app.drawing.time_axis import SECOND, Axis
from proofbell.bake.stamp import Stamp
from proofbell.bench.board import Busy
from proofbell.bench.timetable import BakeTimes, Timetable
from proofbell.formula.model import StageKind
from proofbell.planner.model import Plan

AROUND = 3
"""Lines beside the strips: the hours, the oven, the hands."""

_KINDS: dict[str, StageKind] = {
    "hands": "hands", "proof": "proof", "rest": "rest", "chill": "chill", "bake": "bake", "cool": "cool",
}  # fmt: skip


class PlanDrawing(Sheet):
    """The plan that is looked at; the bake under the cursor is marked."""

    def __init__(self) -> None:
        super().__init__(id="drawing")
        self.plan: Plan | None = None
        self.table: Timetable | None = None
        self.origin_us = 0
        self.now: Stamp | None = None
        self.here = ""

    def drawn(self, width: int, height: int) -> Content:
        """Hours, strips, oven, hands."""
        canvas = Canvas(width, height)
        plan, table, now = self.plan, self.table, self.now
        if plan is None or table is None or now is None or not table.bakes:
            return canvas.content()
        rows = [_row(bake, bake.letter == self.here) for bake in table.bakes]
        head = head_width(rows, width)
        first_us = min(bake.hands_from_us for bake in table.bakes)
        axis = fitted_axis(first_us, table.ready_us, width - head - 1)
        room = max(1, height - AROUND)
        at = next((n for n, bake in enumerate(table.bakes) if bake.letter == self.here), 0)
        top = max(0, min(at - room + 1, len(rows) - room)) if len(rows) > room else 0
        draw_axis(canvas, 0, head, axis, now)
        for y, row in enumerate(rows[top : top + room], 1):
            draw_strip(canvas, y, head, row, axis)
            self._clashes(canvas, y, head, row.letter, axis)
        y = 1 + min(room, len(rows))
        draw_oven(canvas, y, head, oven_busy(table), axis, plan.problem.capacity.trays, now.wall_us)
        draw_hands(canvas, y + 1, head, hands_busy(table), axis, plan.problem.capacity.people, now.wall_us)
        draw_now(canvas, 1, y + 2, head, axis, now.wall_us)
        return canvas.content()

    def _clashes(self, canvas: Canvas, y: int, head: int, letter: str, axis: Axis) -> None:
        if self.plan is None:
            return
        for clash in self.plan.clashes:
            column = axis.column(self.origin_us + clash.at_s * SECOND)
            if letter in (clash.first_letter, clash.second_letter) and 0 <= column < axis.width:
                canvas.put(head + column, y, "✗", "$error bold reverse")


def _row(bake: BakeTimes, here: bool) -> StripRow:  # noqa: FBT001 - under the cursor, or not
    blocks = tuple(
        Block(line.name, _KINDS[line.kind], line.begins_us, line.ends_us, "past" if line.past else "coming")
        for line in bake.lines
    )
    return StripRow(bake.letter, bake.formula, blocks, "▸" if here else " ", "bold reverse" if here else "bold")


def oven_busy(table: Timetable) -> tuple[Busy, ...]:
    """The oven's day: heating up and baking."""
    return tuple(
        Busy("baking" if line.state == "baking" else "heating", line.letter, line.begins_us, line.ends_us,
             line.temperature_c)
        for line in table.oven
        if line.state in ("baking", "heating")
    )  # fmt: skip


def hands_busy(table: Timetable) -> tuple[Busy, ...]:
    """When hands are needed, and for which bake: of what is one act for two bakes, each its own part."""
    found: list[Busy] = []
    for line in table.hands:
        share_us = (line.ends_us - line.begins_us) // len(line.acts)
        for at, act in enumerate(line.acts):
            begin_us = line.begins_us + at * share_us
            found.append(Busy("hands", act.letter, begin_us, begin_us + share_us))
    return tuple(found)
