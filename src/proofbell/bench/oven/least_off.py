"""For how short a time an oven is not turned off between two bakes."""

from __future__ import annotations

from proofbell.dough.oven import cool_down_s
from proofbell.kitchen.model import Oven

LEAST_OFF_S = 10 * 60
"""For less than this an oven is not turned off: common practice, no source."""

SHUT_SLOWER = 2.0
"""An oven cools so many times slower with its door shut than with it ajar: common practice, no source."""


def least_off_s(oven: Oven, from_c: float, to_c: float) -> float:
    """For less than so long (s) an oven is not turned off between two heats (conventional °C), before it heats afresh.

    One that would still be hotter than it is wanted next is turned down. Bench and plan go by the same.
    """
    cools_s = SHUT_SLOWER * cool_down_s(from_c, to_c, cool_down_s=oven.cool_down_s)
    return max(LEAST_OFF_S, cools_s)
