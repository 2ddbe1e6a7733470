"""What every test of a screen needs."""

from __future__ import annotations

import pytest
from textual.widgets import Input


@pytest.fixture(autouse=True)
def _still_cursor(monkeypatch: pytest.MonkeyPatch) -> None:
    """A cursor that blinks repaints by a timer of its own."""
    monkeypatch.setattr(Input, "cursor_blink", False)
