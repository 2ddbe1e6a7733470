"""The letter of a bake that comes from another journal: its own, or a free one when a live bake here has that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from proofbell.bake.record import Row
from proofbell.bake.stamp import Stamp
from proofbell.journal.store import Journal


@dataclass(frozen=True, slots=True)
class OwnLetter:
    """The lines that give it another letter, if any, and which one."""

    rows: tuple[Row, ...] = ()
    given: str = ""

    def keep(self, journal: Journal) -> None:
        """Note the letter where the journal keeps those of live bakes."""


def own_letter(_journal: Journal, _rows: Sequence[Row], _now: Stamp) -> OwnLetter | None:
    """What letter the bake has here; None when it is live and none is free."""
    return OwnLetter()
