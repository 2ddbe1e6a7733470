"""What the oven's row shows beside the strips: who is in together, and where more is wanted than the oven gives."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from proofbell.bench.board import Busy


@dataclass(frozen=True, slots=True)
class Load:
    """Bakes that go into the oven and come out of it at the same moments (UTC, µs), by their letters."""

    begin_us: int
    end_us: int
    letters: str


def loads(busy: Sequence[Busy]) -> tuple[Load, ...]:
    """What goes through the oven together, in order of time."""
    found: dict[tuple[int, int], list[str]] = {}
    for one in busy:
        if one.use == "baking":
            found.setdefault((one.begin_us, one.end_us), []).append(one.letter)
    return tuple(Load(begin_us, end_us, "".join(sorted(found[begin_us, end_us]))) for begin_us, end_us in sorted(found))


def oven_clashes(busy: Sequence[Busy], places: int) -> tuple[tuple[int, int], ...]:
    """The stretches (UTC, µs) in which two heats are wanted at once, or more places than the oven has.

    A bake that needs more places than there are fills the oven; by itself it is no clash.
    """
    baking = [one for one in busy if one.use == "baking"]
    edges = sorted({edge for one in baking for edge in (one.begin_us, one.end_us)})
    found: list[tuple[int, int]] = []
    for begin_us, end_us in pairwise(edges):
        inside = [one for one in baking if one.begin_us < end_us and one.end_us > begin_us]
        heats = {one.heat_c for one in inside}
        if len(inside) < 2 or (len(heats) == 1 and sum(one.places for one in inside) <= places):
            continue
        goes_on = bool(found) and found[-1][1] == begin_us
        found.append((found.pop()[0] if goes_on else begin_us, end_us))
    return tuple(found)
