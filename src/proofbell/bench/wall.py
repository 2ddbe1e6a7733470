"""A bake's own time on the wall clock as it stands now."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.words import hour_minute


def wall_us(state: BakeState, at_s: float, now: Stamp) -> int:
    """The UTC moment (µs) of one of a bake's own times, as the clock stands now."""
    return now.wall_us + round((at_s - state.now_s(now)) * 1_000_000)


def hour(at_us: int, now: Stamp) -> str:
    """The hour of a UTC moment (µs) by this kitchen's clock."""
    return hour_minute(datetime.fromtimestamp(at_us / 1_000_000, timezone(timedelta(minutes=now.offset_min))))
