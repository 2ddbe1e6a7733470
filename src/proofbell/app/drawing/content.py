"""The one door through which text from files, notes and people reaches the screen: never raw, never as markup."""

from __future__ import annotations

import re
from collections.abc import Sequence

from textual.content import Content

from proofbell.frozen import dataclass
from proofbell.visible import visible


def outside(text: str, *, most: int = 200, breaks: bool = False) -> Content:
    """Text that somebody wrote, made harmless and free of markup."""
    return Content(visible(text, most=most, breaks=breaks))


def own(text: str, style: str = "") -> Content:
    """Text of the program's own; still no markup, since a number in it may come from outside."""
    return Content.styled(text, style) if style else Content(text)


_IN_NUMBER = re.compile(r"(?<=\d) (?=(?:°C|°F|%|g|kg|ml|l|s|min|h|d|K|cm|×)(?!\w))|(?<=\d [hd]) (?=\d)|(?<=×) (?=\d)")
_JOINED = "\ue000"
"""Stands for a blank that may not be broken while lines are made; no text from outside has it."""


def wrapped(words: Content, width: int) -> list[Content]:
    """Lines of at most ``width`` cells; a number and its unit stay together where a line can hold them."""
    joined = Content(_IN_NUMBER.sub(_JOINED, words.plain), list(words.spans))
    return [Content(line.plain.replace(_JOINED, " "), list(line.spans)) for line in joined.wrap(width)]


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
