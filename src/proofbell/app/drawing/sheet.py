"""A widget that shows what it is given and repaints only when that changes. Never markup."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static


class Sheet(Static):
    """Lines drawn by somebody else for this width and height. ``draw`` is called again when the size changes."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002 - as in every widget
        super().__init__(id=id, classes=classes, markup=False)
        self._shown: Content | None = None

    def drawn(self, width: int, height: int) -> Content:
        """What to show in so many cells."""
        raise NotImplementedError

    def draw(self) -> None:
        """Look whether there is anything new to show."""
        size = self.content_size
        if size.width <= 0 or size.height <= 0:
            return
        content = self.drawn(size.width, size.height)
        if self._shown is None or not content.is_same(self._shown):
            self._shown = content
            self.update(content, layout=False)

    def on_resize(self) -> None:
        self.draw()
