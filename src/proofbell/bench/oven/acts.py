"""What somebody does at the oven in a plan: on, up, down, off; each as of a moment, for the paper and the calendar."""

from __future__ import annotations

from typing import Literal

from proofbell.bake.heats import STEAM_BURNS, STEAM_IN, STEAM_OUT
from proofbell.bench.oven.least_off import least_off_s
from proofbell.bench.plan.day_hands import SECOND_US
from proofbell.bench.plan.timetable import OvenLine, Timetable
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Oven

Turn = Literal["on", "up", "down", "as it is", "off"]

Steam = Literal["", "in", "out"]


@dataclass(frozen=True, slots=True)
class OvenAct:
    """The oven is turned at ``at_us`` (UTC, µs) for a bake, and has its heat (conventional °C) at ``until_us``.

    In the middle of a bake that is at once, as for an oven that is turned off, whose heat is None. ``steam``: it is let
    out, or made, in the middle of a bake; the heat may stay as it is.
    """

    at_us: int
    until_us: int
    turn: Turn
    heat_c: float | None
    letter: str
    steam: Steam = ""


def oven_acts(table: Timetable, oven: Oven) -> tuple[OvenAct, ...]:
    """Everything that is done at the oven, in order of time, from an oven that is off."""
    found: list[OvenAct] = []
    last: OvenLine | None = None
    heat_c: float | None = None
    for use in sorted(table.oven, key=lambda use: (use.begins_us, use.ends_us)):
        off_us = 0.0 if last is None else least_off_s(oven, last.temperature_c, use.temperature_c) * SECOND_US
        if last is not None and use.begins_us - last.ends_us >= off_us:
            found.append(_off(last))
            heat_c = None
        steam = _steam(last, use)
        if use.temperature_c != heat_c or steam:
            turn = _turn(heat_c, use.temperature_c)
            until_us = use.ends_us if use.state in ("heating", "cooling") else use.begins_us
            found.append(OvenAct(use.begins_us, until_us, turn, use.temperature_c, use.letter, steam))
            heat_c = use.temperature_c
        if last is None or use.ends_us >= last.ends_us:
            last = use
    return (*found, _off(last)) if last is not None else ()


def _turn(from_c: float | None, to_c: float) -> Turn:
    if from_c is None:
        return "on"
    return "as it is" if to_c == from_c else "up" if to_c > from_c else "down"


def _steam(last: OvenLine | None, use: OvenLine) -> Steam:
    """What is done about steam where one heat of a bake follows another."""
    inside = last is not None and (last.state, last.letter, last.ends_us) == (use.state, use.letter, use.begins_us)
    if last is None or not inside or use.state != "baking" or last.steam == use.steam:
        return ""
    return "in" if use.steam else "out"


def _off(last: OvenLine) -> OvenAct:
    return OvenAct(last.ends_us, last.ends_us, "off", None, last.letter)


def act_words(act: OvenAct, dial: str) -> str:
    """``oven down to 190 °C fan, for A``, ``oven off``. ``dial``: what is set on this kitchen's oven.

    Of steam that is let out it is said how, and to stand back.
    """
    if act.turn == "off":
        return "oven off"
    way = {"on": "on, ", "as it is": ""}.get(act.turn, f"{act.turn} to ")
    steam = {"in": f", {STEAM_IN}", "out": f", {STEAM_OUT}"}.get(act.steam, "")
    burns = f": {STEAM_BURNS}" if act.steam == "out" else ""
    return f"oven {way}{dial}{steam}, for {act.letter}{burns}"
