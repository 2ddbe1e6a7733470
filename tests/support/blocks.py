"""Block characters as rectangles: a browser leaves seams between the glyphs of a font, and none between these."""

from __future__ import annotations

from itertools import groupby

Part = tuple[float, float, float, float, float]
"""Left, top, width and height as shares of a cell, and how much of it is covered."""

_PARTS: dict[str, Part] = {
    "█": (0, 0, 1, 1, 1), "▀": (0, 0, 1, 0.5, 1), "▐": (0.5, 0, 0.5, 1, 1), "▔": (0, 0, 1, 0.125, 1),
    "▕": (0.875, 0, 0.125, 1, 1), "░": (0, 0, 1, 1, 0.25), "▒": (0, 0, 1, 1, 0.5), "▓": (0, 0, 1, 1, 0.75),
}  # fmt: skip
_PARTS |= {chr(0x2580 + eighths): (0, 1 - eighths / 8, 1, eighths / 8, 1) for eighths in range(1, 8)}
_PARTS |= {chr(0x2590 - eighths): (0, 0, eighths / 8, 1, 1) for eighths in range(1, 8)}


def without_blocks(text: str) -> str:
    """The text with a blank for each block."""
    return "".join(" " if glyph in _PARTS else glyph for glyph in text)


def rectangles(text: str, x: float, top: float, cell: tuple[float, float], look: str) -> str:
    """The blocks of a text as SVG. ``x``, ``top``: its first cell; ``cell``: width and height; ``look``: attributes."""
    found, column = [], 0
    for glyph, run in groupby(text):
        count = len(list(run))
        for number in range(count) if glyph in _PARTS and _PARTS[glyph][2] < 1 else range(1):
            if glyph in _PARTS:
                left, up, wide, high, covers = _PARTS[glyph]
                width = wide * cell[0] if wide < 1 else count * cell[0]
                at = x + (column + number + left) * cell[0]
                faint = f' fill-opacity="{covers:g}"' if covers < 1 else ""
                found.append(
                    f'<rect {look}{faint} x="{at:.4g}" y="{top + up * cell[1]:.4g}" width="{width:.4g}" '
                    f'height="{high * cell[1]:.4g}" shape-rendering="crispEdges"/>'
                )
        column += count
    return "".join(found)
