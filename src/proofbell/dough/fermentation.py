"""How long a dough needs: the same amount of fermentation, in any place, from any reading.

Fermentation is the sum of the relative rate (:func:`relative_rate`) over time while the dough drifts towards
the temperature of its place. A time of more than :data:`LONGEST_S` is given as infinity: this dough will not
be ready in this place.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from proofbell.dough.path import Path, Readings, follow
from proofbell.dough.rate import COLD_C, LEAST_C, LEAST_HIGH_C, LEAST_LOW_C, MOST_C, Drift, relative_rate

__all__ = [
    "LONGEST_S",
    "REFERENCE_C",
    "Estimate",
    "Place",
    "TakeOut",
    "drift_c",
    "equal_time",
    "fermentation",
    "place_for_time",
    "relative_rate",
    "time_constant_s",
    "when_to_take_out",
]

REFERENCE_C = 25.0
"""Amounts of fermentation are told as hours at this temperature."""

LONGEST_S = 60 * 86400.0
"""No dough lasts two months: longer times are infinite."""

PROOFED_TAU_S = 95 * 60.0
PROOFED_G = 500.0


def time_constant_s(dough_g: float) -> float:
    """Return the time constant (s) with which ``dough_g`` grams of dough in one lump take on a place's temperature.

    95 minutes for a 500 g loaf, which is what published proofing targets come to (BAKERpedia, "The importance of
    proofing": dough of 27 °C is to reach about 34.5 °C in an hour in a box of 43 °C). The loaf's weight is our
    choice; other weights go with the cube root, as the heat held goes with the volume of a lump and the heat
    passed with its surface.

    Raises:
        ValueError: no dough.
    """
    if not dough_g > 0:
        raise ValueError("a dough weighs more than nothing")
    return PROOFED_TAU_S * math.cbrt(dough_g / PROOFED_G)


def drift_c(start_c: float, place_c: float, tau_s: float, after_s: float) -> float:
    """Return the temperature (°C) of a dough that was ``start_c``, ``after_s`` seconds in a place of ``place_c``."""
    return Drift(start_c, place_c, tau_s).temp_c(after_s)


def fermentation(
    start_c: float, place_c: float, tau_s: float, seconds: float, *, reference_c: float = REFERENCE_C
) -> float:
    """Return how much a dough ferments in ``seconds``, in hours at ``reference_c``."""
    return Drift(start_c, place_c, tau_s).amount_s(seconds) / relative_rate(reference_c) / 3600


@dataclass(frozen=True, slots=True)
class Estimate:
    """A whole stage's length, and how sure it is.

    ``seconds`` is infinite when the dough will not be ready in this place (no gas below 0 °C), or not within two
    months; ``high_s`` may be infinite alone. ``low_s`` to ``high_s`` is what the probe's tolerance and the place's
    uncertainty leave open. ``tau_s`` is the time constant from the last reading on. ``wide``: some of it happens below
    10 °C, where what the yeast still does is poorly known; the range then covers that doubt too.
    """

    seconds: float
    low_s: float
    high_s: float
    tau_s: float
    wide: bool


def equal_time(
    *,
    nominal_s: float,
    at_c: float,
    nominal_place_c: float,
    readings: Readings,
    place_c: float,
    tau_s: float,
    tolerance_k: float = 1.0,
    uncertainty_k: float = 1.0,
) -> Estimate:
    """Return the stage's whole length that gives as much fermentation as the formula's time does.

    The formula's time ``nominal_s`` (s) is right for a dough that starts at ``at_c`` and stands in
    ``nominal_place_c``. This dough read ``readings`` (seconds into the stage, °C; none: it started at ``at_c``) and
    stands in ``place_c``. ``tau_s`` is its time constant by mass;
    a second reading refits it for what is left (see ``path.follow``), while the amount that is wanted stays what
    the formula asks for. The moment may lie before the last reading: then the stage is due.

    The range comes from reading ± ``tolerance_k`` and place ± ``uncertainty_k``, two separate doubts added as the
    root of the sum of their squares.

    Raises:
        ValueError: a reading before the stage, or a time constant of nothing.
    """

    def length_s(*, probe_k: float = 0.0, room_k: float = 0.0, least_c: float = LEAST_C) -> float:
        wanted_s = Drift(at_c, nominal_place_c, tau_s).amount_s(nominal_s, least_c=least_c)
        return _bounded(path(probe_k, room_k).seconds_for(wanted_s, least_c=least_c))

    def path(probe_k: float, room_k: float) -> Path:
        shifted = [(at_s, temp_c + probe_k) for at_s, temp_c in readings]
        return follow(shifted, start_c=at_c + probe_k, place_c=place_c + room_k, tau_s=tau_s)

    middle = path(0.0, 0.0)
    seconds = length_s()
    coldest_c = min(middle.coldest_c(seconds), at_c, drift_c(at_c, nominal_place_c, tau_s, nominal_s))
    doubts = [
        [length_s(probe_k=-tolerance_k), length_s(probe_k=tolerance_k)],
        [length_s(room_k=-uncertainty_k), length_s(room_k=uncertainty_k)],
    ]
    if coldest_c < COLD_C:
        doubts.append([length_s(least_c=LEAST_LOW_C), length_s(least_c=LEAST_HIGH_C)])
    low_s, high_s = _spread(seconds, doubts)
    return Estimate(seconds, low_s, high_s, middle.last.drift.tau_s, coldest_c < COLD_C)


def _bounded(seconds: float) -> float:
    return seconds if seconds <= LONGEST_S else math.inf


def _spread(seconds: float, doubts: list[list[float]]) -> tuple[float, float]:
    """Add separate doubts: root of the sum of squares, each way. Infinite when a doubt is."""
    if math.isinf(seconds):
        finite = [length for pair in doubts for length in pair if math.isfinite(length)]
        return (min(finite) if finite else math.inf), math.inf
    shorter = math.hypot(*(max(0.0, seconds - min(pair)) for pair in doubts))
    longer = math.hypot(*(max(0.0, max(pair) - seconds) for pair in doubts))
    return max(0.0, seconds - shorter), _bounded(seconds + longer)


@dataclass(frozen=True, slots=True)
class Place:
    """How warm a place must be (°C); None when none will do, and ``why``."""

    place_c: float | None
    why: Literal["", "too short a time", "too long a time"] = ""


def place_for_time(
    *,
    nominal_s: float,
    at_c: float,
    nominal_place_c: float,
    start_c: float,
    tau_s: float,
    seconds: float,
) -> Place:
    """Return how warm a place makes a dough of ``start_c`` ready in ``seconds``: the coolest one from 0 °C up.

    The other way round of :func:`equal_time`, with the same meaning of ``nominal_s``, ``at_c`` and ``nominal_place_c``.
    """
    wanted_s = Drift(at_c, nominal_place_c, tau_s).amount_s(nominal_s)

    def short_s(place_c: float) -> float:
        return wanted_s - Drift(start_c, place_c, tau_s).amount_s(seconds)

    best_c = _lowest(short_s, LEAST_C, MOST_C)
    if short_s(LEAST_C) < 0:
        return Place(None, "too long a time")
    if short_s(best_c) > 0:
        return Place(None, "too short a time")
    return Place(_crossing(short_s, LEAST_C, best_c))


@dataclass(frozen=True, slots=True)
class TakeOut:
    """When to take a chilled dough out: seconds after it went in, and its temperature (°C) when ready.

    ``seconds`` is 0 when even taking it out at once is too late, and the whole time when it will have had too much
    although it never comes out; ``why`` says which.
    """

    seconds: float
    ready_c: float
    why: Literal["", "too short a time", "too long a time"] = ""


def when_to_take_out(
    *,
    nominal_s: float,
    at_c: float,
    nominal_place_c: float,
    start_c: float,
    cold_c: float,
    room_c: float,
    tau_s: float,
    ready_after_s: float,
) -> TakeOut:
    """Return when a dough that is chilled from now on must come out, to be ready ``ready_after_s`` from now.

    It goes into ``cold_c`` and comes out to ``room_c``; it ferments on the way down, a little while cold, and on the
    way up again. Bakers want it above 16 °C inside before it is baked (IREKS Compendium 6.3.4): ``ready_c`` says
    where it will be.
    """
    wanted_s = Drift(at_c, nominal_place_c, tau_s).amount_s(nominal_s)

    def parts(out_s: float) -> tuple[Drift, Drift]:
        chilling = Drift(start_c, cold_c, tau_s)
        return chilling, Drift(chilling.temp_c(out_s), room_c, tau_s)

    def over_s(out_s: float) -> float:
        chilling, warming = parts(out_s)
        return chilling.amount_s(out_s) + warming.amount_s(ready_after_s - out_s) - wanted_s

    def answer(out_s: float, why: Literal["", "too short a time", "too long a time"] = "") -> TakeOut:
        return TakeOut(out_s, parts(out_s)[1].temp_c(ready_after_s - out_s), why)

    if over_s(0.0) < 0:
        return answer(0.0, "too short a time")
    if over_s(ready_after_s) > 0:
        return answer(ready_after_s, "too long a time")
    return answer(_crossing(over_s, 0.0, ready_after_s))


def _crossing(function: Callable[[float], float], low: float, high: float) -> float:
    """Return where a function that is at least 0 at ``low`` and at most 0 at ``high`` passes 0, by halving."""
    for _ in range(100):
        middle = (low + high) / 2
        if middle in {low, high}:
            break
        low, high = (middle, high) if function(middle) > 0 else (low, middle)
    return (low + high) / 2


def _lowest(function: Callable[[float], float], low: float, high: float) -> float:
    """Return where a function with one valley is lowest, by thirds."""
    for _ in range(100):
        first, second = low + (high - low) / 3, high - (high - low) / 3
        low, high = (low, second) if function(first) < function(second) else (first, high)
    return (low + high) / 2
