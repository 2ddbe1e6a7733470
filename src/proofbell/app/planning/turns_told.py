"""That a dough that was told to be loaded next has another before it now, told once as it comes to be so."""

from __future__ import annotations

from proofbell.bench.board import Board


class TurnsTold:
    """Remembers in which order doughs were to go into the oven, and which of them were told to wait for it."""

    def __init__(self) -> None:
        self._order: tuple[str, ...] = ()
        self._told: frozenset[str] = frozenset()

    def news(self, board: Board) -> list[str]:
        """``C goes into the oven before F now``, for each that was told to wait and was passed since."""
        found = [
            f"{other} goes into the oven before {letter} now"
            for at, letter in enumerate(board.next_in)
            for other in board.next_in[:at]
            if letter in self._told and letter in self._order and other not in self._before(letter)
        ]
        self._order = board.next_in
        self._told = frozenset(one.letter for one in board.coming if one.prompt.id.waits)
        return found

    def _before(self, letter: str) -> tuple[str, ...]:
        return self._order[: self._order.index(letter)]
