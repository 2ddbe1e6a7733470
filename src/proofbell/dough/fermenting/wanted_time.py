"""The other way round: how warm a place, or how long in the cold, makes a dough ready at a wanted time."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from proofbell.dough.fermenting.fermentation import Card
from proofbell.dough.fermenting.golden_section import lowest
from proofbell.dough.fermenting.leaven import CURVES
from proofbell.dough.fermenting.path import Path, follow
from proofbell.dough.fermenting.rate import LEAST_C, MOST_C
from proofbell.frozen import dataclass


@dataclass(frozen=True, slots=True)
class Place:
    """How warm a place must be (°C); None when none will do, and ``why``."""

    place_c: float | None
    why: Literal["", "too short a time", "too long a time"] = ""


def place_for_time(card: Card, *, start_c: float, tau_s: float, seconds: float, ahead_s: float = 0.0) -> Place:
    """Return how warm a place makes a dough of ``start_c`` ready in ``seconds``: the coolest one from 0 °C up.

    The other way round of :func:`equal_time`, with the same meaning of ``card`` and ``tau_s``.
    """
    curve, warming_k = CURVES[card.leaven], card.warming_k
    wanted_s = card.amount_s() - ahead_s

    def short_s(place_c: float) -> float:
        here = follow((), start_c=start_c, place_c=place_c, tau_s=tau_s, warming_k=warming_k, curve=curve)
        return wanted_s - here.amount_s(seconds, curve=curve)

    best_c = lowest(short_s, LEAST_C, MOST_C)
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
    card: Card,
    *,
    start_c: float,
    cold_c: float,
    room_c: float,
    tau_s: float,
    ready_after_s: float,
    cold_tau_s: float | None = None,
    ahead_s: float = 0.0,
) -> TakeOut:
    """Return when a dough that is chilled from now on must come out, to be ready ``ready_after_s`` from now.

    It goes into ``cold_c`` and comes out to ``room_c``; it ferments on the way down, a little while cold, and on the
    way up again. Bakers want it above 16 °C inside before it is baked (IREKS Compendium 6.3.4): ``ready_c`` says
    where it will be. ``cold_tau_s``: its time constant in the cold, where that is another.
    """
    curve, warming_k = CURVES[card.leaven], card.warming_k
    wanted_s = card.amount_s() - ahead_s
    slow_s = tau_s if cold_tau_s is None else cold_tau_s
    chilling = follow((), start_c=start_c, place_c=cold_c, tau_s=slow_s, warming_k=warming_k, curve=curve)

    def parts(out_s: float) -> tuple[Path, Path]:
        out_c = chilling.temp_c(out_s)
        return chilling, follow((), start_c=out_c, place_c=room_c, tau_s=tau_s, warming_k=warming_k, curve=curve)

    def over_s(out_s: float) -> float:
        cold, warm = parts(out_s)
        left_s = ready_after_s - out_s
        return cold.amount_s(out_s, curve=curve) + warm.amount_s(left_s, curve=curve) - wanted_s

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
        if middle in {low, high} or high - low < 1e-9 * high:
            break
        low, high = (middle, high) if function(middle) > 0 else (low, middle)
    return (low + high) / 2
