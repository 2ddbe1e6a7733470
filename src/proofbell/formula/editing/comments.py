"""The comments beside a figure of a file that give figures themselves: another value may make them wrong."""

from __future__ import annotations

import re

from proofbell.formula.editing.figures import Figure

_COMMENT = re.compile(r"\"(?:[^\"\\]|\\.)*\"|'[^']*'|(?P<comment>#.*)")
_FIGURE = re.compile(r"[0-9¼½¾]")


def comments_beside(text: str, figure: Figure) -> tuple[str, ...]:
    """Those on the lines right above it and behind it on its own, without their ``#``; none that gives no figure."""
    lines = text.split("\n")
    own = figure.line - 1
    first = own
    while first > 0 and lines[first - 1].lstrip().startswith("#"):
        first -= 1
    found = [*lines[first:own], _behind(lines[own])]
    told = (each.strip().lstrip("#").strip() for each in found)
    return tuple(each for each in told if _FIGURE.search(each))


def _behind(line: str) -> str:
    """The comment at the end of a line."""
    return next((match["comment"] for match in _COMMENT.finditer(line) if match["comment"]), "")
