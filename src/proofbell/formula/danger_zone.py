"""Between cold and hot: the official figures for food that stands there. Local rules and licensed advice come first."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from proofbell.formula.model import Ingredient
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

KEPT_COLD_C: dict[Region, float] = {"us": 5.0, "uk": 8.0, "eu": 5.0}
"""A place this cold keeps food cold, and what cools there is cooling, not standing warm. UK: The Food Safety and
Hygiene (England) Regulations 2013 (SI 2013/2996), schedule 4, paragraph 2, nothing above 8 °C; US: FDA Food Code
3-501.14 and 3-501.16, cooling to 41 °F (5 °C) and held there; EU: WHO, Five Keys to Safer Food Manual, 2006, 5 °C."""

FEW_PERCENT = 5.0
"""Up to so much dry milk (percent of the flour) a dough is a lean one, which the figures are not about. Common
practice, no source."""


def stands_raw(ingredients: Iterable[Ingredient]) -> tuple[Ingredient, ...]:
    """The lines of a dough that the figures are about: egg and milk in it, and dry milk where it is more than a little.

    What is brushed on or otherwise kept out of the dough does not stand with it.
    """
    within = [line for line in ingredients if line.use == "dough"]
    dry = sum(line.percent for line in within if line.kind == "dry milk") > FEW_PERCENT
    return tuple(line for line in within if line.kind in ("egg", "milk") or (dry and line.kind == "dry milk"))
