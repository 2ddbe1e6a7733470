"""When to ring: at once, and every 15 seconds until somebody has answered. Pure; the time is handed in.

Rings are told apart by bake and prompt, so that each is raised once however often it is looked at.
"""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.bake.tasks import PromptId
from proofbell.bench.board import Board, Coming
from proofbell.words import length, told_length

EVERY_US = 15_000_000
"""Between two rings of the same thing, in microseconds of the real clock."""

LATER_US = 180_000_000
"""How long something that was put off keeps still."""

MOST_WHEN_PATIENT = 8
"""So often what can wait rings, two minutes in all: a cooled bread spoils nothing by standing there. Our own choice."""

Key = tuple[str, PromptId]


def key_of(ring: Coming) -> Key:
    """What a ring is known by."""
    return ring.bake, ring.prompt.id


class RingSchedule:
    """When each ring sounds: at once, again after a while, later if it was put off; what can wait a few times only.

    While somebody is at it, it keeps still.
    """

    def __init__(self) -> None:
        self._next: dict[Key, int] = {}
        self._rung: dict[Key, int] = {}

    def due(self, rings: Sequence[Coming], real_us: int) -> tuple[Coming, ...]:
        """Those of ``rings`` that are to sound at ``real_us`` (a clock that never goes back), the longest due first."""
        keys = {key_of(ring) for ring in rings}
        self._next = {key: at for key, at in self._next.items() if key in keys}
        self._rung = {key: count for key, count in self._rung.items() if key in keys}
        sounding = tuple(ring for ring in rings if self._is_due(ring, real_us))
        for ring in sounding:
            self._rung[key_of(ring)] = self._rung.get(key_of(ring), 0) + 1
            self._next[key_of(ring)] = real_us + EVERY_US
        return sounding

    def _is_due(self, ring: Coming, real_us: int) -> bool:
        if ring.still:
            return False
        key = key_of(ring)
        tired = ring.prompt.patient and self._rung.get(key, 0) >= MOST_WHEN_PATIENT
        return not tired and self._next.get(key, real_us) <= real_us

    def put_off(self, ring: Coming, until_us: int) -> None:
        """Keep one thing still until then; it stays due."""
        self._next[key_of(ring)] = until_us

    def is_put_off(self, ring: Coming, real_us: int) -> bool:
        """Whether somebody said "later" to it, and later is not yet."""
        return self._next.get(key_of(ring), 0) > real_us + EVERY_US


def due_in_s(board: Board) -> float | None:
    """Seconds until the next thing on the bench is due, if that is within the second; None: the next tick sees it."""
    left_us = (one.at_us - board.now.wall_us for one in board.coming)
    soonest_us = min((us for us in left_us if 0 < us < 1_000_000), default=None)
    return None if soonest_us is None else soonest_us / 1_000_000


def may_sound(rings: Sequence[Coming], *, quiet: bool) -> tuple[Coming, ...]:
    """What may wake somebody: in the quiet hours nothing that can wait. It stays due, and sounds when they are over."""
    return tuple(ring for ring in rings if not (quiet and ring.prompt.patient))


def title_words(board: Board) -> str:
    """For the window's title: ``A load the oven, 2 min over``, or how long until what comes next, to the minute."""
    if board.rings:
        return ring_words(board.rings[0], board.now.wall_us).replace("  ", " ", 1)
    to_come = next((each for each in board.coming if not each.now), None)
    if to_come is None:
        return "Proofbell"
    minutes = -(-(to_come.at_us - board.now.wall_us) // 60_000_000)
    return f"{length(minutes * 60)} · {to_come.letter} {to_come.prompt.words}"


def ring_words(ring: Coming, now_us: int, *, brief: bool = False) -> str:
    """``A  load the oven, 2 min over``: the letter, what to do, ``brief`` where that can be, and how late it is."""
    late_s = (now_us - ring.at_us) / 1_000_000
    late = f", {told_length(late_s)} over" if late_s >= 60 and not ring.prompt.weighs_ahead else ""
    words = (ring.prompt.brief if brief else "") or ring.prompt.words
    return f"{ring.letter}  {words}{late}"
