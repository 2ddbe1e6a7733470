"""Two looks of our own, and the terminal's own colours for those who want them. No state is told by colour alone.

Text stands out by at least 4.5 to 1 and large digits by 7 to 1 (WCAG 2.2, 1.4.3 and 1.4.6). In the terminal's own
colours only its owner knows the contrast: there nothing has a ground of its own, and what stands out is reversed.
"""

from __future__ import annotations

from collections.abc import Mapping

from textual.theme import Theme

from proofbell.browser import VARIABLE

NIGHT = Theme(
    name="night",
    primary="#7fa8c9",
    secondary="#9bb38f",
    accent="#e0a458",
    warning="#e8c35a",
    error="#ff8370",
    success="#9bc48a",
    foreground="#e8e4da",
    background="#14181c",
    surface="#1c2228",
    panel="#232b33",
    dark=True,
    variables={
        "hands": "#d8c08a",
        "proof": "#86b6a4",
        "cold": "#7fa8c9",
        "heat": "#e98f55",
        "quiet": "#9ba4ac",
        "scrollbar": "#758593",
        "scrollbar-background": "#232b33",
    },
)
"""Dark, for a kitchen before sunrise."""

DAY = Theme(
    name="day",
    primary="#0b3a66",
    secondary="#1d4d2b",
    accent="#8a3a00",
    warning="#6b4a00",
    error="#9c0d0d",
    success="#14532d",
    foreground="#000000",
    background="#ffffff",
    surface="#ffffff",
    panel="#e4e4de",
    dark=False,
    text_alpha=1.0,
    variables={
        "hands": "#5c4300",
        "proof": "#0f4d3a",
        "cold": "#0b3a66",
        "heat": "#8a2a00",
        "quiet": "#4a4a4a",
        "scrollbar": "#6b7784",
        "scrollbar-background": "#e4e4de",
    },
)
"""Light with high contrast, for a bright room or tired eyes."""

OWN = (NIGHT, DAY)

ANSI = {"hands": "ansi_yellow", "proof": "ansi_green", "cold": "ansi_cyan", "heat": "ansi_red", "quiet": "ansi_default"}
"""The same names for the terminal's own colours."""

NAMES = ("night", "day", "ansi-dark", "ansi-light")


def theme_name(wanted: str, environment: Mapping[str, str]) -> str:
    """Which theme to use: ``NO_COLOR`` (no-color.org) asks for none, which only the terminal's own colours give.

    Where the kitchen wants none, a browser's window goes by the browser's setting.
    """
    if environment.get("NO_COLOR"):
        return "ansi-dark"
    return next((each for each in (wanted, environment.get(VARIABLE, "")) if each in NAMES), "night")
