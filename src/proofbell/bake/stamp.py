"""A moment in three parts, and the time of a bake that follows from a row of them.

Inside one boot, lengths are differences of the clock that counts through sleep; across boots, of UTC, and never less
than the new boot has run. So a wall clock that is set, or a laptop that sleeps, moves no countdown. Across boots UTC
may be wrong: what is doubtful then is told by `doubt`.
"""

from __future__ import annotations

from proofbell.frozen import dataclass

CLOCK_SET_US = 2_000_000
"""Wall minus boot clock changing by this much means that somebody set the clock (smaller: measurement)."""


UNKNOWN_BOOT = "process-"
"""How the id of a boot begins where the system does not tell which it is."""


@dataclass(frozen=True, slots=True)
class Stamp:
    """UTC and boot clock in microseconds, which boot it was, and the local offset from UTC in minutes.

    The boot clock counts from the machine's start, through sleep.
    """

    wall_us: int
    boot_us: int
    boot_id: str
    offset_min: int = 0

    @property
    def boot_known(self) -> bool:
        """Whether the system told which boot it was: only then does another id mean that the machine started anew."""
        return not self.boot_id.startswith(UNKNOWN_BOOT)

    @property
    def wall_less_boot_us(self) -> int:
        """Wall minus boot clock (µs). Inside one boot it changes only when somebody sets the clock."""
        return self.wall_us - self.boot_us


@dataclass(frozen=True, slots=True)
class Timeline:
    """The trusted time of one bake: ``run_us`` microseconds had passed since its start at ``anchor``."""

    anchor: Stamp
    run_us: int = 0

    def at(self, stamp: Stamp, ran_us: int = 0) -> int:
        """Microseconds from the start of the bake to ``stamp``; never before the last one known.

        ``ran_us``: how long the boot before is known to have gone on after the anchor.
        """
        if stamp.boot_id == self.anchor.boot_id:
            passed = stamp.boot_us - self.anchor.boot_us
        else:
            passed = max(stamp.wall_us - self.anchor.wall_us, ran_us + uptime_us(self.anchor, stamp))
        return self.run_us + max(0, passed)

    def moved(self, stamp: Stamp, ran_us: int = 0) -> Timeline:
        """The same time line, anchored at a later stamp."""
        return Timeline(stamp, self.at(stamp, ran_us))

    def shifted(self, by_us: int, least_us: int) -> Timeline:
        """The same anchor at another of the bake's own times, not before ``least_us``."""
        return Timeline(self.anchor, max(least_us, self.run_us + by_us))

    def wall_us(self, run_us: int) -> int:
        """The UTC moment (µs) at which the bake's own time is ``run_us``, as the wall clock stands now."""
        return self.anchor.wall_us + run_us - self.run_us

    def clock_set_by_us(self, stamp: Stamp) -> int:
        """How far the wall clock was set since the anchor (µs); 0 when not, or when it cannot be known."""
        if stamp.boot_id != self.anchor.boot_id:
            return 0
        moved = stamp.wall_less_boot_us - self.anchor.wall_less_boot_us
        return moved if abs(moved) >= CLOCK_SET_US else 0


def uptime_us(before: Stamp, stamp: Stamp) -> int:
    """How long the boot of ``stamp`` had run by then (µs), where it began after ``before``; 0 when nobody can know."""
    return stamp.boot_us if before.boot_known and stamp.boot_known else 0
