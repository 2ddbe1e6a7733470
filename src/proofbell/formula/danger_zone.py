"""Between cold and hot: the official figures for food that stands there. Local rules and licensed advice come first."""

from __future__ import annotations

from typing import Literal

from proofbell.frozen import dataclass

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
        "Food Hygiene Regulations (Northern Ireland) 2006, SR 2006/3, schedule 4, paragraph 5: above 8 °C less than "
        "four hours, once; 63 °C: Food Standards Agency, Guidance on Temperature Control Legislation",
    ),
    "eu": Zone(
        5.0,
        60.0,
        2 * 3600.0,
        "World Health Organization, Five Keys to Safer Food Manual, 2006; member states set figures of their own",
    ),
}

IN_ALL_S = 4 * 3600.0
"""Food kept by time alone, over all its stretches: SR 2006/3, schedule 4, paragraph 5 (Northern Ireland). The FDA's
Food Code has as much for a working supply before it is cooked, 3-501.19 (from memory)."""

IN_ALL_SOURCE = (
    "Food kept by time alone: Food Hygiene Regulations (Northern Ireland) 2006, SR 2006/3, schedule 4, paragraph 5; "
    "US FDA Food Code 3-501.19, a working supply before it is cooked"
)
