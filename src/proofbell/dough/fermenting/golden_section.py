"""Golden-section search: where a function of one valley is lowest (Kiefer 1953)."""

from __future__ import annotations

import math
from collections.abc import Callable

GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0

_STEPS = 30


def lowest(function: Callable[[float], float], low: float, high: float) -> float:
    """Return where a function with one valley between ``low`` and ``high`` is lowest, to a millionth of the stretch."""
    one, other = high - GOLDEN * (high - low), low + GOLDEN * (high - low)
    at_one, at_other = function(one), function(other)
    for _ in range(_STEPS):
        if at_one < at_other:
            high, other, at_other = other, one, at_one
            one = high - GOLDEN * (high - low)
            at_one = function(one)
        else:
            low, one, at_one = one, other, at_other
            other = low + GOLDEN * (high - low)
            at_other = function(other)
    return (low + high) / 2
