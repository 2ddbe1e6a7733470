"""A widget that shows what it is given and repaints only the cells that change. Never markup."""

from __future__ import annotations

from textual.content import Content
from textual.geometry import Size
from textual.widgets import Static

from proofbell.app.drawing.changed import changed


class Sheet(Static):
    """Lines drawn by somebody else for this width and height. ``draw`` is called again when the size changes."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002 - as in every widget
        super().__init__(id=id, classes=classes, markup=False)
        self._shown: Content | None = None
        self._shown_in = Size(0, 0)

    def render(self) -> Content:
        """What was drawn; in another size it is drawn anew at once, for the event that tells of it comes later."""
        size = self.content_size
        if size and size != self._shown_in:
            self._shown, self._shown_in = self.drawn(size.width, size.height), size
        return self._shown or Content("")

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
            self.refresh()
        elif regions:
            self.refresh(*regions)

    def on_resize(self) -> None:
        self.draw()
