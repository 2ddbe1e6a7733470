"""Which of two open programs raises the alarms: the one that holds the lock file.

The system lets go of the lock when its holder ends, however it ends. Windows locks bytes, others the file. Who holds
it stands in the file, for the others and for people: its process, its terminal, since when, and when it last said that
it runs. One that is stopped or hangs says so no more; then another rings as well: two alarms are better than none.
"""

from __future__ import annotations

import contextlib
import os
import sys
import threading
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from proofbell.browser import in_browser
from proofbell.clock import Clock, WallClock, running_s
from proofbell.frozen import dataclass

if sys.platform == "win32":
    import msvcrt

    _FAR = 1 << 30
    """A byte that nobody reads: what is locked cannot be read by others there."""

    def _take(descriptor: int) -> bool:
        os.lseek(descriptor, _FAR, os.SEEK_SET)
        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True

else:
    import fcntl

    def _take(descriptor: int) -> bool:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            return False
        return True


SILENT_S = 30.0
"""A holder that has not said for so long that it runs, answers nobody. Two rings; our own choice."""

SAYS_EVERY_S = 5.0
"""How often the holder says that it runs."""


BROWSER = "browser"
"""In a terminal's place for a bench in a browser; no terminal of a system is called so."""


def lock_path(journal: Path) -> Path:
    return journal.with_name(journal.name + ".lead")


@dataclass(frozen=True, slots=True)
class Holder:
    """Who holds the right to ring. Times in microseconds of UTC.

    ``terminal`` as ``pts/3``; `BROWSER` for a bench in one; empty when not known.
    """

    pid: int
    terminal: str
    since_us: int
    ran_us: int
    """When it last said that it runs."""
    answers: bool = True


class Lead:
    """The right to raise alarms. Ask again now and then: it becomes free when the other program ends.

    ``clock`` dates what stands in the file; ``running_s`` is a clock that only goes forward and does not count sleep.
    May be used from several threads, and from a signal's handler.
    """

    def __init__(
        self, journal: Path, *, clock: Clock | None = None, running_s: Callable[[], float] = running_s
    ) -> None:
        self._path = lock_path(journal)
        self._clock = clock or WallClock()
        self._running_s = running_s
        self._descriptor: int | None = None
        self._resigned = False
        self._one_at_a_time = threading.RLock()
        self._since_us = 0
        self._says_next_s = 0.0
        self._other: Holder | None = None
        self._heard = b""
        self._heard_s = 0.0

    @property
    def held(self) -> bool:
        return self._descriptor is not None

    def take(self) -> bool:
        """Try to lead; True when this program may ring: it leads, or the one that does has fallen silent.

        Where no lock file can be made (a write-protected folder), the program leads: two alarms are better than none.
        """
        with self._one_at_a_time:
            if self._resigned:
                return False
            if self._descriptor is None and not self._open():
                return self._other is not None and not self._other.answers
            self._say_that_it_runs()
            return True

    def holder(self) -> Holder | None:
        """Who else held the lock at the last `take`; None when it was free or the holder is unknown."""
        return None if self.held else self._other

    def let_go(self) -> None:
        """Stop leading. The file stays: removing it could take it from under another program."""
        with self._one_at_a_time:
            self._close()

    def _close(self) -> None:
        descriptor, self._descriptor = self._descriptor, None
        if descriptor is not None:
            with contextlib.suppress(OSError):
                os.ftruncate(descriptor, 0)
            with contextlib.suppress(OSError):
                os.close(descriptor)

    def resign(self) -> None:
        """Give the lock up for good as the program ends. Does not wait for a thread that a slow disk holds up."""
        self._resigned = True
        held_up = not self._one_at_a_time.acquire(timeout=0.3)
        try:
            self._close()
        finally:
            if not held_up:
                self._one_at_a_time.release()

    def _open(self) -> bool:
        """Whether there is nobody else to leave it to."""
        try:
            descriptor = os.open(self._path, os.O_CREAT | os.O_RDWR, 0o600)
        except OSError:
            self._other = None
            return True
        if _take(descriptor):
            self._descriptor, self._other = descriptor, None
            self._since_us, self._says_next_s = self._clock.stamp().wall_us, self._running_s()
            return True
        try:
            self._listen(os.pread(descriptor, 400, 0) if sys.platform != "win32" else _first_bytes(descriptor))
        except OSError:
            self._other = None
        finally:
            os.close(descriptor)
        return False

    def _listen(self, said: bytes) -> None:
        """What the holder says of itself. It is timed by our own clock that counts no sleep: no other can mislead."""
        if said != self._heard or self._other is None:
            self._heard, self._heard_s = said, self._running_s()
        self._other = _read(said, answers=self._running_s() - self._heard_s < SILENT_S)

    def _say_that_it_runs(self) -> None:
        now_s = self._running_s()
        if self._descriptor is None or now_s < self._says_next_s:
            return
        self._says_next_s = now_s + SAYS_EVERY_S
        said = _written(Holder(os.getpid(), _terminal(), self._since_us, self._clock.stamp().wall_us))
        # A full disk is no reason not to ring.
        with contextlib.suppress(OSError):
            os.lseek(self._descriptor, 0, os.SEEK_SET)
            os.write(self._descriptor, said)
            os.ftruncate(self._descriptor, len(said))


def _first_bytes(descriptor: int) -> bytes:
    os.lseek(descriptor, 0, os.SEEK_SET)
    return os.read(descriptor, 400)


def _terminal() -> str:
    """``pts/3``; `BROWSER` in a browser's window; empty where terminals have no names."""
    if in_browser():
        return BROWSER
    if sys.platform == "win32":
        return ""
    with contextlib.suppress(OSError):
        return os.ttyname(0).removeprefix("/dev/")
    return ""


def _written(one: Holder) -> bytes:
    lines = (
        f"process {one.pid}",
        f"terminal {one.terminal}",
        f"since {_moment(one.since_us)}",
        f"ran {_moment(one.ran_us)}",
    )
    return ("\n".join(lines) + "\n").encode("utf-8", "replace")


def _read(said: bytes, *, answers: bool) -> Holder | None:
    """What stands in the file; None when it is not whole."""
    try:
        found = dict(line.split(" ", 1) for line in said.decode("utf-8").splitlines())
        return Holder(
            int(found["process"]), found["terminal"], _us_of(found["since"]), _us_of(found["ran"]), answers=answers
        )
    except (ValueError, KeyError):
        return None


def _moment(wall_us: int) -> str:
    """ISO 8601, UTC."""
    return datetime.fromtimestamp(wall_us / 1_000_000, UTC).isoformat(timespec="microseconds")


def _us_of(moment: str) -> int:
    at = datetime.fromisoformat(moment)
    if at.tzinfo is None:
        raise ValueError(moment)
    return round(at.timestamp() * 1_000_000)
