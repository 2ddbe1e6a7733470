"""Where more is wanted of the oven or of the hands than there is, for longer than a dough can wait."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

from proofbell.bench.busy import Busy
from proofbell.bench.plan.proposals import WORTH_ASKING_S

CAN_WAIT_US = WORTH_ASKING_S * 1_000_000
"""What lasts no longer is settled by waiting, as every kitchen does, and is neither marked nor asked about."""

EDGE_US = 2 * 60 * 1_000_000
"""So near to its edge no quiet span is meant to the minute: common practice, no source."""

Stretch = tuple[int, int]


def oven_clashes(busy: Sequence[Busy], places: int) -> tuple[Stretch, ...]:
    """The stretches (UTC, µs) in which two heats are wanted at once, or more places than the oven has.

    A bake that needs more places than there are fills the oven; by itself it is no clash.
    """

    def too_much(inside: Sequence[Busy]) -> bool:
        heats = {one.heat_c for one in inside}
        return len(inside) > 1 and (len(heats) > 1 or sum(one.places for one in inside) > places)

    return _stretches([one for one in busy if one.use == "baking"], too_much)


def hands_clashes(busy: Sequence[Busy], people: int) -> tuple[Stretch, ...]:
    """The stretches (UTC, µs) in which more hands are needed than there are people."""
    return _stretches([one for one in busy if one.use == "hands"], lambda inside: len(inside) > people)


def hands_in(busy: Sequence[Busy], spans: Sequence[Stretch], from_us: int) -> tuple[str, ...]:
    """The letters of the bakes that will want hands, from a moment on, in one of the spans (UTC, µs).

    At its very edges none counts: lengths on the bench are whole minutes, those of a plan are not.
    """
    ahead = [one for one in busy if one.use == "hands" and one.begin_us > from_us]
    inner = [(begin_us + EDGE_US, end_us - EDGE_US) for begin_us, end_us in spans]
    return tuple(
        sorted({one.letter for one in ahead if any(begin < one.end_us and one.begin_us < end for begin, end in inner)})
    )


def _stretches(busy: Sequence[Busy], too_much: Callable[[Sequence[Busy]], bool]) -> tuple[Stretch, ...]:
    edges = sorted({edge for one in busy for edge in (one.begin_us, one.end_us)})
    found: list[Stretch] = []
    for begin_us, end_us in pairwise(edges):
        if not too_much([one for one in busy if one.begin_us < end_us and one.end_us > begin_us]):
            continue
        goes_on = bool(found) and found[-1][1] == begin_us
        found.append((found.pop()[0] if goes_on else begin_us, end_us))
    return tuple((begin_us, end_us) for begin_us, end_us in found if end_us - begin_us > CAN_WAIT_US)
