"""The end of the terminal, or of the program by a signal: gone within three seconds, whatever waits.

A thread of its own looks for it, so that a screen that waits for the terminal's output, or for a disk, hinders nothing.
It sees the line hung up (POLLHUP of `poll`) and is told of SIGHUP and SIGTERM. It gives the right to ring up at once,
asks the app to leave, has the last words said should the app not be able to, and ends the process. Should even this
thread not come round to it, the system's timer does.

SIGQUIT and SIGABRT do what they always do, once the terminal is as it was. Windows ends programs in its own way.
"""

from __future__ import annotations

import contextlib
import os
import select
import signal
import sys
import threading
from collections.abc import Callable
from types import TracebackType
from typing import TYPE_CHECKING, Any, Protocol, Self

from proofbell.app.terminal.terminal_modes import LISTENS_S, TerminalModes
from proofbell.browser import in_browser

if TYPE_CHECKING:
    import asyncio

    from proofbell.app.alarms.alarm_command import Commands
    from proofbell.app.session.live import Live

LEAVE_S = 1.2
"""How long the app is asked to leave before the last words are said without it."""

LONGEST_S = 2.6
"""From the hang-up to the end of the process; 0.3 s later the system ends it."""

_ASK_EVERY_S = 0.1

Job = Callable[[], None]


class Runs(Protocol):
    """The app as the end of the program sees it."""

    @property
    def live(self) -> Live:
        """The bakes that are on."""
        ...

    @property
    def commands(self) -> Commands:
        """The alarm's commands that run."""
        ...

    @property
    def loop(self) -> asyncio.AbstractEventLoop | None:
        """The loop of the screens' thread, once it runs."""
        ...

    @property
    def return_code(self) -> int | None:
        """How it ended."""
        ...

    def run(self) -> int | None: ...

    def leave(self, status: int) -> None: ...

    @property
    def titled(self) -> bool:
        """Whether the window's title is its own at present."""
        ...

    def quiet_output(self) -> None:
        """Write nothing more to the terminal."""
        ...


def run_to_the_end(app: Runs, *, let_go: Job | None = None, last_words: Job | None = None) -> int:
    """Run the app in its terminal and return the exit status; the terminal is left as it was, however it ends.

    ``let_go`` gives up the right to ring, for good and at once. ``last_words`` writes what is not on the disk yet;
    it is called only when the app does not leave by itself, and has what is then left of the time. Both run in
    another thread.
    """
    modes = TerminalModes()

    def leave() -> None:
        loop = app.loop
        if loop is not None:
            loop.call_soon_threadsafe(app.leave, int(bool(app.live.unsaved)))

    def restore(wait_s: float) -> None:
        app.commands.close(0)
        app.quiet_output()
        modes.restore(titled=app.titled, wait_s=wait_s)

    if sys.platform == "win32":
        return app.run() or app.return_code or 0
    with HangUp(let_go=let_go, leave=leave, last_words=last_words, restore=restore):
        try:
            return app.run() or app.return_code or 0
        finally:
            # The screens do it themselves, unless they met a fault.
            if modes.differ():
                restore(LISTENS_S)


class HangUp:
    """Looks for the hang-up from entering to leaving; once it has come, until the process ends."""

    def __init__(
        self, *, leave: Job, restore: Callable[[float], None], let_go: Job | None = None, last_words: Job | None = None
    ) -> None:
        self._leave, self._restore, self._let_go, self._last_words = leave, restore, let_go, last_words
        self._told, self._tell = os.pipe()
        os.set_blocking(self._tell, False)
        self._left = threading.Event()
        self._came = False
        self._before: dict[int, Any] = {}
        self._thread = threading.Thread(target=self._look, name="hang-up", daemon=True)

    def __enter__(self) -> Self:
        """Begin to look. In the main thread: only there can signals be taken."""
        for which in (signal.SIGHUP, signal.SIGTERM):
            # Whoever started us with a signal ignored, as nohup does, means it.
            if signal.getsignal(which) is not signal.SIG_IGN:
                self._before[which] = signal.signal(which, self._on_end)
        for which in (signal.SIGQUIT, signal.SIGABRT):
            self._before[which] = signal.signal(which, self._on_abort)
        self._before[signal.SIGALRM] = signal.signal(signal.SIGALRM, signal.SIG_DFL)
        self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        """The app has left. After a hang-up all that follows has to be done in time, too: then looking goes on."""
        self._left.set()
        self._say(b".")
        while self._thread.is_alive() and not self._came:
            self._thread.join(0.02)
        if not self._came:
            for which, handler in self._before.items():
                signal.signal(which, handler)
            os.close(self._told)
            os.close(self._tell)

    def _say(self, word: bytes) -> None:
        with contextlib.suppress(OSError):
            os.write(self._tell, word)

    def _on_end(self, *_: object) -> None:
        self._say(b"!")

    def _on_abort(self, which: int, _: object) -> None:
        signal.setitimer(signal.ITIMER_REAL, LONGEST_S)
        self._restore(LONGEST_S / 2)
        signal.signal(which, signal.SIG_DFL)
        os.kill(os.getpid(), which)

    def _look(self) -> None:
        """Until the line is hung up, a signal comes, or the app has left."""
        poll = select.poll()
        poll.register(self._told, select.POLLIN)
        for terminal in (0, 1, 2):
            # A browser's window is reached through pipes, which end with the server.
            if os.isatty(terminal) or (terminal == 0 and in_browser()):
                poll.register(terminal, 0)
        while not self._came:
            for which, what in poll.poll():
                if which == self._told:
                    if b"!" not in os.read(self._told, 16):
                        return
                    self._came = True
                elif what & (select.POLLHUP | select.POLLERR):
                    self._came = True
                else:
                    poll.unregister(which)  # a system that cannot look at terminals
        self._end()

    def _end(self) -> None:
        signal.setitimer(signal.ITIMER_REAL, LONGEST_S + 0.3)
        _try(self._let_go)
        for _ in range(round(LEAVE_S / _ASK_EVERY_S)):
            _try(self._leave)
            if self._left.wait(_ASK_EVERY_S):
                break
        rest_s = LONGEST_S - LEAVE_S
        if self._left.is_set():
            # What the main thread still has to do ends the process; this one is cut off with it.
            threading.Event().wait(rest_s)
        else:
            words = threading.Thread(target=_try, args=(self._last_words,), daemon=True)
            words.start()
            words.join(rest_s)
        self._restore(LISTENS_S)
        os._exit(1)


def _try(job: Job | None) -> None:
    if job is not None:
        with contextlib.suppress(Exception):
            job()
