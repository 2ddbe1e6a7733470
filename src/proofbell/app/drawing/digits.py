"""Numbers and capitals out of blocks, so large that they can be read from across the room. No font is needed.

A character is five points high; a point is ``scale`` columns wide and ``scale`` half lines high.
"""

from __future__ import annotations

from proofbell.app.drawing.canvas import Canvas

POINTS_HIGH = 5

_SHAPES = {
    "0": "### #.# #.# #.# ###", "1": ".#. ##. .#. .#. ###", "2": "### ..# ### #.. ###", "3": "### ..# ### ..# ###",
    "4": "#.# #.# ### ..# ..#", "5": "### #.. ### ..# ###", "6": "### #.. ### #.# ###", "7": "### ..# ..# ..# ..#",
    "8": "### #.# ### #.# ###", "9": "### #.# ### ..# ###", ":": ". # . # .", "+": "... .#. ### .#. ...",
    "-": "... ... ### ... ...", ".": ". . . . #", " ": ".. .. .. .. ..",
    "A": "### #.# ### #.# #.#", "B": "##. #.# ##. #.# ##.", "C": "### #.. #.. #.. ###", "D": "##. #.# #.# #.# ##.",
    "E": "### #.. ##. #.. ###", "F": "### #.. ##. #.. #..", "G": "### #.. #.# #.# ###", "H": "#.# #.# ### #.# #.#",
    "I": "### .#. .#. .#. ###", "J": "..# ..# ..# #.# ###", "K": "#.# #.# ##. #.# #.#", "L": "#.. #.. #.. #.. ###",
    "M": "#...# ##.## #.#.# #...# #...#", "N": "#..# ##.# #.## #..# #..#", "O": "### #.# #.# #.# ###",
    "P": "### #.# ### #.. #..", "Q": "### #.# #.# ### ..#", "R": "##. #.# ##. #.# #.#", "S": "### #.. ### ..# ###",
    "T": "### .#. .#. .#. .#.", "U": "#.# #.# #.# #.# ###", "V": "#.# #.# #.# #.# .#.",
    "W": "#...# #...# #.#.# ##.## #...#", "X": "#.# #.# .#. #.# #.#",
    "Y": "#.# #.# .#. .#. .#.", "Z": "### ..# .#. #.. ###", "?": "### ..# .#. ... .#.",
    "°": "## ## .. .. ..", ",": ".. .. .. .# #.", "×": "... #.# .#. #.# ...", "%": "#.# ..# .#. #.. #.#",
}  # fmt: skip


def known(text: str) -> bool:
    """Whether every character has a shape."""
    return all(character in _SHAPES for character in text)


def points_wide(text: str) -> int:
    """How many points wide some text is, with a point between the characters."""
    return sum(len(_SHAPES[c].split()[0]) for c in text) + max(0, len(text) - 1)


def columns(text: str, scale: int) -> int:
    """How many columns some text takes."""
    return points_wide(text) * scale


def lines(scale: int) -> int:
    """How many lines a character takes."""
    return -(-POINTS_HIGH * scale // 2)


def largest_scale(text: str, width: int, height: int) -> int:
    """The largest scale at which some text fits; 0 when it does not fit at all."""
    if not text or not known(text):
        return 0
    scale = width // points_wide(text)
    while scale and lines(scale) > height:
        scale -= 1
    return scale


def draw_blocks(canvas: Canvas, x: int, y: int, text: str, scale: int, style: str = "") -> int:
    """Draw text with its upper left corner at a cell; returns the column after it."""
    for character in text:
        rows = _SHAPES[character].split()
        for column in range(len(rows[0])):
            filled = [rows[half // scale][column] == "#" for half in range(POINTS_HIGH * scale)] + [False]
            for line in range(lines(scale)):
                block = _block(filled[2 * line], filled[2 * line + 1])
                if block != " ":
                    canvas.fill(x + column * scale, y + line, scale, block, style)
        x += (len(rows[0]) + 1) * scale
    return x - scale


def _block(upper: bool, lower: bool) -> str:  # noqa: FBT001 - two halves of a cell
    return {(True, True): "█", (True, False): "▀", (False, True): "▄"}.get((upper, lower), " ")
