"""Who is in the oven together, for its row beside the strips."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.bench.busy import Busy
from proofbell.frozen import dataclass


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
