"""When to ring: at once, and every 15 seconds until somebody has answered. Pure; the time is handed in.

Rings are told apart by bake and prompt, so that each is raised once however often it is looked at.
"""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.bake.tasks import PromptId
from proofbell.bench.board import Coming
from proofbell.words import length

EVERY_US = 15_000_000
"""Between two rings of the same thing, in microseconds of the real clock."""

LATER_US = 180_000_000
"""How long something that was put off keeps still."""

Key = tuple[str, PromptId]


def key_of(ring: Coming) -> Key:
    """What a ring is known by."""
    return ring.bake, ring.prompt.id


class RingSchedule:
    """When each ring sounds: at once, again after a while, later if it was put off."""

    def __init__(self, every_us: int = EVERY_US) -> None:
        self._every_us = every_us
        self._next: dict[Key, int] = {}

    def due(self, rings: Sequence[Coming], real_us: int) -> tuple[Coming, ...]:
        """Those of ``rings`` that are to sound at ``real_us`` (a clock that never goes back), the longest due first."""
        keys = {key_of(ring) for ring in rings}
        self._next = {key: at for key, at in self._next.items() if key in keys}
        sounding = tuple(ring for ring in rings if self._next.get(key_of(ring), real_us) <= real_us)
        for ring in sounding:
            self._next[key_of(ring)] = real_us + self._every_us
        return sounding

    def put_off(self, ring: Coming, until_us: int) -> None:
        """Keep one thing still until then; it stays due."""
        self._next[key_of(ring)] = until_us

    def is_put_off(self, ring: Coming, real_us: int) -> bool:
        """Whether somebody said "later" to it, and later is not yet."""
        return self._next.get(key_of(ring), 0) > real_us + self._every_us


def ring_words(ring: Coming, now_us: int) -> str:
    """``A  load the oven, 2 min over``: the letter, what to do, and how late it is."""
    late_s = (now_us - ring.at_us) / 1_000_000
    late = f", {length(late_s)} over" if late_s >= 60 else ""
    return f"{ring.letter}  {ring.prompt.words}{late}"
