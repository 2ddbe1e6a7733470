"""How an alarm leaves the program: the bell, the terminal's own notification, and a command of the user's."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence

from textual.app import App

from proofbell.visible import visible

_MOST_COMMANDS = 4
"""Of the user's commands at one time: one that hangs must not fill the machine."""


def bell_and_notification(app: App[int], words: str) -> None:
    """BEL, and OSC 9, which terminals that do not know it leave out."""
    driver = app._driver  # the one place that writes to the terminal beside the screen
    if driver is None or app.is_headless:
        return
    driver.write("\a" + notification(words))
    driver.flush()


def notification(words: str) -> str:
    """The sequence for the terminal's own notification; nothing in the words can end it early."""
    return f"\x1b]9;{visible(words, most=120)}\x1b\\"


class Commands:
    """Runs the user's command for an alarm: no shell, no waiting, no output on the screen."""

    def __init__(self, command: Sequence[str]) -> None:
        self._command = tuple(command)
        self._running: list[subprocess.Popen[bytes]] = []

    def run(self, letter: str, words: str) -> str:
        """Start it with two more arguments: the letter, and what to do. Returns why it could not, or nothing."""
        self.reap()
        if not self._command or len(self._running) >= _MOST_COMMANDS:
            return ""
        try:
            started = subprocess.Popen(  # noqa: S603 - the user's own command, arguments only
                [*self._command, letter, visible(words)],
                stdin=subprocess.DEVNULL,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                start_new_session=True,
            )
        except (OSError, ValueError) as error:
            return f"The alarm's command could not be started: {error}"
        self._running.append(started)
        return ""

    def reap(self) -> None:
        """Forget those that have ended."""
        self._running = [one for one in self._running if one.poll() is None]
