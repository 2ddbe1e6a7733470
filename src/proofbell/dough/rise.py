"""How far a dough has risen, and how much longer when it is short."""

from __future__ import annotations


def rise_percent_from_height(now: float, start: float) -> float:
    """Return the rise in volume (percent) of a dough in a straight-sided jar, from two heights in the same unit.

    In a straight-sided jar the volume goes with the height, measured from its bottom.

    Raises:
        ValueError: the dough had no height at the start, or has less than none now.
    """
    return rise_percent_from_volume(now, start)


def rise_percent_from_volume(now: float, start: float) -> float:
    """Return the rise (percent of the volume at the start), from two volumes in the same unit.

    Raises:
        ValueError: the dough had no volume at the start, or has less than none now.
    """
    if not start > 0:
        raise ValueError("the dough needs a size at the start")
    if not now >= 0:
        raise ValueError("a dough cannot be smaller than nothing")
    return (now / start - 1) * 100


def more_time_s(
    now_percent: float | None,
    wanted_low: float,
    elapsed_s: float,
    extend_s: float,
    longest_s: float | None,
) -> float:
    """Return how much longer (s) a dough stands that has risen ``now_percent`` and should rise at least ``wanted_low``.

    A number extrapolates: a dough that rose so far in ``elapsed_s`` goes on rising at the same pace (common practice,
    no source). The whole stage stays within ``longest_s``; without it, no more is added than has already passed. A
    rise judged by eye (``now_percent`` None), or none at all so far, extends by ``extend_s``. Ready: 0.
    """
    if now_percent is None:
        return extend_s
    if now_percent >= wanted_low:
        return 0.0
    most_s = elapsed_s if longest_s is None else max(0.0, longest_s - elapsed_s)
    if now_percent <= 0 or elapsed_s <= 0:
        return min(extend_s, most_s) if elapsed_s > 0 else extend_s
    return min(elapsed_s * (wanted_low / now_percent - 1), most_s)
