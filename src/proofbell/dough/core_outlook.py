"""When a loaf in the oven will be hot enough inside: from one reading of its core, or better from several.

Measured tables of core temperature against time could not be read, so the curve here was fitted to simulated bakes
(slab, cylinder and ball of 60 to 1600 g, ovens of 175 to 250 °C), and no figure of it is a real loaf's. Nearly all of
them share one course once time is told as a share of the time to θ = 0.9, where θ = (core − dough put in) / (boiling −
dough put in); one parameter more takes up the shape of the loaf. Against what is published it fares well: 56 to 60 °C
at 0.59 of the time to 93 °C (American Society of Baking, thermal profiling), and 5 to 6 min from 85 to 93 °C at the
end of half an hour ("in a matter of minutes", bread-bakers list).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from proofbell.frozen import dataclass

_THETA = (0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.75, 0.8, 0.85, 0.9, 0.925, 0.95)
_SHARE = (0.309, 0.369, 0.455, 0.524, 0.586, 0.644, 0.704, 0.772, 0.812, 0.859, 0.918, 1.0, 1.057, 1.136)
_LOG_SHARE = tuple(math.log(share) for share in _SHARE)
_SHAPE = (-0.483, -0.429, -0.352, -0.290, -0.235, -0.183, -0.134, -0.088, -0.065, -0.043, -0.022, 0.0, 0.011, 0.023)
_SPREAD = (0.045, 0.021, 0.007, 0.020, 0.028, 0.031, 0.030, 0.025, 0.021, 0.016, 0.009, 0.0, 0.005, 0.012)

_SHAPE_SD = 0.58
_SCALE_SHARE, _SCALE_SD = 0.85, 0.35
"""What is known of a bake before it is read: θ = 0.9 at 0.85 of the formula's time, give or take 35 %."""

_NOISE_K, _FLOOR = 0.5, 0.01
_WIDENED = 1.4
"""Several readings of one loaf err together: with this on the spread, 90 % of 200 fresh simulated bakes lay inside."""

_NINETY = 1.645
LEAST_S = 120.0
"""At least so wide to either side, for where in the crumb the tip of the probe happens to be: a choice."""

MOST_READINGS = 6
"""Of more readings the newest count."""

DOUGH_IN_C = 25.0
"""A dough's temperature as it is put in, where nothing better is known."""


@dataclass(frozen=True, slots=True)
class CoreOutlook:
    """When a core temperature is reached, in seconds into the bake, and the 90 % range around it."""

    done_s: float
    low_s: float
    high_s: float


def core_outlook(
    readings: Sequence[tuple[float, float]],
    wanted_c: float,
    *,
    boiling_c: float = 100.0,
    dough_c: float = DOUGH_IN_C,
    bake_s: float | None = None,
) -> CoreOutlook | None:
    """Say when a core will be at ``wanted_c``, judged from the readings so far; None where nothing can be said yet.

    One reading is carried along the common curve: the time more is a share of the time so far. Two and more also show
    the shape of the loaf, with the formula's time as a first guess.

    Below θ = 0.05 (29 °C in a dough of 25 °C) nothing can be said: a loaf may pass that anywhere in the first third.
    Above θ = 0.95 (96 °C) the curve is carried on beyond its table, with a wider range.

    Args:
        readings: (seconds into the bake, core °C), in order of time.
        wanted_c: the core wanted, below ``boiling_c``.
        boiling_c: where water boils here, which no moist crumb passes.
        dough_c: the dough as it was put in.
        bake_s: the formula's time for the bake.
    """
    span_k = boiling_c - dough_c
    if not readings or span_k <= 0 or not dough_c < wanted_c < boiling_c:
        return None
    goal = (wanted_c - dough_c) / span_k
    seen = [(at_s, (core_c - dough_c) / span_k) for at_s, core_c in readings]
    at_s, theta = seen[-1]
    told = [(then_s, each) for then_s, each in seen if then_s > 0 and _THETA[0] <= each < 1][-MOST_READINGS:]
    if not told or theta < _THETA[0]:
        return None
    if len(told) == 1:
        done_s, sd = _by_one(told[0], goal, _NOISE_K / span_k)
    else:
        done_s, sd = _by_several(told, goal, _NOISE_K / span_k, bake_s)
    wide_s = max(LEAST_S, _NINETY * sd * done_s)
    # What the newest reading has seen is sure: the goal is passed by then, or it is still to come.
    least_s, most_s = (at_s, math.inf) if theta < goal else (0.0, at_s)
    done_s = min(max(done_s, least_s), most_s)
    return CoreOutlook(done_s, min(max(done_s - wide_s, least_s), most_s), min(done_s + wide_s, most_s))


def _by_one(seen: tuple[float, float], goal: float, noise: float) -> tuple[float, float]:
    """When (s), and the relative spread of that."""
    at_s, theta = seen
    shape_sd = _SHAPE_SD * (_along(_SHAPE, goal) - _along(_SHAPE, theta))
    sd = math.hypot(shape_sd, _along(_SPREAD, theta), _along(_SPREAD, goal), _slope(theta) * noise, _FLOOR)
    return at_s * math.exp(_along(_LOG_SHARE, goal) - _along(_LOG_SHARE, theta)), math.hypot(sd, _beyond(goal))


def _by_several(
    seen: Sequence[tuple[float, float]], goal: float, noise: float, bake_s: float | None
) -> tuple[float, float]:
    """The same by least squares for the loaf's scale and shape, each weighed by what it is known to."""
    aa, ab, bb, ay, by = 0.0, 0.0, _SHAPE_SD**-2, 0.0, 0.0
    if bake_s is not None and bake_s > 0:
        aa, ay = _SCALE_SD**-2, math.log(_SCALE_SHARE * bake_s) * _SCALE_SD**-2
    for at_s, theta in seen:
        weight = 1 / (_along(_SPREAD, theta) ** 2 + (_slope(theta) * noise) ** 2 + _FLOOR**2)
        shape, log_s = _along(_SHAPE, theta), math.log(at_s) - _along(_LOG_SHARE, theta)
        aa, ab, bb = aa + weight, ab + weight * shape, bb + weight * shape**2
        ay, by = ay + weight * log_s, by + weight * shape * log_s
    free = aa * bb - ab**2
    scale, bend = (bb * ay - ab * by) / free, (aa * by - ab * ay) / free
    shape = _along(_SHAPE, goal)
    doubt = (bb - 2 * shape * ab + shape**2 * aa) / free + _along(_SPREAD, goal) ** 2
    done_s = math.exp(scale + _along(_LOG_SHARE, goal) + bend * shape)
    return done_s, math.hypot(_WIDENED * math.sqrt(doubt), _beyond(goal))


def _along(column: Sequence[float], theta: float) -> float:
    """A column of the table at θ, straight between its rows and on beyond the last."""
    row = next((i for i, each in enumerate(_THETA[1:-1], 1) if theta <= each), len(_THETA) - 1)
    low, high = _THETA[row - 1], _THETA[row]
    return column[row - 1] + (column[row] - column[row - 1]) * (theta - low) / (high - low)


def _slope(theta: float) -> float:
    """How fast the curve runs at θ: the logarithm of time against θ."""
    return (_along(_LOG_SHARE, theta + 0.005) - _along(_LOG_SHARE, theta - 0.005)) / 0.01


def _beyond(goal: float) -> float:
    """What being carried on beyond the table adds to the spread: as much as it adds to the time. A choice."""
    last = _THETA[-1]
    return max(0.0, _along(_LOG_SHARE, goal) - _along(_LOG_SHARE, last)) if goal > last else 0.0
