"""How an alarm reaches the terminal: its bell, its own notification, and the countdown in its title."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from proofbell.app.alarms.notification import Way, sequence, way_of
from proofbell.app.alarms.tmux import tmux_lets_through
from proofbell.app.terminal.job_control import JobControl
from proofbell.app.terminal.textual_private import title_of_window, write_beside_the_screen
from proofbell.kitchen.model import Bell


class TerminalBell:
    """Rings in the app's terminal as the kitchen wants it now."""

    def __init__(self, app: JobControl, facts: Callable[[], Bell], environment: Mapping[str, str]) -> None:
        self._app, self._facts, self._environment = app, facts, environment
        self._lets_through = False
        self._title = ""

    @property
    def way(self) -> Way:
        """How the terminal is asked for a notification."""
        return way_of(self._facts().notify, self._environment, tmux_lets_through=self._lets_through)

    def look_at_tmux(self) -> None:
        """Ask tmux, if we are in it, whether it lets a notification through. May take a moment."""
        self._lets_through = tmux_lets_through(self._environment)

    def ring(self, words: str) -> None:
        """BEL, and the notification.

        Where another program has the terminal, BEL alone: it is one byte, and moves nothing on that program's screen.
        """
        output = self._app.output
        if output.lent:
            output.write("\a")
            output.flush()
        else:
            write_beside_the_screen(self._app, "\a" + sequence(self.way, words))

    def title(self, words: str) -> None:
        """Have the window's title say this; nothing is written where it does so already."""
        wanted = words if self._facts().title else ""
        if wanted != self._title:
            self._title = wanted
            title_of_window(self._app, wanted)

    def forget_title(self) -> None:
        """Somebody else may have had the terminal: the next title is written whatever it was."""
        self._title = ""
