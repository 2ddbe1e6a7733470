"""A real pseudo-terminal with the program in it, read as a person would see it."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Self

import pyte

PATIENCE_S = 90.0
"""The longest wait for something to appear: only a test that fails ever waits so long."""

AGAIN_S = 5.0
"""A key that did nothing for so long was not heard; pressed again sooner, a busy machine would hear it twice."""

CONTROLS = "import fcntl, termios; fcntl.ioctl(0, termios.TIOCSCTTY, 0); "
"""Makes the terminal the one that controls the program, as a shell's is: its end is told by SIGHUP too."""

START = "import sys; from proofbell.cli import main; sys.exit(main(sys.argv[1:]))"
"""How a shell starts the program."""

HEARS = (
    "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); "
    "[signal.signal(which, signal.SIG_DFL) for which in (signal.SIGHUP, signal.SIGQUIT, signal.SIGTERM)]; "
)
"""Whoever runs the tests may have had signals ignored, as a shell does behind its back; a terminal does not."""


class Terminal:
    """80 × 24 cells unless said otherwise; use it as a context manager."""

    def __init__(self, folder: Path, *arguments: str, size: tuple[int, int] = (80, 24), start: str = START) -> None:
        width, height = size
        self.screen: Any = pyte.Screen(width, height)
        self._stream: Any = pyte.ByteStream(self.screen)
        self.raw = bytearray()
        self._hung_up = False
        self._master, self.slave = pty.openpty()
        fcntl.ioctl(self.slave, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))
        self.before = termios.tcgetattr(self.slave)
        self.process = subprocess.Popen(
            [sys.executable, "-c", HEARS + start, *arguments],
            stdin=self.slave,
            stdout=self.slave,
            stderr=self.slave,
            env=environment(folder),
            start_new_session=True,
            close_fds=True,
        )

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        if self.process.poll() is None:
            self.process.kill()
            self.process.wait()
        self.hang_up()
        os.close(self.slave)

    def hang_up(self) -> None:
        """Close the window."""
        if not self._hung_up:
            self._hung_up = True
            os.close(self._master)

    @property
    def text(self) -> str:
        """What stands on the screen."""
        return "\n".join(line.rstrip() for line in self.screen.display)

    def read(self, seconds: float) -> None:
        """Take in what the program writes, for so long at most; comes back as soon as something was there."""
        ready, _, _ = select.select([self._master], [], [], seconds)
        if ready:
            data = os.read(self._master, 65536)
            self.raw += data
            self._stream.feed(data)

    def until(self, wanted: str | Callable[[str], bool], seconds: float = PATIENCE_S) -> str:
        """Read until some words, or what a function looks for, are on the screen."""
        deadline = time.monotonic() + seconds
        while not _is_there(self.text, wanted):
            left = deadline - time.monotonic()
            if left <= 0 or (self.process.poll() is not None and not self._more()):
                raise AssertionError(f"{wanted!r} never came; the screen:\n{self.text}")
            self.read(min(left, 0.2))
        return self.text

    def _more(self) -> bool:
        ready, _, _ = select.select([self._master], [], [], 0)
        return bool(ready)

    def press(self, keys: str) -> None:
        """Type some keys."""
        os.write(self._master, keys.encode())

    def press_until(self, keys: str, wanted: str | Callable[[str], bool]) -> str:
        """Press again and again until something is there; a key may come while the program looks elsewhere."""
        for _ in range(round(PATIENCE_S / AGAIN_S)):
            self.press(keys)
            try:
                return self.until(wanted, AGAIN_S)
            except AssertionError:
                continue
        return self.until(wanted, 0)

    def signal(self, which: signal.Signals) -> None:
        """Send the program a signal."""
        os.kill(self.process.pid, which)

    def stopped(self) -> None:
        """Read until the program is stopped; then forget what was on the screen."""
        deadline = time.monotonic() + PATIENCE_S
        while os.waitid(os.P_PID, self.process.pid, os.WSTOPPED | os.WNOHANG) is None:
            assert time.monotonic() < deadline, f"it does not stop; the screen:\n{self.text}"
            self.read(0.1)
        while self._more():
            self.read(0)
        self.screen.reset()

    def fill(self) -> None:
        """Have it paint, and read nothing, until nothing more goes in."""
        before, same = -1, 0
        for number in range(4000):
            size = struct.pack("HHHH", 40 + number % 2, 160, 0, 0)
            fcntl.ioctl(self.slave, termios.TIOCSWINSZ, size)
            self.signal(signal.SIGWINCH)
            there = struct.unpack("i", fcntl.ioctl(self._master, termios.FIONREAD, b"\0" * 4))[0]
            same = same + 1 if there == before and there else 0
            before = there
            if same > 60:
                return
            select.select([], [], [], 0.02)
        raise AssertionError("it is never full")

    def is_gone(self) -> int:
        """Wait until the program is over, and read nothing; its exit status."""
        return self.process.wait(PATIENCE_S)

    def ended(self) -> int:
        """Read until the program is over; its exit status."""
        deadline = time.monotonic() + PATIENCE_S
        while self.process.poll() is None:
            assert time.monotonic() < deadline, f"it does not end; the screen:\n{self.text}"
            self.read(0.1)
        while self._more():
            self.read(0)
        return self.process.wait()


def _is_there(text: str, wanted: str | Callable[[str], bool]) -> bool:
    return wanted in text if isinstance(wanted, str) else wanted(text)


def environment(folder: Path) -> Mapping[str, str]:
    """A kitchen and a journal of the test's own."""
    kept = {name: value for name, value in os.environ.items() if name not in {"NO_COLOR", "COLORTERM"}}
    kitchen = folder / "kitchen.toml"
    if not kitchen.exists():  # a kitchen without a file is asked about first
        kitchen.touch()
    own = {
        "TERM": "xterm-256color",
        "PROOFBELL_JOURNAL": str(folder / "journal.sqlite"),
        "PROOFBELL_KITCHEN": str(kitchen),
        "TEXTUAL_ANIMATIONS": "none",
        "PYTHONUTF8": "1",
    }
    return {**kept, **own}


def run(folder: Path, *arguments: str) -> str:
    """Run a command that prints; its output."""
    done = subprocess.run(
        [sys.executable, "-c", START, *arguments],
        env=environment(folder),
        capture_output=True,
        check=True,
        text=True,
        encoding="utf-8",
    )
    return done.stdout
