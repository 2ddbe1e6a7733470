"""How much later than it is wanted a bake will be ready, in words."""

from __future__ import annotations

from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bench.wall import wall_us
from proofbell.words import told_length

WORTH_SAYING_US = 5 * 60 * 1_000_000
"""So much later than wanted is worth a word: common practice, no source."""


def late_us(state: BakeState, ready_us: int, now: Stamp) -> int:
    """By how much (µs) a bake that is ready then (UTC, µs) is later than wanted; 0 where that is not worth a word."""
    if state.ready_by_s is None or state.closed is not None:
        return 0
    by_us = ready_us - wall_us(state, state.ready_by_s, now)
    return by_us if by_us >= WORTH_SAYING_US else 0


def late_words(state: BakeState, ready_us: int, now: Stamp) -> str:
    """``, 14 min after it is wanted``; empty for one that is in time, or wanted at no hour."""
    by_us = late_us(state, ready_us, now)
    return f", {told_length(by_us // 60_000_000 * 60)} after it is wanted" if by_us else ""
