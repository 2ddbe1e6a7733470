"""A bench that is drawn for a browser: what ``proofbell serve`` tells the program it starts, by its environment."""

from __future__ import annotations

import os
from collections.abc import Mapping

VARIABLE = "PROOFBELL_BROWSER"
"""Set for such a bench; its value is the theme that the browser's setting asks for."""

DRIVER = "TEXTUAL_DRIVER"
"""Textual draws with the driver that is named here; its own for browsers wants pipes in place of a terminal."""


def in_browser(environment: Mapping[str, str] = os.environ) -> bool:
    """Whether this program's screens are shown in a browser."""
    return bool(environment.get(VARIABLE)) and bool(environment.get(DRIVER))
