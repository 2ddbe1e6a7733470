"""The length of a stage as a change tells it: in whole minutes, with its range."""

from __future__ import annotations

import math

from proofbell.words import as_set, length, told_length

STEP_S = 60.0
"""Proofs are told in whole minutes: common practice, no source."""


def whole(seconds: float) -> float:
    return round(seconds / STEP_S) * STEP_S


def up_s(seconds: float) -> float:
    return math.ceil(seconds / STEP_S - 1e-9) * STEP_S


def down_s(seconds: float) -> float:
    return max(STEP_S, math.floor(seconds / STEP_S) * STEP_S)


def _in_minutes(seconds: float) -> bool:
    return 60 <= seconds <= 3 * 3600


def minutes(seconds: float) -> str:
    """``70 min``; from three hours on as every other length."""
    return f"{seconds / 60:.0f} min" if _in_minutes(seconds) else length(seconds)


def span(low_s: float, high_s: float) -> str:
    """``55 to 83 min``; with units on both sides where minutes do not fit both: ``2 h 45 min to 3 h 27 min``."""
    if low_s == high_s:
        return minutes(low_s)
    if low_s < STEP_S <= high_s:
        return f"up to {minutes(high_s)}"
    if _in_minutes(low_s) and _in_minutes(high_s):
        return f"{low_s / 60:.0f} to {high_s / 60:.0f} min"
    return f"{told_length(low_s)} to {told_length(high_s)}"


def mid_and_span(mid_s: float, low_s: float, high_s: float) -> str:
    if all(_in_minutes(each) for each in (mid_s, low_s, high_s)):
        return f"{mid_s / 60:.0f}, {low_s / 60:.0f} to {high_s / 60:.0f} min"
    return f"{told_length(mid_s) if mid_s >= STEP_S else 'none'}, {span(low_s, high_s)}"


def change_words(from_s: float, to_s: float) -> str:
    """``70 → 55 min``; with units on both sides where minutes do not fit both.

    ``stays 70 min`` where both would be told alike.
    """
    if _in_minutes(from_s) and _in_minutes(to_s) and (from_s >= 600 or not from_s % 60):
        return _changed(f"{from_s / 60:.0f}", f"{to_s / 60:.0f}", " min")
    return f"stays {minutes(to_s)}" if from_s == to_s else _changed(as_set(from_s), as_set(to_s))


def _changed(before: str, after: str, unit: str = "") -> str:
    return f"stays {after}{unit}" if before == after else f"{before} → {after}{unit}"
