"""Which stages make the same, and which follow which, by what each makes."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple


class StageOrder(NamedTuple):
    """Of each stage: the strand it is in, what it follows and what follows it."""

    strands: tuple[range, ...]
    follows: tuple[tuple[int, ...], ...]
    followed_by: tuple[int | None, ...]


@lru_cache(maxsize=128)
def stage_order(made_for: tuple[str | None, ...]) -> StageOrder:
    """The order of stages that make these, each a preferment by its name, or None for the dough.

    Worked out once: it is asked for dozens of times a second for each dough on the bench.
    """
    first = {made: index for index, made in reversed(list(enumerate(made_for)))}
    last = {made: index for index, made in enumerate(made_for)}
    strands = tuple(range(first[made], last[made] + 1) for made in made_for)
    follows = tuple(
        (index - 1,)
        if index > strand.start
        else ()
        if made is not None
        else tuple(before for before in range(index) if strands[before].stop == before + 1)
        for index, (made, strand) in enumerate(zip(made_for, strands, strict=True))
    )
    followed_by = tuple(
        next((after for after in range(index + 1, len(made_for)) if index in follows[after]), None)
        for index in range(len(made_for))
    )
    return StageOrder(strands, follows, followed_by)
