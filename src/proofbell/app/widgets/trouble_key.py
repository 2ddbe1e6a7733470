"""The key to all that stands wrong, for whatever lies over the bench."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from textual.binding import Binding

if TYPE_CHECKING:
    from textual.screen import Screen

TROUBLE_KEY = Binding("exclamation_mark", "trouble", "what is wrong", id="bench.trouble", show=False)
"""Named as on the bench: the kitchen file moves both."""


class TroubleKey:
    """What the key does; a screen lists ``TROUBLE_KEY`` among its own, for Textual looks for bindings there only."""

    def action_trouble(self) -> None:
        """All that stands wrong."""
        show = getattr(cast("Screen[Any]", self).app, "show_troubles", None)
        if show is not None:
            show()
