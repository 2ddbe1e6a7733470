"""A terminal's modes: what they were before the screens opened, and how to bring them back without the screens' help.

Sequences: ECMA-48 (SGR, and CAN that ends one that was cut off), and xterm's "Control Sequences" for the private modes.
"""

from __future__ import annotations

import contextlib
import os
import select
import sys
from typing import Any

if sys.platform != "win32":
    import termios

_OFF = ("2026", "1000", "1002", "1003", "1006", "1015", "1016", "2004", "2048", "1004")
"""Held output, the mouse in all its ways, pasted text in brackets, resizes and focus told in the input."""

RESET = ("\x18" + "".join(f"\x1b[?{mode}l" for mode in _OFF) + "\x1b[?7h\x1b[<u\x1b[0m\x1b[?1049l\x1b[?25h").encode(
    "ascii"
)
"""All of it off; lines wrap, the keyboard as usual, no colour, the first screen, the cursor shown."""


LISTENS_S = 0.2
"""So long it may take to listen: a picture that is not read yet fills its line."""

TITLE_KEPT = "\x1b[22;2t"
"""Have the terminal keep its window's title aside (xterm, "Control Sequences", window manipulation)."""

TITLE_BACK = "\x1b]2;\x1b\\\x1b[23;2t"
"""Give it back. Emptied first: no countdown stays where a terminal cannot, and most shells set it anyway."""


class TerminalModes:
    """Remembers how the terminal is now. ``given`` are the descriptors through which it is reached."""

    def __init__(self, given: int = 0, shown: int = 2) -> None:
        self._given, self._shown = given, shown
        self._before: list[Any] | None = None
        if sys.platform != "win32":
            with contextlib.suppress(termios.error, OSError, ValueError):
                self._before = termios.tcgetattr(given)

    def differ(self) -> bool:
        """Whether it is not as it was; False where it is gone."""
        if sys.platform == "win32" or self._before is None:
            return False
        with contextlib.suppress(termios.error, OSError, ValueError):
            return termios.tcgetattr(self._given) != self._before
        return False

    def restore(self, *, titled: bool = False, wait_s: float = LISTENS_S) -> None:
        """Bring it back, if it is there and listens within ``wait_s``, and its title if it was ours.

        From any thread; raises nothing.
        """
        if sys.platform == "win32" or self._before is None:
            return
        with contextlib.suppress(termios.error, OSError, ValueError):
            termios.tcsetattr(self._given, termios.TCSANOW, self._before)
        with contextlib.suppress(OSError, ValueError):
            # One that takes nothing would keep us waiting; one that was just painted takes more in a moment.
            _, listens, _ = select.select([], [self._shown], [], wait_s)
            if listens:
                os.write(self._shown, RESET + (TITLE_BACK.encode("ascii") if titled else b""))
