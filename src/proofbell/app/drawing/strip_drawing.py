"""Draws bakes as strips on one time axis, with the oven's and the hands' rows below. Every kind has its own shape.

Shapes tell the kinds apart without colour: hands ▒, proofs ━, cold ┅, the oven █, cooling ┄. What was is thin.
"""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.time_axis import Axis, labels
from proofbell.bake.outlook import Span
from proofbell.bake.stamp import Stamp
from proofbell.bench.busy import Busy
from proofbell.bench.oven.loads import loads
from proofbell.bench.overload import hands_clashes, oven_clashes
from proofbell.formula.model import StageKind
from proofbell.frozen import dataclass
from proofbell.visible import visible

LEAST_HEAD, NAME_SHARE = 9, 0.22
"""Columns before the axis, for the letter and the name: at least so many, at most this part of the width."""

_FILL: dict[StageKind, str] = {"hands": "▒", "proof": "━", "rest": "━", "chill": "┅", "bake": "█", "cool": "┄"}
_PAST: dict[StageKind, str] = {"hands": "░", "proof": "─", "rest": "─", "chill": "┈", "bake": "▄", "cool": "┈"}
_STYLE: dict[StageKind, str] = {
    "hands": "$hands",
    "proof": "$proof",
    "rest": "$proof",
    "chill": "$cold",
    "bake": "$heat",
    "cool": "$quiet",
}
_RISING = "▁▂▃▄▅▆▇"
NOW = "│"


@dataclass(frozen=True, slots=True)
class Block:
    """One stage on the axis (UTC, µs)."""

    name: str
    kind: StageKind
    begin_us: int
    end_us: int
    when: str = "coming"


@dataclass(frozen=True, slots=True)
class StripRow:
    """One bake. ``mark`` is the sign before its letter: ▸ in hand, ! rings."""

    letter: str
    title: str
    blocks: tuple[Block, ...]
    mark: str = " "
    style: str = ""


def head_width(rows: Sequence[StripRow], width: int) -> int:
    """How many columns the letters and names take."""
    longest = max((cell_len(visible(row.title, most=80)) for row in rows), default=0)
    return min(max(LEAST_HEAD, longest + 4), max(LEAST_HEAD, round(width * NAME_SHARE)))


def block_of(span: Span, name: str, begin_us: int, end_us: int) -> Block:
    return Block(name, span.kind, begin_us, end_us, span.when)


def draw_axis(canvas: Canvas, y: int, head: int, axis: Axis, now: Stamp) -> None:
    """The hours. A label that would not fit whole is left out."""
    for column, words in labels(axis, now):
        if column + len(words) <= axis.width:
            canvas.put(head + column, y, words, "$quiet")


def draw_strip(canvas: Canvas, y: int, head: int, row: StripRow, axis: Axis) -> None:
    style = row.style or "bold"
    canvas.put(0, y, row.mark, style)
    canvas.put(1, y, row.letter, style)
    canvas.put(3, y, short(row.title, head - 4))
    # Of two that stand at the same time the one that begins later lies on top.
    for block in sorted(row.blocks, key=lambda block: block.begin_us):
        _block(canvas, y, head, block, axis)


def _block(canvas: Canvas, y: int, head: int, block: Block, axis: Axis) -> None:
    first, end = axis.column(block.begin_us), axis.column(block.end_us)
    end = max(end, first + 1)
    left, right = max(first, 0), min(end, axis.width)
    if left >= right:
        if first >= axis.width:
            canvas.put(head + axis.width - 1, y, "»", _STYLE[block.kind])
        return
    past = block.when == "past"
    style = _STYLE[block.kind] + (" dim" if past else " bold" if block.when == "now" else "")
    canvas.fill(head + left, y, right - left, (_PAST if past else _FILL)[block.kind], style)
    if first >= 0 and right - left > 1:
        canvas.put(head + left, y, "▏", style)
    room = right - left - 2
    if end > axis.width:
        canvas.put(head + axis.width - 1, y, "»", style)
        room -= 1
    name = visible(block.name, most=40)
    if 0 < cell_len(name) <= room:
        at = head + left + 1 + (room - cell_len(name)) // 2
        canvas.put(at, y, name, _name_style(block, style))


def _name_style(block: Block, style: str) -> str:
    return f"{style} reverse" if block.kind == "bake" and block.when != "past" else style


