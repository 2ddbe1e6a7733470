"""A widget that shows what it is given and repaints only the cells that change. Never markup."""

from __future__ import annotations

from textual.content import Content
from textual.geometry import Size
from textual.strip import Strip
from textual.visual import Visual
from textual.widgets import Static

from proofbell.app.drawing.changed import changed, line_of


class Sheet(Static):
    """Lines drawn by somebody else for this width and height. ``draw`` is called again when the size changes."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002 - as in every widget
        super().__init__(id=id, classes=classes, markup=False)
        self._shown: Content | None = None
        self._shown_in = Size(0, 0)
        self._strips: dict[int, Strip] = {}
        self._strips_for: object = None

    def render(self) -> Content:
        """What was drawn; in another size it is drawn anew at once, for the event that tells of it comes later."""
        size = self.content_size
        if size and size != self._shown_in:
            self._shown, self._shown_in = self.drawn(size.width, size.height), size
            self._strips.clear()
        return self._shown or Content("")

    def render_line(self, y: int) -> Strip:
        """One line, laid out by itself and kept: Textual lays all of them out for one that has changed."""
        content, laid_out = self.render(), (self.size, self.visual_style, self.text_selection)
        if laid_out != self._strips_for:
            self._strips_for = laid_out
            self._strips.clear()
        if y not in self._strips:
            line = None if self.text_selection is not None else line_of(content, y, self.size.width)
            if line is None:
                return super().render_line(y)
            strips = Visual.to_strips(self, line, self.size.width, 1, self.visual_style)
            blank = Strip.blank(self.size.width, self.visual_style.rich_style)
            # Where it stands is for the mouse, which marks text.
            self._strips[y] = strips[0].apply_offsets(0, y) if strips else blank
        return self._strips[y]

    def drawn(self, width: int, height: int) -> Content:
        """What to show in so many cells."""
        raise NotImplementedError

    def draw(self) -> None:
        """Look whether there is anything new to show."""
        size = self.content_size
        if size.width <= 0 or size.height <= 0:
            return
        content, before = self.drawn(size.width, size.height), self._shown
        if before is not None and content.is_same(before):
            return
        self._shown, self._shown_in = content, size
        regions = None if before is None else changed(before, content, size.width)
        if regions is None:
            self._strips.clear()
            self.refresh()
        elif regions:
            for region in regions:
                self._strips.pop(region.y, None)
            self.refresh(*regions)

    def on_resize(self) -> None:
        self.draw()
