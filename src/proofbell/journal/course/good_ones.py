"""What goes with the points that a formula's bakes were given. It says what goes together, never why."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal

from proofbell.frozen import dataclass
from proofbell.journal.course.course import Baked, Course
from proofbell.journal.course.ranks import Together, discoveries, spearman
from proofbell.journal.reviews.moments import local

LookName = Literal["kneaded_c", "proof_s", "room_c", "from_midwinter_days", "over_s"]

ENOUGH = 15
"""Bakes that have both the figure and points, before anything is said."""

MOST = 400
"""Only so many, the newest: what a kitchen did long ago tells little of it, and more would hardly narrow a range."""

SHARE = 0.05
"""At most this share of what is told to go together may be chance."""

_YEAR_DAYS, _MIDWINTER_DAY = 365, 15


@dataclass(frozen=True, slots=True)
class Look:
    """One look: in how many bakes, and what it gave; ``counts`` when it is more than chance, all looks considered.

    ``together`` is None of too few bakes, or where the figure or the points are always the same.
    """

    name: LookName
    bakes: int
    together: Together | None
    counts: bool


def _from_midwinter_days(baked: Baked) -> float:
    """Days from 15 January, the nearest one: the year goes round. South of the equator it is midsummer."""
    at = local(baked.summary.began_us, baked.summary.offset_min).timetuple().tm_yday
    gap = abs(at - _MIDWINTER_DAY)
    return float(min(gap, _YEAR_DAYS - gap))


LOOKS: dict[LookName, Callable[[Baked], float | None]] = {
    "kneaded_c": lambda baked: baked.figures.kneaded_c,
    "proof_s": lambda baked: baked.summary.proof_actual_s,
    "room_c": lambda baked: baked.figures.room_c,
    "from_midwinter_days": _from_midwinter_days,
    "over_s": lambda baked: baked.figures.over_s,
}


def looks(course: Course) -> tuple[Look, ...]:
    """Look at each figure beside the points; nothing at all of fewer scored bakes than it takes."""
    return looks_at([baked for baked in course.bakes if baked.summary.score is not None])


def looks_at(scored: Sequence[Baked]) -> tuple[Look, ...]:
    """The same for bakes that all have points, the oldest first."""
    if len(scored) < ENOUGH:
        return ()
    found: list[tuple[LookName, int, Together | None]] = []
    for name, figure in LOOKS.items():
        pairs = [
            (value, baked.summary.score or 0.0) for baked in scored[-MOST:] if (value := figure(baked)) is not None
        ]
        enough = len(pairs) >= ENOUGH
        found.append((name, len(pairs), spearman(*zip(*pairs, strict=True)) if enough else None))
    told = [together.p for _, _, together in found if together is not None]
    counts = iter(discoveries(told, SHARE))
    return tuple(Look(name, bakes, together, together is not None and next(counts)) for name, bakes, together in found)
