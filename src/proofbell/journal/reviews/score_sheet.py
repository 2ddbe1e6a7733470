"""The score sheet: what to look at in a cooled bake, from 1 to 10 points a line.

The lines are the characteristics of published forms, put together for a small kitchen: the external and internal
characteristics scored by the American Society of Baking (volume, symmetry, break and shred, crust colour and
surface; grain, crumb colour, texture, aroma, flavour, mouthfeel; in BAKERpedia, "Bread evaluation"), and the loaf
appearance, crust colour, crumb structure and crumb colour of AACC Method 10-12. The scale is that of the first: 10 is
closest to the bakery's own standard, 5 half-way, 1 farthest. Loaves are scored cooled, on the same day or within two
days. What each end looks like is put into words here; common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable

from proofbell.bake.state import BakeState, Score
from proofbell.frozen import dataclass

LEAST, MOST = 1, 10
"""Points of a line: farthest from and closest to what this kitchen wants of this bread."""


@dataclass(frozen=True, slots=True)
class ScoreLine:
    """One line: its name (as it is stored), the group, and what 1 point and 10 points look like."""

    name: str
    group: str
    low: str
    high: str


OUTSIDE, INSIDE, EATING = "outside", "inside", "eating"

SHEET: tuple[ScoreLine, ...] = (
    ScoreLine("volume", OUTSIDE, "flat or blown up", "full for its weight"),
    ScoreLine("shape", OUTSIDE, "lopsided, torn or sunken", "even, opened where it should"),
    ScoreLine("crust colour", OUTSIDE, "pale, patchy or burnt", "even and as brown as wanted"),
    ScoreLine("crust", OUTSIDE, "tough, blistered or wrinkled", "crisp or soft, as this bread should be"),
    ScoreLine("crumb", INSIDE, "dense streaks, holes or a wet line", "cells of the size this bread should have"),
    ScoreLine("crumb colour", INSIDE, "grey or streaked", "clear and even"),
    ScoreLine("texture", INSIDE, "gummy, dry or falling apart", "springs back, moist to the touch"),
    ScoreLine("aroma", EATING, "none, or sour or stale where it should not be", "as one hopes on opening the door"),
    ScoreLine("flavour", EATING, "flat, salty or off", "full and balanced"),
    ScoreLine("mouthfeel", EATING, "clings or crumbles", "a pleasure to chew"),
)

SCALE = "10: as close to what this kitchen wants as can be; 5: half-way; 1: farthest from it"


def line_named(name: str) -> ScoreLine | None:
    """The line of that name, or None: sheets of other versions may have other lines."""
    return next((line for line in SHEET if line.name == name), None)


def overall(scores: Iterable[Score]) -> float | None:
    """The mean of the points given, 1 to 10; None when there are none."""
    points = [score.points for score in scores]
    return sum(points) / len(points) if points else None


def wants_score(state: BakeState) -> bool:
    """Whether the bake was finished and nobody has scored it yet."""
    return state.closed is not None and state.closed.outcome == "finished" and not state.scores
