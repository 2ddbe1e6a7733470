"""A screenshot as plain text that a person can read and a diff can tell: glyphs above, styles below.

Textual writes a screenshot as SVG 1.1: a ``text`` element for each run of one style, a ``rect`` for each background.
Here only what a cell looks like is kept, so that another way of writing the same picture is no difference.
"""

from __future__ import annotations

import re
from itertools import groupby
from xml.etree.ElementTree import Element, fromstring
from zlib import crc32

SVG = "{http://www.w3.org/2000/svg}"
CELL_PX = 12.2
LINE_PX = 24.4


def frame(svg: str, width: int, height: int) -> str:
    """The picture in ``height`` lines of glyphs, as many of styles (run lengths), and what each style is."""
    root = fromstring(re.sub(r"@font-face \{.*?\}\s*", "", svg, flags=re.DOTALL))  # noqa: S314 - our own picture
    looks = _looks(root)
    glyphs = [[" "] * width for _ in range(height)]
    ink = [[""] * width for _ in range(height)]
    paper = [[""] * width for _ in range(height)]
    for part in root.iter(f"{SVG}rect"):
        if part.get("shape-rendering") == "crispEdges":
            _fill(paper, part)
    for part in root.iter(f"{SVG}text"):
        if part.get("clip-path") is not None:
            _write(glyphs, ink, part, looks)
    cells = [_joined(*lines) for lines in zip(ink, paper, strict=True)]
    styles = sorted({cell for line in cells for cell in line}, key=_name)
    return "\n".join(
        [
            *("".join(line).rstrip() for line in glyphs),
            "=" * width,
            *(" ".join(f"{_name(style)}×{len(list(run))}" for style, run in groupby(line)) for line in cells),
            "=" * width,
            *(f"{_name(style)}  {style[0] or '-'} on {style[1] or '-'}" for style in styles),
            "",
        ]
    )


def _joined(ink: list[str], paper: list[str]) -> list[tuple[str, str]]:
    """The style of each cell of a line; a blank, which has no ink, goes with what stands before it."""
    cells: list[tuple[str, str]] = []
    for one, other in zip(ink, paper, strict=True):
        cells.append(cells[-1] if not one and cells and cells[-1][1] == other else (one, other))
    return cells


def _name(style: tuple[str, str]) -> str:
    """A short name that stays when other styles come and go."""
    return f"{crc32(' on '.join(style).encode()):08x}"[:4]


def _looks(root: Element) -> dict[str, str]:
    """Class of a run to its colour and weight."""
    sheet = "".join(style.text or "" for style in root.iter(f"{SVG}style"))
    found = re.findall(r"\.(\S+-r\d+) \{(.*?)\}", sheet)
    return {name: " ".join(re.findall(r": *([^;]+?) *(?:;|$)", text.strip())) for name, text in found}


def _at(part: Element) -> tuple[int, int]:
    """Column and line."""
    return round(float(part.get("x", "0")) / CELL_PX), int(float(part.get("y", "0")) / LINE_PX)


def _fill(paper: list[list[str]], part: Element) -> None:
    x, y = _at(part)
    for column in range(x, x + round(float(part.get("width", "0")) / CELL_PX)):
        if y < len(paper) and column < len(paper[y]):
            paper[y][column] = part.get("fill", "")


def _write(glyphs: list[list[str]], ink: list[list[str]], part: Element, looks: dict[str, str]) -> None:
    x, _ = _at(part)
    line = re.search(r"line-(\d+)", part.get("clip-path", ""))
    y = int(line[1]) if line else 0
    for column, glyph in enumerate((part.text or "").replace("\xa0", " "), x):
        if y < len(glyphs) and column < len(glyphs[y]):
            glyphs[y][column] = glyph
            if glyph != " ":
                ink[y][column] = looks.get(part.get("class", ""), "")
