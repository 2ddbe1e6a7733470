"""What somebody does at the oven in a plan: on, up, down, off; each as of a moment, for the paper and the calendar."""

from __future__ import annotations

from typing import Literal

from proofbell.bench.board import LEAST_OFF_S
from proofbell.bench.day_hands import SECOND_US
from proofbell.bench.timetable import OvenLine, Timetable
from proofbell.frozen import dataclass

Turn = Literal["on", "up", "down", "off"]


@dataclass(frozen=True, slots=True)
class OvenAct:
    """The oven is turned at ``at_us`` (UTC, µs) for a bake, and has its heat (conventional °C) at ``until_us``.

    In the middle of a bake that is at once, as for an oven that is turned off, whose heat is None.
    """

    at_us: int
    until_us: int
    turn: Turn
    heat_c: float | None
    letter: str


def oven_acts(table: Timetable) -> tuple[OvenAct, ...]:
    """Everything that is done at the oven, in order of time, from an oven that is off."""
    found: list[OvenAct] = []
    last: OvenLine | None = None
    heat_c: float | None = None
    for use in sorted(table.oven, key=lambda use: (use.begins_us, use.ends_us)):
        if last is not None and use.begins_us - last.ends_us >= LEAST_OFF_S * SECOND_US:
            found.append(_off(last))
            heat_c = None
        if use.temperature_c != heat_c:
            turn: Turn = "on" if heat_c is None else "up" if use.temperature_c > heat_c else "down"
            until_us = use.ends_us if use.state in ("heating", "cooling") else use.begins_us
            found.append(OvenAct(use.begins_us, until_us, turn, use.temperature_c, use.letter))
            heat_c = use.temperature_c
        if last is None or use.ends_us >= last.ends_us:
            last = use
    return (*found, _off(last)) if last is not None else ()


def _off(last: OvenLine) -> OvenAct:
    return OvenAct(last.ends_us, last.ends_us, "off", None, last.letter)


def act_words(act: OvenAct, dial: str) -> str:
    """``oven down to 190 °C fan, for A``, ``oven off``. ``dial``: what is set on this kitchen's oven."""
    if act.turn == "off":
        return "oven off"
    way = "on," if act.turn == "on" else f"{act.turn} to"
    return f"oven {way} {dial}, for {act.letter}"
