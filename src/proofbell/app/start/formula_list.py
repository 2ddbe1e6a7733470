"""The list of formulas at hand, in its sections, with when each was last baked."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from textual.content import Content

from proofbell.app.drawing.content import outside, own
from proofbell.app.session.local_time import wall
from proofbell.app.start.at_hand import HEADS, Item, Row
from proofbell.app.start.start_words import last_size, total_words
from proofbell.app.widgets.rows import Rows, columns
from proofbell.bake.stamp import Stamp

WIDE = 34
"""Columns from which on a line has room for the size or the time too."""


class FormulaList(Rows):
    """The cursor passes over the headings."""

    def __init__(self) -> None:
        super().__init__(id="formulas", empty=own("Reading the formulas …"))
        self._rows: tuple[Row, ...] = ()
        self._now = Stamp(0, 0, "", 0)
        self.moved = False
        """Whether somebody moved the cursor: known at once, before any message of it arrives."""

    @property
    def item(self) -> Item | None:
        """The one under the cursor; None when there is none."""
        row = self._rows[self.cursor] if self.cursor < len(self._rows) else None
        return row if isinstance(row, Item) else None

    def put(self, rows: Sequence[Row], now: Stamp, *, keep: bool, file: Path | None = None) -> None:
        """Show other rows. ``keep``: the cursor stays with its formula, if that is still there.

        Else it goes to ``file``, and without that on top.
        """
        here = self.item
        self._rows, self._now = tuple(rows), now
        keys = [row.key if isinstance(row, Item) else None for row in rows]
        files = [row.file.path if isinstance(row, Item) else None for row in rows]
        cursor = files.index(file) if file in files and file is not None else 0
        if keep and here is not None and here.key in keys:
            cursor = keys.index(here.key)
        passed = (index for index, row in enumerate(rows) if not isinstance(row, Item))
        self.show(len(rows), self._words, cursor=cursor, passed=passed)

    def watch_cursor(self, before: int, now: int) -> None:
        self.moved = self.moved or before != now
        super().watch_cursor(before, now)

    def action_choose(self) -> None:
        """Say that enter was pressed, also while nothing is read yet."""
        self.post_message(self.Chosen(self, self.cursor))

    def _words(self, index: int, width: int) -> Content:
        row = self._rows[index]
        if not isinstance(row, Item):
            return own(HEADS[row], "underline")
        title, formula = outside(row.file.title), row.file.formula
        if formula is None:
            return columns([(title, 0), (own("faulty ", "$text-error"), 7)], width)
        when = "" if row.last_us is None else self._ago(row.last_us)
        if width < WIDE:
            return columns([(title, 0), (own(when, "dim"), -len(when))], width) if when else title
        middle = total_words(formula) if row.again is None else last_size(row.again)
        return columns([(title, 0), (own(middle, "dim"), -11), (own(when, "dim"), -6)], width)

    def _ago(self, last_us: int) -> str:
        """``today``, ``5 d`` or ``3 wk`` ago."""
        days = (wall(self._now.wall_us, self._now).date() - wall(last_us, self._now).date()).days
        if days <= 0:
            return "today"
        return f"{days} d" if days < 14 else f"{days // 7} wk"
