"""Pictures of a screen as they are kept: nothing fetched, no window around them, no seams in large digits."""

from __future__ import annotations

import re
from html import escape, unescape
from pathlib import Path

from tests.support.blocks import rectangles, without_blocks

FOLDER = Path(__file__).parents[2] / "screenshots"
CELL = (12.2, 24.4)
"""Width and height of a cell in Textual's pictures."""
TOP = 1.5
"""Where its first line begins."""

_TEXT = re.compile(
    r'<text class="(?P<look>[^"]+)" x="(?P<x>[\d.]+)"(?P<more>[^>]* clip-path="[^"]*-line-(?P<line>\d+)\)")>'
    r"(?P<text>[^<]*)</text>"
)


def plain_frame(svg: str) -> str:
    """The picture without a window's buttons, and without a font fetched from elsewhere."""
    svg = re.sub(r"@font-face \{.*?\}\s*", "", svg, flags=re.DOTALL)
    svg = re.sub(r"<g transform=\"translate\(26,22\)\">.*?</g>", "", svg, flags=re.DOTALL)
    svg = re.sub(r"\s*<!--.*?-->", "", svg, flags=re.DOTALL)
    svg = _TEXT.sub(_without_seams, svg)
    return svg.replace("Fira Code", "DejaVu Sans Mono, Menlo, Consolas")


def _without_seams(found: re.Match[str]) -> str:
    text = unescape(found["text"])
    top = TOP + int(found["line"]) * CELL[1]
    blocks = rectangles(text.rstrip("\n"), float(found["x"]), top, CELL, f'class="{found["look"]}"')
    if not blocks:
        return found[0]
    rest = without_blocks(text).replace(" ", "\u00a0")
    if not rest.strip("\u00a0\n"):
        return blocks + ("\n" if text.endswith("\n") else "")
    told = escape(rest, quote=False).replace("\u00a0", "&#160;")
    return f'{blocks}<text class="{found["look"]}" x="{found["x"]}"{found["more"]}>{told}</text>'
