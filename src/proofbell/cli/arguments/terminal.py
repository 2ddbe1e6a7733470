"""Whether there is a terminal to draw on."""

from __future__ import annotations

import os
import sys

from proofbell.browser import in_browser
from proofbell.errors import Failure

CANNOT_DRAW = ("", "dumb", "unknown")
"""Names of a terminal that cannot move its cursor: "dumb" and "unknown" stand for that in terminfo(5)'s database."""


def need_terminal(what: str, instead: str) -> None:
    """See that screens can be drawn. ``what`` needs them; ``instead`` says what serves without, after "or ".

    In a browser's window there is one to draw on, though no terminal.

    Raises:
        Failure: standard input or output is no terminal, or TERM names one that cannot draw.
    """
    if in_browser():
        return
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise Failure(f"{what} needs a terminal.", f"Start it in one, or {instead}", status=1)
    # Windows does not use TERM.
    if sys.platform != "win32" and os.environ.get("TERM", "") in CANNOT_DRAW:
        named = "TERM says nothing" if not os.environ.get("TERM") else f'TERM is "{os.environ["TERM"]}"'
        raise Failure(
            f"{what} needs a terminal that can draw; {named}.",
            f"Set TERM to the terminal's name, such as xterm-256color, or {instead}",
            status=1,
        )
