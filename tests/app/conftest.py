"""What every test of a screen needs."""

from __future__ import annotations

import pytest
from textual.widgets import Input

from proofbell.app.app import ProofbellApp


@pytest.fixture(autouse=True)
def _still_cursor(monkeypatch: pytest.MonkeyPatch) -> None:
    """A cursor that blinks repaints by a timer of its own."""
    monkeypatch.setattr(Input, "cursor_blink", False)


@pytest.fixture(autouse=True)
def _ticks_when_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """A test says when the app looks at the clock: a look of the app's own, on a busy machine, comes in between."""
    monkeypatch.setattr(ProofbellApp, "set_interval", lambda *_: None)
    monkeypatch.setattr(ProofbellApp, "look_in", lambda *_: None)