def draw_oven(
    canvas: Canvas, y: int, head: int, busy: Sequence[Busy], axis: Axis, places: int, now_us: int = 0
) -> None:
    """Rising while it heats, high while it is hot, full while something is in it, with the letters.

    ! where it cannot give what is wanted.
    """
    canvas.put(3, y, "oven", "$quiet")
    for one in sorted(busy, key=lambda b: b.use == "baking"):
        left, right = max(axis.column(one.begin_us), 0), min(max(axis.column(one.end_us), 0), axis.width)
        if one.use == "baking" and axis.column(one.end_us) >= 0:
            right = min(max(right, left + 1), axis.width)
        if left >= right:
            continue
        for column in range(left, right):
            share = (axis.moment(column) - one.begin_us) / max(1, one.end_us - one.begin_us)
            share = 1.0 if one.use == "hot" else share
            sign = "█" if one.use == "baking" else _RISING[max(0, min(int(share * len(_RISING)), len(_RISING) - 1))]
            if one.use != "baking" and canvas.at(head + column, y) != " ":
                continue
            canvas.put(head + column, y, sign, "$heat")
    _letters(canvas, y, head, busy, axis)
    for begin_us, end_us in oven_clashes(busy, places):
        if end_us <= now_us:
            continue
        for column in range(max(0, axis.column(begin_us)), min(axis.width, axis.column(end_us - 1) + 1)):
            if not canvas.at(head + column, y).isalpha():
                canvas.put(head + column, y, "!", "$error bold")


def _letters(canvas: Canvas, y: int, head: int, busy: Sequence[Busy], axis: Axis) -> None:
    """Whose bakes they are, in the middle of each; those that are in together side by side."""
    for load in loads(busy):
        left, right = max(axis.column(load.begin_us), 0), min(axis.column(load.end_us), axis.width)
        if right < 0:
            continue
        right = min(max(right, left + 1), axis.width)
        at = max(left, (left + right - len(load.letters)) // 2)
        for column, letter in enumerate(load.letters, at):
            if column < right:
                canvas.put(head + column, y, letter, "$heat reverse bold")


def draw_hands(canvas: Canvas, y: int, head: int, busy: Sequence[Busy], axis: Axis, people: int, now_us: int) -> None:
    """When hands are needed, thin where it is past, and for whom; ! where more will be needed than there are."""
    canvas.put(3, y, "hands", "$quiet")
    clashes = [(begin_us, end_us) for begin_us, end_us in hands_clashes(busy, people) if end_us > now_us]
    free: set[int] = set()
    for column in range(axis.width):
        begin_us, end_us = axis.moment(column), axis.moment(column + 1)
        if not any(one.begin_us < end_us and one.end_us > begin_us for one in busy):
            continue
        if end_us > now_us and any(first < end_us and last > begin_us for first, last in clashes):
            canvas.put(head + column, y, "!", "$error bold")
            continue
        canvas.put(head + column, y, (_PAST if end_us <= now_us else _FILL)["hands"], "$hands")
        if begin_us > now_us:
            free.add(column)
    # The shortest first: they have the fewest columns to choose from.
    for one in sorted(busy, key=lambda one: (one.end_us - one.begin_us, one.begin_us)):
        left, right = axis.column(one.begin_us), axis.column(one.end_us - 1)
        here = [column for column in free if left <= column <= right]
        if here:
            at = min(here, key=lambda column: (abs(2 * column - left - right), column))
            free.remove(at)
            canvas.put(head + at, y, one.letter, "$hands reverse bold")


def draw_now(canvas: Canvas, top: int, bottom: int, head: int, axis: Axis, now_us: int) -> None:
    """The line of this moment, through all rows; letters and names stay readable."""
    column = axis.column(now_us)
    if not 0 <= column < axis.width:
        return
    for y in range(top, bottom):
        here = canvas.at(head + column, y)
        if not here.isalnum():
            canvas.put(head + column, y, NOW, "$accent bold")


def short(text: str, width: int) -> str:
    """Some outside text made harmless and cut to so many cells."""
    shown = visible(text, most=80)
    if cell_len(shown) <= width:
        return shown
    while shown and cell_len(shown) > width - 1:
        shown = shown[:-1]
    return shown.rstrip() + "…"
