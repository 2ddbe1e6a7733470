"""The terminal's driver: one that a lost terminal cannot block, and that comes back whole from every stop.

A program may be stopped politely (SIGTSTP, as by ctrl+z) or without being asked (SIGSTOP); both are undone by SIGCONT
(IEEE Std 1003.1, General Terminal Interface, job control). After the first the terminal is as the shell left it, after
the second it is in any state.
"""

from __future__ import annotations

import asyncio
import contextlib
import signal
import sys
import threading
from collections.abc import Callable
from queue import Full
from typing import IO, TYPE_CHECKING, Any, cast

from textual.drivers.linux_driver import LinuxDriver

if TYPE_CHECKING:
    from textual.app import App

LONGEST_WAIT_S = 0.1
"""So long the screen's thread waits for room among what is to be written before it looks round."""

_TRIES = 1000
"""So often it is tried to have the terminal back: each bg of the shell takes one."""


class Output:
    """Standard error as the writer's thread uses it. What cannot be written is dropped.

    The writer's queue is bounded: if its thread ended with the first fault, whoever writes next would wait for ever.
    """

    def __init__(self, file: IO[str]) -> None:
        self._file = file
        self._shut = False
        self._one_at_a_time = threading.Lock()

    def write(self, text: str) -> int:
        """Write, or drop it."""
        with self._one_at_a_time, contextlib.suppress(OSError, ValueError):
            if not self._shut:
                self._file.write(text)
        return len(text)

    def flush(self) -> None:
        """Send on what was written, or drop it."""
        with self._one_at_a_time, contextlib.suppress(OSError, ValueError):
            if not self._shut:
                self._file.flush()

    def fileno(self) -> int:
        """The descriptor of standard error."""
        return self._file.fileno()

    @property
    def is_shut(self) -> bool:
        """Whether everything is dropped."""
        return self._shut

    def shut(self) -> None:
        """Drop everything from now on; waits a moment for what is being written."""
        self._shut = True
        if self._one_at_a_time.acquire(timeout=0.2):
            self._one_at_a_time.release()


class BenchDriver(LinuxDriver):
    """Textual's own driver with another way to stop and to continue."""

    def __init__(
        self, app: App[Any], *, debug: bool = False, mouse: bool = True, size: tuple[int, int] | None = None
    ) -> None:
        super().__init__(app, debug=debug, mouse=mouse, size=size)
        self.output = Output(cast("IO[str]", sys.__stderr__))
        self._file = cast("Any", self.output)
        self._on = False
        self._shells_modes: list[Any] | None = None

    def write(self, data: str) -> None:
        """As Textual does, but never waiting for ever in one go: between two tries a signal is taken."""
        writer = self._writer_thread
        while writer is not None and not self.output.is_shut:
            with contextlib.suppress(Full):
                # A signal that another thread was given does not end a wait of this one.
                writer._queue.put(data, timeout=LONGEST_WAIT_S)
                return

    def start_application_mode(self) -> None:
        """As Textual does; but what the terminal was like before an unasked stop is not what it is like now."""
        super().start_application_mode()  # type: ignore[no-untyped-call]
        self._on = not self._must_signal_resume
        if self._shells_modes is not None:
            self.attrs_before = self._shells_modes

    def stop_application_mode(self) -> None:
        """As Textual does."""
        self._on = False
        super().stop_application_mode()

    def _sigtstp_application(self, *_: object) -> None:
        """Stop between two turns of the loop: here a lock of the writer's queue may be held."""
        self._in_turn(self._stop)

    def _sigcont_application(self, *_: object) -> None:
        self._in_turn(self._continued)

    @staticmethod
    def _in_turn(job: Callable[[], None]) -> None:
        with contextlib.suppress(RuntimeError):
            asyncio.get_running_loop().call_soon_threadsafe(job)

    def _stop(self) -> None:
        """Leave the terminal to the shell, stop, and have it back when the shell says so."""
        self._app._suspend_signal()
        if not (self._on and self._auto_restart):
            signal.raise_signal(signal.SIGSTOP)
            return
        self.suspend_application_mode()
        self._shells_modes = None
        before = signal.signal(signal.SIGCONT, signal.SIG_DFL)
        signal.raise_signal(signal.SIGSTOP)
        self._start_again()
        signal.signal(signal.SIGCONT, before)

    def _continued(self) -> None:
        """Somebody stopped the program without asking: set everything up once more."""
        if self._on and self._auto_restart:
            self._on = False
            self._shells_modes = self.attrs_before
            self.disable_input()
            self.close()
            self._start_again()

    def _start_again(self) -> None:
        """Until the terminal is ours: in the background the attempt ends in another stop."""
        self._must_signal_resume = True
        for _ in range(_TRIES):
            self.start_application_mode()
            if self._on:
                self._app.screen.refresh(layout=True)
                return
        self._app.exit(1)
