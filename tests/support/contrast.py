"""How well what a screen shows stands out, by the W3C's formula, cell by cell as it is rendered."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from rich.color import Color
from textual.app import App
from textual.geometry import Region
from textual.screen import ModalScreen

from tests.support.stage import drawn

Rgb = tuple[int, int, int]


def luminance(rgb: Rgb) -> float:
    """Relative luminance of an sRGB colour, 0 to 1 (WCAG 2.2, "relative luminance")."""
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in (value / 255 for value in rgb)]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: Rgb, other: Rgb) -> float:
    """Contrast ratio, 1 to 21 (WCAG 2.2, "contrast ratio")."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


@dataclass(frozen=True, slots=True)
class Cell:
    """What stands in a cell. A colour of the terminal's own has no value: its name alone."""

    x: int
    y: int
    glyph: str
    ink: Rgb | None
    paper: Rgb | None
    paper_name: str
    reverse: bool


def cells(app: App[Any]) -> Iterator[Cell]:
    """The cells that are not blank. Not what lies below a dialog or is switched off: neither takes part just now."""
    screen = app.screen
    own = [part.region for part in screen.children] if isinstance(screen, ModalScreen) else [screen.region]
    off = [part.region for part in screen.query("*:disabled")]
    for y, strip in enumerate(drawn(app)):
        x = 0
        for text, style, _ in strip:
            for glyph in text:
                if glyph.strip() and style is not None and _inside(own, x, y) and not _inside(off, x, y):
                    ink, paper = (style.bgcolor, style.color) if style.reverse else (style.color, style.bgcolor)
                    yield Cell(
                        x,
                        y,
                        glyph,
                        _rgb(ink),
                        _rgb(paper),
                        "default" if style.bgcolor is None else style.bgcolor.name,
                        bool(style.reverse),
                    )
                x += 1


def _rgb(colour: Color | None) -> Rgb | None:
    found = None if colour is None else colour.triplet
    return None if found is None else (found.red, found.green, found.blue)


def _inside(regions: list[Region], x: int, y: int) -> bool:
    return any(region.contains(x, y) for region in regions)
