"""The only place that reads a clock.

A stamp has UTC, a clock that counts through sleep, and which boot it was. ``time.monotonic`` counts sleep only on
Windows; on Linux ``CLOCK_BOOTTIME`` does, on macOS ``CLOCK_MONOTONIC_RAW``.
"""

from __future__ import annotations

import random
import sys
import time
from collections.abc import Callable
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Protocol

from proofbell.bake.stamp import UNKNOWN_BOOT, Stamp


class Clock(Protocol):
    """Whoever asks the time asks one of these."""

    def stamp(self) -> Stamp:
        """The moment, in three parts and the local offset."""
        ...


class Pace(Protocol):
    """What moves the clock of a rehearsal."""

    @property
    def speed(self) -> float:
        """How many times as fast as a real one it runs."""
        ...

    @property
    def held(self) -> bool:
        """Whether it stands still."""
        ...

    def skip(self, seconds: float) -> None:
        """Go forward by so many seconds at once."""
        ...

    def hold(self, *, on: bool) -> None:
        """Stand still, or go on."""
        ...


class WallClock:
    """The machine's own clocks."""

    def stamp(self) -> Stamp:
        """Read the boot clock, UTC and the boot clock again, so that both belong to one moment."""
        _follow_zone()
        before = _boot_us()
        wall_us = time.time_ns() // 1000
        after = _boot_us()
        return Stamp(wall_us, (before + after) // 2, boot_id(), offset_min(wall_us))


class FastClock:
    """A clock for rehearsals: runs ``speed`` times as fast from ``start``; can be set forward by hand, and held.

    It counts from its own boot, so that a rehearsal can never be taken for a real bake.
    """

    def __init__(self, start: Stamp, speed: float, real: Clock) -> None:
        self._start = start
        self.speed = speed
        self._real = real
        self._passed_us = 0
        self._counted_us = real.stamp().boot_us
        self.held = False

    def stamp(self) -> Stamp:
        """The rehearsal's moment."""
        real_us = self._real.stamp().boot_us
        if not self.held:
            self._passed_us += round(max(0, real_us - self._counted_us) * self.speed)
        self._counted_us = real_us
        start, passed_us = self._start, self._passed_us
        return Stamp(start.wall_us + passed_us, start.boot_us + passed_us, "rehearsal", start.offset_min)

    def skip(self, seconds: float) -> None:
        """Go forward by so many seconds at once."""
        self._passed_us += round(max(0.0, seconds) * 1_000_000)

    def hold(self, *, on: bool) -> None:
        """Stand still, or go on."""
        self.stamp()
        self.held = on


def offset_min(wall_us: int) -> int:
    """The local offset from UTC (minutes) at a UTC moment: for showing only."""
    offset = datetime.fromtimestamp(wall_us / 1_000_000).astimezone().utcoffset()
    return 0 if offset is None else round(offset.total_seconds() / 60)


def comes_twice(wall_us: int) -> bool:
    """Whether the local clock time of a UTC moment (µs) comes twice that night, by the zone's rules: for showing only.

    PEP 495: of such an hour the first pass (fold 0) has the greater offset; in a skipped hour it has the smaller.
    A moment that no calendar holds (a damaged file) does not.
    """
    try:
        naive = datetime.fromtimestamp(wall_us / 1_000_000)  # noqa: DTZ006 - the zone is what is asked about
        first, second = (naive.replace(fold=fold).astimezone().utcoffset() for fold in (0, 1))
    except (OverflowError, ValueError, OSError):
        return False
    return first is not None and second is not None and first > second


def _boot_us() -> int:
    if sys.platform == "win32":
        return time.monotonic_ns() // 1000
    which = time.CLOCK_MONOTONIC_RAW if sys.platform == "darwin" else time.CLOCK_BOOTTIME
    return time.clock_gettime_ns(which) // 1000


def _follow_zone() -> None:
    """Take over a zone that was changed while the program runs; the C library looks only when it is told to."""
    if sys.platform != "win32":
        time.tzset()


@cache
def boot_id() -> str:
    """Which boot this is. Where the system does not tell, one of this process's own: then lengths go by UTC."""
    if sys.platform == "linux":
        try:
            return Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()
        except OSError:
            pass
    if sys.platform == "darwin":
        import subprocess

        try:
            asked = ["/usr/sbin/sysctl", "-n", "kern.bootsessionuuid"]
            return subprocess.run(asked, capture_output=True, text=True, check=True, timeout=5).stdout.strip()  # noqa: S603
        except (OSError, subprocess.SubprocessError):
            pass
    import uuid

    return f"{UNKNOWN_BOOT}{uuid.uuid4().hex}"


def running_s() -> float:
    """Seconds of a clock that only goes forward: for how long to look for a better plan, never for a bake."""
    return time.monotonic()


def utc_us(clock_time: datetime, after_us: int | None = None) -> int:
    """UTC (µs) of a moment on the kitchen's own clock, by the rules of its zone on that day.

    Of an hour that comes twice the first that is not before ``after_us``.
    """
    first, second = (round(clock_time.replace(fold=fold).astimezone().timestamp() * 1_000_000) for fold in (0, 1))
    return second if after_us is not None and first < after_us < second else first


class Retry(Protocol):
    """Says whether something that others keep busy is to be tried again."""

    def again(self) -> bool:
        """Wait a little and say yes; say no, at once, when there is no time left."""
        ...


class Patience:
    """Tries again for ``most_s`` seconds. Each wait is longer than the one before, and of chance length.

    Many that were refused at the same moment so come back at different ones. ``sleep`` waits so many seconds,
    ``chance`` gives a number from 0 to 1.
    """

    FIRST_S = 0.02
    LONGEST_S = 0.5

    def __init__(
        self,
        most_s: float = 15.0,
        *,
        running_s: Callable[[], float] = running_s,
        sleep: Callable[[float], None] = time.sleep,
        chance: Callable[[], float] = random.random,
    ) -> None:
        self._running_s, self._sleep, self._chance = running_s, sleep, chance
        self._end_s = running_s() + most_s
        self._next_s = self.FIRST_S

    def again(self) -> bool:
        """Wait from half to the whole of the next length, but not beyond the end."""
        left_s = self._end_s - self._running_s()
        if left_s <= 0:
            return False
        self._sleep(min(left_s, self._next_s * (0.5 + 0.5 * self._chance())))
        self._next_s = min(self.LONGEST_S, self._next_s * 2)
        return True
