"""The order in which bakes stand on the bench: that of their letters, until the baker puts one elsewhere.

A row is a number that counts downwards. Between two bakes there is always half a row, so that one bake is put
elsewhere by one word about itself.
"""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.bake.events import LETTERS
from proofbell.bake.state import BakeState


def row_of(state: BakeState) -> float:
    """The row a bake stands in: the one it was put into, or its letter's own."""
    return float(LETTERS.find(state.letter)) if state.row is None else state.row


def in_rows(states: Sequence[BakeState]) -> list[BakeState]:
    """The bakes from the top of the bench to the bottom."""
    return sorted(states, key=lambda state: (row_of(state), state.letter, state.id))


def row_beyond(states: Sequence[BakeState], bake: str, step: int) -> float | None:
    """The row that puts a bake past its neighbour.

    Args:
        states: all bakes of the bench.
        bake: the one to move.
        step: -1 for upwards, 1 for downwards.

    Returns:
        The row, or None at the end of the bench.
    """
    order = in_rows(states)
    at = next(index for index, state in enumerate(order) if state.id == bake)
    others = order[:at] + order[at + 1 :]
    to = at + step
    if not 0 <= to <= len(others):
        return None
    if to == 0:
        return row_of(others[0]) - 1
    if to == len(others):
        return row_of(others[-1]) + 1
    return (row_of(others[to - 1]) + row_of(others[to])) / 2
