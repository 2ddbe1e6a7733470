"""A plan as one row for each dough: letter, name, strip, when it begins and is ready, how far off that is.

Late doughs come first, those on the bench last. Above them stand the hours, below them the oven and the hands.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise

from rich.cells import cell_len
from textual.content import Content

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.strip_drawing import (
    Block,
    StripRow,
    draw_axis,
    draw_hands,
    draw_now,
    draw_oven,
    draw_strip,
    short,
)
from proofbell.app.drawing.time_axis import SECOND, Axis, fitted_axis
from proofbell.app.planning.day_plan import PlanDay, Planned
from proofbell.app.session.local_time import hour_minute
from proofbell.bake.stamp import Stamp
from proofbell.bench.busy import Busy
from proofbell.bench.plan.timetable import BakeTimes, Line, Timetable
from proofbell.formula.model import StageKind
from proofbell.frozen import dataclass
from proofbell.planner.plan import Plan
from proofbell.visible import visible
from proofbell.words import grams, length, pieces

LEAST_STRIP = 24
"""Where a strip has less room than this, the hour at which a dough begins is left out: it says so itself."""

LETTER = 2
NAME_SHARE = 0.2
LATE_US = 60 * SECOND

_KINDS: dict[str, StageKind] = {
    "hands": "hands", "proof": "proof", "rest": "rest", "chill": "chill", "bake": "bake", "cool": "cool",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class PlanRow:
    """One dough. ``planned`` is None for one on the bench, ``times`` until there is a plan; ``wanted_us`` UTC."""

    letter: str
    name: str
    planned: Planned | None
    times: BakeTimes | None
    wanted_us: int | None

    @property
    def off_us(self) -> int:
        """How much later than wanted it is ready (µs); negative: earlier; 0 for less than a minute."""
        if self.times is None or self.wanted_us is None:
            return 0
        off_us = self.times.off_us(self.wanted_us)
        return off_us if abs(off_us) >= LATE_US else 0


def plan_rows(day: PlanDay, table: Timetable | None) -> tuple[PlanRow, ...]:
    """The doughs that are asked for, the latest first; then those on the bench, as the plan has them."""
    times = {} if table is None else {bake.letter: bake for bake in table.bakes}
    asked = [
        PlanRow(bake.letter, bake.formula.name, bake, times.get(bake.letter), day.wanted_us(bake)) for bake in day.bakes
    ]
    asked.sort(key=lambda row: (-max(0, row.off_us), row.letter))
    ours = {row.letter for row in asked}
    there = [
        PlanRow(bake.letter, bake.formula, None, bake, _missed(day, bake) if bake.wanted_us is None else bake.wanted_us)
        for bake in times.values()
        if bake.letter not in ours
    ]
    return (*asked, *there)


def _missed(day: PlanDay, bake: BakeTimes) -> int | None:
    """The hour at which all is to be ready, where one on the bench will not be; the plan does not move it for that."""
    return day.ready_us if day.ready_us is not None and bake.ready_us > day.ready_us else None


def row_words(row: PlanRow, now: Stamp) -> str:
    """All about one dough: its whole name, its size, when it begins, is ready and is wanted."""
    told = [f"{row.letter} {visible(row.name, most=80)}"]
    if row.planned is not None:
        batch = row.planned.batch
        told.append(pieces(batch.pieces, batch.piece_g) or grams(batch.dough_g))
    if row.times is not None:
        told.append(f"{hour_minute(row.times.begins_us, now)} to {hour_minute(row.times.ready_us, now)}")
    if row.wanted_us is not None:
        told.append(f"wanted {hour_minute(row.wanted_us, now)}")
    moved_us = 0 if row.planned is None else row.planned.moved_us
    if moved_us:
        told.append(f"{length(abs(moved_us) / SECOND)} {'later' if moved_us > 0 else 'earlier'} by hand")
    return " · ".join(told)


@dataclass(frozen=True, slots=True)
class PlanPicture:
    """The rows of a plan beside each other on one axis, drawn for any width."""

    rows: tuple[PlanRow, ...]
    plan: Plan | None
    table: Timetable | None
    origin_us: int
    now: Stamp

    def head(self, width: int) -> Content:
        """The names of the columns and the hours."""
        canvas, columns = Canvas(width), self._columns(width)
        canvas.put(columns.begin, 0, "begin" if columns.begin else "", "$quiet")
        canvas.put(columns.ready, 0, "ready", "$quiet")
        if self.table is not None:
            draw_axis(canvas, 0, columns.strip, columns.axis, self.now)
        return canvas.content()

    def line(self, index: int, width: int) -> Content:
        row, canvas, columns = self.rows[index], Canvas(width), self._columns(width)
        blocks = () if row.times is None else tuple(block for line in row.times.lines for block in _blocks(line))
        strip = StripRow("", "", blocks)
        self._quiet(canvas, 0, columns)
        draw_strip(canvas, 0, columns.strip, strip, columns.axis)
        draw_now(canvas, 0, 1, columns.strip, columns.axis, self.now.wall_us)
        self._clashes(canvas, row.letter, columns)
        canvas.put(0, 0, row.letter, "bold" if row.planned is not None else "$quiet")
        canvas.put(LETTER, 0, short(row.name, columns.name), "" if row.planned is not None else "$quiet")
        begin, ready, off = self._cells(row)
        if columns.begin:
            canvas.put(columns.strip - 1 - len(begin), 0, begin, "bold")
        canvas.put(columns.off - 2 - len(ready), 0, ready, "bold")
        canvas.put(columns.off, 0, off, "bold $warning" if row.off_us > 0 else "$quiet")
        return canvas.content()

    def foot(self, width: int) -> Content:
        """The oven and the hands, for rows of this width; one cell wider than they are, on the left."""
        canvas, columns = Canvas(width + 1, 2), self._columns(width)
        if self.plan is None or self.table is None:
            return canvas.content()
        columns = replace(columns, strip=columns.strip + 1)
        capacity, now_us, head = self.plan.problem.capacity, self.now.wall_us, columns.strip
        draw_oven(canvas, 0, head, oven_busy(self.table), columns.axis, capacity.trays, now_us)
        self._quiet(canvas, 1, columns)
        draw_hands(canvas, 1, head, hands_busy(self.table), columns.axis, capacity.people, now_us)
        draw_now(canvas, 0, 2, head, columns.axis, now_us)
        return canvas.content()

    def _columns(self, width: int) -> _Columns:
        cells = [self._cells(row) for row in self.rows]
        begin, ready, off = (max((cell_len(line[at]) for line in cells), default=0) for at in range(3))
        begin, ready = max(begin, len("begin")), max(ready, len("ready"))
        longest = max((cell_len(visible(row.name, most=80)) for row in self.rows), default=0)
        name = min(longest, max(8, round(width * NAME_SHARE)))
        before, after = LETTER + name + 1, 1 + ready + 2 + off
        shown = width - before - begin - 1 - after >= LEAST_STRIP
        strip = before + (begin + 1 if shown else 0)
        axis_width = max(1, width - strip - after)
        axis = Axis(self.origin_us, 60 * SECOND, axis_width)
        if self.table is not None and self.table.bakes:
            first_us = min(bake.hands_from_us for bake in self.table.bakes)
            axis = fitted_axis(first_us, self.table.ready_us, axis_width)
        end = strip + axis_width + 1
        return _Columns(name, before + begin - len("begin") if shown else 0, strip, axis, end + ready - 5, width - off)

    def _cells(self, row: PlanRow) -> tuple[str, str, str]:
        if row.times is None:
            return "…", "…", ""
        begins_us = row.times.begins_us
        off = f"{length(abs(row.off_us) / SECOND)} {'late' if row.off_us > 0 else 'early'}" if row.off_us else ""
        if not off and row.planned is None:
            off = "begun" if begins_us < self.now.wall_us else "waits"
        elif not off and row.planned is not None and (row.planned.moved_us or row.planned.bake):
            off = "moved" if row.planned.moved_us else "waits"
        return hour_minute(begins_us, self.now), hour_minute(row.times.ready_us, self.now), off

    def _quiet(self, canvas: Canvas, y: int, columns: _Columns) -> None:
        """The hours in which nobody works; what happens in them is drawn over them."""
        axis = columns.axis
        for begin_us, end_us in () if self.table is None else self.table.quiet:
            for column in range(max(0, axis.column(begin_us)), min(axis.width, axis.column(end_us - 1) + 1)):
                canvas.put(columns.strip + column, y, "·", "$quiet")

    def _clashes(self, canvas: Canvas, letter: str, columns: _Columns) -> None:
        for clash in () if self.plan is None else self.plan.clashes:
            column = columns.axis.column(self.origin_us + clash.at_s * SECOND)
            if letter in (clash.first_letter, clash.second_letter) and 0 <= column < columns.axis.width:
                canvas.put(columns.strip + column, 0, "✗", "$error bold reverse")


@dataclass(frozen=True, slots=True)
class _Columns:
    """Cells for the name, and where the columns begin; ``begin`` is 0 where there is no room for it."""

    name: int
    begin: int
    strip: int
    axis: Axis
    ready: int
    off: int


def _blocks(line: Line) -> Iterator[Block]:
    """A stage as a block; a bake of several loads as one for each, with the time between them."""
    when = "past" if line.past else "coming"
    if len(line.loads) < 2:
        yield Block(line.name, "chill" if line.cold else _KINDS[line.kind], line.begins_us, line.ends_us, when)
        return
    for load in line.loads:
        yield Block(line.name, _KINDS[line.kind], load.begins_us, load.ends_us, when)
    for before, after in pairwise(line.loads):
        if after.begins_us > before.ends_us:
            yield Block("", "cool", before.ends_us, after.begins_us, when)


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
