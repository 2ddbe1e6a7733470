"""Stopped and continued, as a shell does with its jobs: ctrl+z and fg."""

from __future__ import annotations

import sys
from typing import ClassVar

from textual import constants
from textual.binding import Binding, BindingType
from textual.driver import Driver

from proofbell.app.terminal.keys_in_turn import KeysInTurn
from proofbell.app.terminal.output import Output


class JobControl(KeysInTurn):
    """An app that can be put aside from every screen, and whose terminal is set up again after any kind of stop."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+z", "suspend_process", "put aside", id="bench.suspend", show=False, priority=True)
    ]

    def __init__(self, *, ansi_color: bool | None = None) -> None:
        # Textual settles its driver at once.
        self.output = Output(sys.__stderr__ or sys.stderr)
        super().__init__(ansi_color=ansi_color)

    def get_driver_class(self) -> type[Driver]:
        """Our own driver where there are stops at all."""
        if sys.platform == "win32" or constants.DRIVER is not None:
            return super().get_driver_class()
        from proofbell.app.terminal.driver import BenchDriver

        class Driver_(BenchDriver):  # noqa: N801 - it only names the output
            output = self.output

        return Driver_

    @property
    def titled(self) -> bool:
        """Whether the window's title is ours, and has to be given back."""
        return self.output.titled

    def quiet_output(self) -> None:
        """Write nothing more to the terminal: somebody else is about to set it right. From any thread."""
        self.output.shut()
