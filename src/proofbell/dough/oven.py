"""The oven: what to set on its dial, and when to turn it on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from proofbell.formula.oven_heat import FAN_LESS_K, GAS_MARKS_F
from proofbell.units import f_from_c, used

OvenKind = Literal["conventional", "fan", "gas"]

FROM_20_TO_200_K = 180.0
COOLS_BY_K = 100.0
"""What a kitchen's heat-up and cool-down times are for."""
SAME_K = 2.5
COOLEST_MARK_F = 200.0
HOTTEST_MARK_F = 512.5


def fan_c(conventional_c: float, less_k: float = FAN_LESS_K) -> float:
    """Return what a fan oven is set to (°C) for a conventional temperature."""
    return conventional_c - less_k


def gas_mark(conventional_c: float) -> str | None:
    """Return the nearest gas mark, such as "7" or "½"; None outside the marks.

    Makers differ from the scale by up to 20 °C (Belling G755), so an oven's own table goes first.
    """
    temp_f = f_from_c(conventional_c)
    if not COOLEST_MARK_F <= temp_f <= HOTTEST_MARK_F:
        return None
    return min(GAS_MARKS_F, key=lambda mark: abs(GAS_MARKS_F[mark] - temp_f))


def setting(
    conventional_c: float,
    *,
    kind: OvenKind = "conventional",
    fan_less_k: float = FAN_LESS_K,
    dial: Sequence[tuple[float, str]] = (),
) -> str:
    """Return what to set for a conventional temperature (°C).

    ``dial`` is the oven's own table of (conventional °C, what to set). Where it has the temperature, it decides;
    between two of its lines both are named; outside it, the usual conversion for the ``kind`` stands, in °F to the
    nearest 5 where the kitchen counts so, or where the whole table is in °F.
    """
    own = _from_dial(conventional_c, dial)
    if own:
        return own
    mark = gas_mark(conventional_c) if kind == "gas" else None
    if mark is not None:
        return f"gas mark {mark}"
    set_c = fan_c(conventional_c, fan_less_k) if kind == "fan" else conventional_c
    in_f = all(text.strip().upper().endswith("°F") for _, text in dial) if dial else used().temperature == "°F"
    degrees = f"{5 * round(f_from_c(set_c) / 5):.0f} °F" if in_f else f"{set_c:.0f} °C"
    return f"{degrees} fan" if kind == "fan" else degrees


def _from_dial(conventional_c: float, dial: Sequence[tuple[float, str]]) -> str:
    lines = sorted(dial)
    near = [text for temp_c, text in lines if abs(temp_c - conventional_c) <= SAME_K]
    if near:
        return near[0]
    below = [text for temp_c, text in lines if temp_c < conventional_c]
    above = [text for temp_c, text in lines if temp_c > conventional_c]
    return f"between {below[-1]} and {above[0]}" if below and above else ""


def heat_up_s(from_c: float, to_c: float, *, heat_up_s: float) -> float:
    """Return how long (s) the oven takes from one heat to a higher one; 0 when it is hot enough.

    ``heat_up_s`` is this oven's time from 20 to 200 °C; other rises are in proportion. Common practice, no source.
    """
    return max(0.0, to_c - from_c) / FROM_20_TO_200_K * heat_up_s


def cool_down_s(from_c: float, to_c: float, *, cool_down_s: float) -> float:
    """Return how long (s) the oven takes to a lower heat; 0 when it is cool enough.

    ``cool_down_s`` is its time to fall by 100 °C with the door ajar; other falls are in proportion. Common practice,
    no source.
    """
    return max(0.0, from_c - to_c) / COOLS_BY_K * cool_down_s


def change_s(from_c: float, to_c: float, *, heat_up: float, cool_down: float) -> float:
    """Return how long (s) the oven takes from one heat to another, up or down."""
    return heat_up_s(from_c, to_c, heat_up_s=heat_up) + cool_down_s(from_c, to_c, cool_down_s=cool_down)
