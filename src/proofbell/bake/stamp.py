"""A moment in three parts, and the time of a bake that follows from a row of them.

Inside one boot, lengths are differences of the clock that counts through sleep; across boots, of UTC. So a
wall clock that is set, or a laptop that sleeps, moves no countdown.
"""

from __future__ import annotations

from dataclasses import dataclass

CLOCK_SET_US = 2_000_000
"""Wall minus boot clock changing by this much means that somebody set the clock (smaller: measurement)."""


@dataclass(frozen=True, slots=True)
class Stamp:
    """UTC and boot clock in microseconds, which boot it was, and the local offset from UTC in minutes."""

    wall_us: int
    boot_us: int
    boot_id: str
    offset_min: int = 0


@dataclass(frozen=True, slots=True)
class Timeline:
    """The trusted time of one bake: ``run_us`` microseconds had passed since its start at ``anchor``."""

    anchor: Stamp
    run_us: int = 0

    def at(self, stamp: Stamp) -> int:
        """Microseconds from the start of the bake to ``stamp``; never before the last one known."""
        if stamp.boot_id == self.anchor.boot_id:
            passed = stamp.boot_us - self.anchor.boot_us
        else:
            passed = stamp.wall_us - self.anchor.wall_us
        return self.run_us + max(0, passed)

    def moved(self, stamp: Stamp) -> Timeline:
        """The same time line, anchored at a later stamp."""
        return Timeline(stamp, self.at(stamp))

    def wall_us(self, run_us: int) -> int:
        """The UTC moment (µs) at which the bake's own time is ``run_us``, as the wall clock stands now."""
        return self.anchor.wall_us + run_us - self.run_us

    def clock_set_by_us(self, stamp: Stamp) -> int:
        """How far the wall clock was set since the anchor (µs); 0 when not, or when it cannot be known."""
        if stamp.boot_id != self.anchor.boot_id:
            return 0
        moved = (stamp.wall_us - stamp.boot_us) - (self.anchor.wall_us - self.anchor.boot_us)
        return moved if abs(moved) >= CLOCK_SET_US else 0
