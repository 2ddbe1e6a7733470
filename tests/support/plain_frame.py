"""Pictures of a screen as they are kept: nothing fetched, no window around them."""

from __future__ import annotations

import re
from pathlib import Path

FOLDER = Path(__file__).parents[2] / "screenshots"


def plain_frame(svg: str) -> str:
    """The picture without a window's buttons, and without a font fetched from elsewhere."""
    svg = re.sub(r"@font-face \{.*?\}\s*", "", svg, flags=re.DOTALL)
    svg = re.sub(r"<g transform=\"translate\(26,22\)\">.*?</g>", "", svg, flags=re.DOTALL)
    svg = re.sub(r"\s*<!--.*?-->", "", svg, flags=re.DOTALL)
    return svg.replace("Fira Code", "DejaVu Sans Mono, Menlo, Consolas")
