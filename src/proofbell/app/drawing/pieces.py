"""Words on one line that must not be cut: when there is no room, the least important ones are left out whole."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content


@dataclass(frozen=True, slots=True)
class Piece:
    """Some words and how important they are: the lower the rank, the longer they stay."""

    words: Content
    rank: int


def fitting(pieces: Sequence[Piece], width: int, gap: int) -> tuple[Piece, ...]:
    """The pieces that fit beside each other, in their order. Of equal rank the later ones go first."""
    kept: list[int] = []
    used = 0
    for index in sorted(range(len(pieces)), key=lambda i: (pieces[i].rank, i)):
        needs = pieces[index].words.cell_length + (gap if kept else 0)
        if used + needs <= width:
            kept.append(index)
            used += needs
    return tuple(pieces[index] for index in sorted(kept))


def in_a_row(pieces: Sequence[Piece], width: int, gap: int = 3) -> Content:
    """One line of what fits."""
    return Content(" " * gap).join(piece.words for piece in fitting(pieces, width, gap))


def apart(left: Sequence[Piece], right: Sequence[Piece], width: int, gap: int = 3) -> Content:
    """One line, some pieces to the left and some to the right; ranks count over both."""
    kept = set(map(id, fitting([*left, *right], width, gap)))
    here = Content(" " * gap).join(piece.words for piece in left if id(piece) in kept)
    there = Content(" " * gap).join(piece.words for piece in right if id(piece) in kept)
    blank = max(0, width - here.cell_length - there.cell_length)
    return here + " " * blank + there
