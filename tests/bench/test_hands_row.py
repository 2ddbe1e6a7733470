"""The row of the hands: when each dough wants them, worked out by hand from the formula's own minutes."""

from __future__ import annotations

from proofbell.bake import intents
from proofbell.bench.board import board
from tests.support.decided import at, bake

MINUTE_US = 60_000_000


def test_a_loafs_hands_are_its_own_minutes_and_one_to_load_and_one_to_unload() -> None:
    """Mixed 14 min, 6 of them by hand; proof 75, dividing 8, rest 15, moulding 8, proof 55, bake 35 (all min)."""
    state = bake("A", "quay-pan-loaf", (0.0, intents.Begin()))

    hands = [(busy.begin_us, busy.end_us) for busy in board([state], at(0.0)).hands]

    began_us = state.wall_us(0.0)
    in_minutes = [((begin - began_us) / MINUTE_US, (end - began_us) / MINUTE_US) for begin, end in hands]
    assert in_minutes == [(0, 6), (89, 97), (112, 120), (175, 176), (209, 210)]
