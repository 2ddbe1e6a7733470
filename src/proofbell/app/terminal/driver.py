"""The terminal's driver: one that a lost terminal cannot block, and that comes back whole from every stop.

A program may be stopped politely (SIGTSTP, as by ctrl+z) or without being asked (SIGSTOP); both are undone by SIGCONT
(IEEE Std 1003.1, General Terminal Interface, job control). After the first the terminal is as the shell left it, after
the second it is in any state.
"""

from __future__ import annotations

import asyncio
import contextlib
import signal
from collections.abc import Callable
from typing import TYPE_CHECKING, Any, ClassVar

from proofbell.app.terminal.output import Output
from proofbell.app.terminal.terminal_modes import TITLE_BACK, TITLE_KEPT
from proofbell.app.terminal.textual_private import StoppedDriver
from proofbell.visible import visible

if TYPE_CHECKING:
    from textual.app import App

LONGEST_WAIT_S = 0.1
"""So long the screen's thread waits for room among what is to be written before it looks round."""

_TRIES = 1000
"""So often it is tried to have the terminal back: each bg of the shell takes one."""


class BenchDriver(StoppedDriver):
    """Textual's own driver with another way to stop and to continue. It writes to ``output``."""

    output: ClassVar[Output]

    def __init__(
        self, app: App[Any], *, debug: bool = False, mouse: bool = True, size: tuple[int, int] | None = None
    ) -> None:
        super().__init__(app, debug=debug, mouse=mouse, size=size)
        self.write_to(self.output)
        self._on = False
        self._shells_modes: list[Any] | None = None

    def write(self, data: str) -> None:
        """As Textual does, but never waiting for ever in one go: between two tries a signal is taken."""
        # A signal that another thread was given does not end a wait of this one.
        while not (self.output.is_shut or self.output.lent) and not self.put(data, LONGEST_WAIT_S):
            pass

    def start_application_mode(self) -> None:
        """As Textual does; but what the terminal was like before an unasked stop is not what it is like now."""
        super().start_application_mode()  # type: ignore[no-untyped-call]
        self._on = not self.waits_for_terminal
        if self._shells_modes is not None:
            self.attrs_before = self._shells_modes

    def title(self, words: str) -> None:
        """Set the window's title (OSC 2); the one it had is kept aside before, and comes back with an empty one."""
        if not words:
            self._title_back()
        elif self._on:
            kept = "" if self.output.titled else TITLE_KEPT
            self.output.titled = True
            self.write(f"{kept}\x1b]2;{visible(words, most=100)}\x1b\\")
            self.flush()

    def _title_back(self) -> None:
        if self.output.titled:
            self.output.titled = False
            self.write(TITLE_BACK)
            self.flush()

    def stop_application_mode(self) -> None:
        """As Textual does; the title is the shell's again."""
        self._title_back()
        self._on = False
        super().stop_application_mode()

    def asked_to_stop(self) -> None:
        """Stop between two turns of the loop: here a lock of the writer's queue may be held."""
        self._in_turn(self._stop)

    def continued(self) -> None:
        """Set up again between two turns of the loop."""
        self._in_turn(self._set_up_again)

    @staticmethod
    def _in_turn(job: Callable[[], None]) -> None:
        with contextlib.suppress(RuntimeError):
            asyncio.get_running_loop().call_soon_threadsafe(job)

    def _stop(self) -> None:
        """Leave the terminal to the shell, stop, and have it back when the shell says so."""
        self.tell_of_stop()
        if not (self._on and self.starts_again):
            signal.raise_signal(signal.SIGSTOP)
            return
        self.suspend_application_mode()
        self._shells_modes = None
        before = signal.signal(signal.SIGCONT, signal.SIG_DFL)
        signal.raise_signal(signal.SIGSTOP)
        self._start_again()
        signal.signal(signal.SIGCONT, before)

    def _set_up_again(self) -> None:
        """Somebody stopped the program without asking: set everything up once more."""
        if self._on and self.starts_again:
            self._on = False
            self._shells_modes = self.attrs_before
            self.disable_input()
            self.close()
            self._start_again()

    def _start_again(self) -> None:
        """Until the terminal is ours: in the background the attempt ends in another stop."""
        self.tell_of_return()
        for _ in range(_TRIES):
            self.start_application_mode()
            if self._on:
                self.redraw()
                return
        self.give_up()
