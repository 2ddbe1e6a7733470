"""Stopped and continued, as a shell does with its jobs: ctrl+z and fg."""

from __future__ import annotations

import sys
from typing import ClassVar

from textual import constants
from textual.binding import Binding, BindingType
from textual.driver import Driver

from proofbell.app.terminal.keys_in_turn import KeysInTurn


class JobControl(KeysInTurn):
    """An app that can be put aside from every screen, and whose terminal is set up again after any kind of stop."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+z", "suspend_process", "put aside", id="bench.suspend", show=False, priority=True)
    ]

    def get_driver_class(self) -> type[Driver]:
        """Our own driver where there are stops at all."""
        if sys.platform == "win32" or constants.DRIVER is not None:
            return super().get_driver_class()
        from proofbell.app.terminal.driver import BenchDriver

        return BenchDriver

    def quiet_output(self) -> None:
        """Write nothing more to the terminal: somebody else is about to set it right. From any thread."""
        output = getattr(self._driver, "output", None)
        if output is not None:
            output.shut()
