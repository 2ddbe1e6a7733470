"""A list of any length of which only the lines that can be seen are made. Used wherever something is chosen."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.geometry import Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.style import Style
from textual.visual import Visual

from proofbell.app.drawing.content import own, wrapped
from proofbell.app.terminal.boundary import contained

Line = Callable[[int, int], Content]
"""Makes line number (first) for a width (second)."""

MARK = "▸ "
NO_MARK = "  "


class _OnLine(Message):
    def __init__(self, rows: Rows, index: int) -> None:
        super().__init__()
        self.rows = rows
        self.index = index

    @property
    def control(self) -> Rows:
        """The list it happened in."""
        return self.rows


class Rows(ScrollView, can_focus=True):
    """Lines that a cursor moves over. The cursor has a mark of its own, so that it is seen without colour."""

    COMPONENT_CLASSES: ClassVar[set[str]] = {"rows--cursor", "rows--head"}

    DEFAULT_CSS = """
    Rows {
        overflow-x: hidden;
        padding: 0 1 0 0;
        &:focus > .rows--cursor { background: $primary 30%; text-style: bold; }
        & > .rows--cursor { text-style: bold; }
        &:ansi:focus > .rows--cursor { background: ansi_default; text-style: bold reverse; }
        & > .rows--head { text-style: underline; }
    }
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up,k", "move(-1)", "up", show=False),
        Binding("down,j", "move(1)", "down", show=False),
        Binding("pageup", "leaf(-1)", "page up", show=False),
        Binding("pagedown", "leaf(1)", "page down", show=False),
        Binding("home,g", "first", "first", show=False),
        Binding("end,G", "last", "last", show=False),
        Binding("enter", "choose", "choose", show=False),
    ]

    cursor: reactive[int] = reactive(0)

    class Moved(_OnLine):
        """The cursor stands on another line."""

    class Chosen(_OnLine):
        """Enter, or a click on the line under the cursor."""

    def __init__(self, *, empty: Content | None = None, id: str | None = None) -> None:  # noqa: A002 - as in every widget
        super().__init__(id=id)
        self._empty = empty or Content("")
        self._count = 0
        self._line: Line = lambda _index, _width: Content("")
        self._head: Callable[[int], Content] | None = None
        self._passed: frozenset[int] = frozenset()

    @property
    def count(self) -> int:
        return self._count

    def show(
        self,
        count: int,
        line: Line,
        *,
        cursor: int | None = None,
        head: Callable[[int], Content] | None = None,
        passed: Iterable[int] = (),
    ) -> None:
        """Show other lines. The cursor stays at its number unless it is given; it passes over the lines ``passed``.

        ``head`` stays on top.
        """
        self._count, self._line, self._head, self._passed = count, line, head, frozenset(passed)
        wanted = self.cursor if cursor is None else cursor
        self._resize()
        self.set_reactive(Rows.cursor, self.validate_cursor(wanted))
        self._keep_in_sight()
        self.refresh()

    def say_when_empty(self, words: Content) -> None:
        """What stands there when there is nothing to show."""
        self._empty = words
        self.refresh()

    def _resize(self) -> None:
        self.virtual_size = Size(self.size.width, self._count + self._head_lines)

    @property
    def _head_lines(self) -> int:
        return 0 if self._head is None else 1

    def on_resize(self) -> None:
        self._resize()
        self._keep_in_sight()
        self.refresh()

    def render_line(self, y: int) -> Strip:
        width = self.scrollable_content_region.width
        style = self.visual_style
        if self._head is not None and y == 0:
            return self._strip(NO_MARK + self._head(width - len(MARK)), width, "rows--head")
        if not self._count:
            lines = wrapped(self._empty, width) if self._empty else []
            at = y - self._head_lines
            return self._strip(lines[at], width) if 0 <= at < len(lines) else Strip.blank(width, style.rich_style)
        index = y - self._head_lines + self.scroll_offset.y
        if not 0 <= index < self._count:
            return Strip.blank(width, style.rich_style)
        here = index == self.cursor
        line = (MARK if here else NO_MARK) + self._made(index, width - len(MARK))
        return self._strip(line, width, "rows--cursor" if here else "").apply_offsets(0, index)

    def _made(self, index: int, width: int) -> Content:
        """One line; where it cannot be made, that is told, and no other line is missing for it."""
        try:
            return self._line(index, width)
        except Exception as error:
            if contained(error, self):
                return own("✗ cannot be shown")
            raise

    def _strip(self, line: Content, width: int, component: str = "") -> Strip:
        style = self.visual_style
        if component:
            style += self.get_visual_style(component, partial=True)
            if self.get_component_styles(component).text_style.reverse:  # which that leaves out
                style += Style(reverse=True)
        strips = Visual.to_strips(self, line.truncate(width, ellipsis=True), width, 1, style)
        return strips[0] if strips else Strip.blank(width, style.rich_style)

    def watch_cursor(self, before: int, now: int) -> None:
        if before != now:
            self._keep_in_sight()
            self.refresh()
            self.post_message(self.Moved(self, now))

    def validate_cursor(self, cursor: int) -> int:
        """The cursor stays on the lines, and on none that it passes over: it goes on to the next, or turns back."""
        wanted = max(0, min(cursor, self._count - 1))
        onward = range(wanted, -1, -1) if wanted < self.cursor else range(wanted, self._count)
        there = (*onward, *range(wanted, self._count), *range(wanted, -1, -1)) if wanted in self._passed else ()
        return next((index for index in there if index not in self._passed), wanted)

    def _keep_in_sight(self) -> None:
        if self._count:
            above = 1 if self.cursor - 1 in self._passed else 0
            region = Region(0, self.cursor - above, 1, 1 + above + self._head_lines)
            self.scroll_to_region(region, animate=False, force=True)

    def action_move(self, by: int) -> None:
        self.cursor += by

    def action_leaf(self, by: int) -> None:
        self.cursor += by * max(1, self.size.height - 1 - self._head_lines)

    def action_first(self) -> None:
        self.cursor = 0

    def action_last(self) -> None:
        self.cursor = self._count - 1

    def action_choose(self) -> None:
        if self._count:
            self.post_message(self.Chosen(self, self.cursor))

    def on_click(self, event: events.Click) -> None:
        """A click moves the cursor; a click on the line under it chooses."""
        index = event.y - self._head_lines + self.scroll_offset.y
        if event.y < self._head_lines or not 0 <= index < self._count:
            return
        if index == self.cursor:
            self.action_choose()
        self.cursor = index


def columns(cells: list[tuple[Content, int]], width: int) -> Content:
    """Cells beside each other; a negative width sets a cell to the right, 0 takes what is left."""
    taken = sum(abs(size) for _, size in cells) + 2 * (len(cells) - 1)
    rest = max(0, width - taken)
    parts: list[Content] = []
    for cell, size in cells:
        room = rest if size == 0 else abs(size)
        short = cell.truncate(room, ellipsis=True) if room else Content("")
        blank = " " * max(0, room - short.cell_length)
        parts.append(blank + short if size < 0 else short + blank)
    return Content("  ").join(parts)
