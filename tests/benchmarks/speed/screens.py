"""A program in a pseudo-terminal of 120 by 36 cells: what it writes and when, and the processor time that it takes.

Processor time is the sum over its threads in ``/proc`` (schedstat, ns), so this measures on Linux only.
"""

from __future__ import annotations

import fcntl
import os
import pty
import select
import struct
import subprocess
import sys
import termios
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from time import perf_counter
from types import TracebackType
from typing import Any, Self

import pyte

COLUMNS, LINES = 120, 36
QUIET_S = 0.1
"""A picture is whole with the last byte before so long a silence."""

LONGEST_S = 60.0


class Screened:
    """The program; close it, or use it as a context manager."""

    def __init__(self, arguments: Sequence[str], environment: Mapping[str, str]) -> None:
        self._screen: Any = pyte.Screen(COLUMNS, LINES)
        self._stream: Any = pyte.ByteStream(self._screen)
        self.bytes = 0
        self.master, slave = pty.openpty()
        fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", LINES, COLUMNS, 0, 0))
        more = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
        self.begun = perf_counter()
        self._process = subprocess.Popen(
            [sys.executable, *arguments], stdin=slave, stdout=slave, stderr=slave,
            env={**environment, **more}, start_new_session=True,
        )  # fmt: skip
        os.close(slave)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        self._process.kill()
        self._process.wait()
        os.close(self.master)

    @property
    def text(self) -> str:
        return "\n".join(self._screen.display)

    def read(self, seconds: float) -> float | None:
        """Wait for output for so long at most; the moment it came, or None."""
        if not select.select([self.master], [], [], seconds)[0]:
            return None
        came = perf_counter()
        data = os.read(self.master, 1 << 16)
        self.bytes += len(data)
        self._stream.feed(data)
        return came

    def until(self, whole: Callable[[str], bool]) -> float:
        """The moment in which what stood on the screen was whole for the first time."""
        while (now := perf_counter()) < self.begun + LONGEST_S:
            came = self.read(1.0) or now
            if whole(self.text):
                return came
        raise TimeoutError(f"it was never whole; the screen:\n{self.text}")

    def quieten(self, seconds: float = QUIET_S) -> float | None:
        """Read until nothing has come for so long; the moment of the last bytes."""
        last = None
        while (came := self.read(seconds)) is not None:
            last = came
        return last

    def after_a_tick(self) -> None:
        """Wait until it has just painted another second, so that a key meets an idle program."""
        self.quieten()
        self.read(2.0)
        self.quieten()

    def press(self, key: str) -> tuple[float, float, float]:
        """How long until the first bytes of its answer, until the last, and the processor time that it took (s)."""
        self.after_a_tick()
        before_s = self.processor_s()
        pressed = perf_counter()
        os.write(self.master, key.encode())
        first = self.read(5.0)
        if first is None:
            raise TimeoutError(f"{key!r} was not answered; the screen:\n{self.text}")
        last = self.quieten() or first
        return first - pressed, last - pressed, self.processor_s() - before_s

    def processor_s(self) -> float:
        """Processor time so far, of all threads that run."""
        spent = 0
        for thread in Path(f"/proc/{self._process.pid}/task").iterdir():
            spent += int((thread / "schedstat").read_text().split()[0])
        return spent / 1e9

    def memory_mb(self) -> float:
        """What it keeps in memory (VmRSS)."""
        lines = Path(f"/proc/{self._process.pid}/status").read_text().splitlines()
        return next(int(line.split()[1]) for line in lines if line.startswith("VmRSS")) / 1024
