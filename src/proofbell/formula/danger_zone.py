"""Between cold and hot: the official figures for food that stands there. Local rules and licensed advice come first."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Region = Literal["eu", "uk", "us"]


@dataclass(frozen=True, slots=True)
class Zone:
    """The danger zone: the temperatures (°C) that bound it, and how long (s) food may be in it.

    Where ``warm_c`` is set, the shorter ``warm_limit_s`` holds when the place is warmer than that.
    """

    low_c: float
    high_c: float
    limit_s: float
    source: str
    warm_c: float | None = None
    warm_limit_s: float | None = None


ZONES: dict[Region, Zone] = {
    "us": Zone(
        (40 - 32) / 1.8,
        60.0,
        2 * 3600.0,
        "USDA FSIS, danger zone 40 to 140 °F; FDA tells food services 41 to 135 °F",
        (90 - 32) / 1.8,
        3600.0,
    ),
    "uk": Zone(
        8.0,
        63.0,
        4 * 3600.0,
        "Food Standards Agency, Guidance on Temperature Control Legislation in the United Kingdom: 8 and 63 °C; "
        "out of the cold once, four hours at most",
    ),
    "eu": Zone(
        5.0,
        60.0,
        2 * 3600.0,
        "World Health Organization, Five Keys to Safer Food Manual, 2006; member states set figures of their own",
    ),
}

IN_ALL_S = 4 * 3600.0
"""Food kept by time alone, over all its stretches: FDA Food Code 3-501.19 (from memory)."""
