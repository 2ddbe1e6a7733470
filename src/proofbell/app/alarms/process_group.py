"""A command with everything that it starts, which can be ended as one.

POSIX: a session of its own, so that a signal to its process group reaches its children too (IEEE Std 1003.1, `kill`,
`setsid`). What puts itself into another session is out of reach. Windows has no such groups: there the command alone
is ended.
"""

from __future__ import annotations

import contextlib
import signal
import subprocess
import sys
from collections.abc import Sequence


class ProcessGroup:
    """A command that runs without a shell, without input, and without a way to the screen.

    Raises:
        OSError: it could not be started.
        ValueError: an argument cannot be handed to a program.
    """

    def __init__(self, arguments: Sequence[str]) -> None:
        self._leader = subprocess.Popen(  # noqa: S603 - the user's own command, arguments only
            arguments,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )

    @property
    def status(self) -> int | None:
        """What the command itself ended with, minus the signal's number if by one; None while it runs."""
        return self._leader.poll()

    @property
    def is_alive(self) -> bool:
        """Whether the command, or something it started, still runs."""
        if self.status is None:
            return True
        # Asked often enough that the number cannot belong to somebody else by now.
        return self._signal(0)

    def end(self) -> None:
        """Ask all of it to end."""
        self._signal(signal.SIGTERM)

    def kill(self) -> None:
        """End all of it at once."""
        self._signal(signal.SIGTERM if sys.platform == "win32" else signal.SIGKILL)

    def wait(self, seconds: float) -> None:
        """Wait for the command itself, so long at most."""
        with contextlib.suppress(subprocess.TimeoutExpired):
            self._leader.wait(seconds)

    def _signal(self, which: int) -> bool:
        """Send it to all of it; whether anybody was there."""
        if sys.platform == "win32":
            if which and self._leader.poll() is None:
                self._leader.terminate()
            return self._leader.poll() is None
        import os

        try:
            os.killpg(self._leader.pid, which)
        except ProcessLookupError:
            return False
        except PermissionError:
            return self._leader.poll() is None
        return True
