"""Which values of a probe that talks every second are worth a line of the log: those that moved, and now and then one.

It takes more to turn round than to go on: noise of up to the tolerance to either side is not stored over and over.
"""

from __future__ import annotations

from proofbell.formula.model import ReadingKind
from proofbell.frozen import dataclass

SOONEST_S, LATEST_S, STEADY_S = 10.0, 60.0, 600.0
"""No two are kept within ten seconds: a probe that is pushed into a dough settles first. One a minute shows that a
core's still talks; of dough and room one in ten minutes does, for each is reckoned with all night. Choices."""


def latest_s(what: ReadingKind) -> float:
    """After how long (s) a value is kept although it has not moved."""
    return LATEST_S if what == "core temperature" else STEADY_S


@dataclass(frozen=True, slots=True)
class Kept:
    """The value kept last, when (s), and whether it was going up; None where it has not moved yet."""

    value: float
    at_s: float
    up: bool | None = None


def kept(before: Kept | None, value: float, at_s: float, tolerance: float, late_s: float = LATEST_S) -> Kept | None:
    """The value as the one to keep; None where it says nothing that ``before`` does not.

    Args:
        before: what was kept last of this probe, None for nothing.
        value: in °C.
        at_s: when, by a clock that only goes forward.
        tolerance: how far a reading may be off (K).
        late_s: after how long it is kept although it has not moved, as `latest_s` has it.
    """
    if before is None:
        return Kept(value, at_s)
    if at_s - before.at_s < SOONEST_S:
        return None
    moved = value - before.value
    turned = before.up is not None and (moved > 0) != before.up
    if abs(moved) > tolerance * (2 if turned else 1):
        return Kept(value, at_s, moved > 0)
    return Kept(value, at_s, before.up) if at_s - before.at_s >= late_s else None
