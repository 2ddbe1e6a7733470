"""Stopped and continued, as a shell does with its jobs: ctrl+z and fg. And put aside for another program."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator
from typing import ClassVar

from textual import constants
from textual.binding import Binding, BindingType
from textual.driver import Driver

from proofbell.app.terminal.keys_in_turn import KeysInTurn
from proofbell.app.terminal.output import Output
from proofbell.app.terminal.terminal_modes import TerminalModes
from proofbell.browser import in_browser
from proofbell.errors import Failure


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

    def aside(self) -> contextlib.AbstractContextManager[None]:
        """Leave the terminal to another program for a while. The app goes on meanwhile, unseen; what is due rings.

        However that program ends, and whatever it leaves the terminal in, the screens come back whole.

        Raises:
            Failure: in a browser's window there is no terminal to leave.
        """
        return self._aside()

    @contextlib.contextmanager
    def _aside(self) -> Iterator[None]:
        if in_browser():
            raise Failure("Another program can be opened in a terminal only.", "Start proofbell in one for that.")
        if self.is_headless:
            yield
            return
        fault: BaseException | None = None
        with self.suspend():
            modes = TerminalModes()
            self.output.lent = True
            try:
                yield
            except BaseException as error:  # noqa: BLE001 - Textual would not take the terminal back; raised below
                fault = error
            modes.restore()
            self.output.lent = False
        if fault is not None:
            raise fault

    def quiet_output(self) -> None:
        """Write nothing more to the terminal: somebody else is about to set it right. From any thread."""
        self.output.shut()
