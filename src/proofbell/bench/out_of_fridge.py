"""What comes out of the fridge when, over all doughs of a plan; in words too."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import groupby

from proofbell.bake.weigh.taking_out import TakenOut, taken_out
from proofbell.bake.weigh.weigh_out import WeighOut
from proofbell.bench.plan.day_hands import SECOND_US
from proofbell.bench.plan.timetable import BakeTimes
from proofbell.formula.model import Formula
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen
from proofbell.words import temperature, weight

Dough = tuple[Formula, WeighOut, Kitchen, BakeTimes]
"""One dough of a plan: its formula, its weigh-out, its kitchen, its times."""


@dataclass(frozen=True, slots=True)
class Out:
    """One thing, and when (UTC, µs) it comes out, from the earliest to the latest; ``at_us`` is when it is used."""

    taken: TakenOut
    letter: str
    stage: str
    at_us: int
    out_us: int
    earliest_us: int
    latest_us: int


def out_of_fridge(doughs: Sequence[Dough]) -> tuple[Out, ...]:
    """All of it, in the order of the day; what is past already too."""
    found = [
        _out(taken, times)
        for formula, weighed, kitchen, times in doughs
        for taken in taken_out(formula, weighed, kitchen)
    ]
    return tuple(sorted(found, key=lambda out: (out.out_us, out.letter, out.taken.how)))


def _out(taken: TakenOut, times: BakeTimes) -> Out:
    line, before = times.lines[taken.stage], taken.before
    at_us = line.begins_us
    ahead = (0.0, 0.0, 0.0) if before is None else (before.seconds, before.high_s, before.low_s)
    out_us, earliest_us, latest_us = (at_us - round(seconds / 60) * 60 * SECOND_US for seconds in ahead)
    return Out(taken, times.letter, line.name, at_us, out_us, earliest_us, latest_us)


def out_rows(outs: Sequence[Out], hour: Callable[[int], str], now_us: int) -> list[tuple[int, str, str]]:
    """When (UTC, µs), for which bake, and what, as ``butter, 250 g: 15:40 to 17:55, to be about 16 °C at 18:30``.

    What should be out already comes out now. What is used cold at one moment is told in one breath. ``hour`` says a
    moment of the same day or night.
    """
    found = []
    for (out_us, letter, how), each in groupby(outs, key=lambda out: (out.out_us, out.letter, out.taken.how)):
        if how == "cold":
            found.append((out_us, letter, f"{'; '.join(_what(out.taken) for out in each)}: as it is used"))
        else:
            at_us = max(out_us, now_us) if how == "tempered" else out_us
            found += [(at_us, letter, f"{_what(out.taken)}: {_how(out, hour, now_us)}") for out in each]
    return found


def _what(taken: TakenOut) -> str:
    return f"{taken.name}, {weight(round(taken.grams))}"


def _how(out: Out, hour: Callable[[int], str], now_us: int) -> str:
    taken = out.taken
    if taken.how == "ripe":
        return "ripe by then, fed beforehand if it was kept cold"
    if taken.how == "too warm":
        return f"warm it to {temperature(taken.wanted_c, 0)}; the room is colder"
    warm = f"{temperature(taken.wanted_c, 0)} at {hour(out.at_us)}"
    if out.latest_us < now_us:
        return f"at once, in small pieces; it will be colder than {warm}"
    span = f"{hour(out.earliest_us)} to {hour(out.latest_us)}"
    if out.out_us < now_us:
        span = f"at once, {hour(out.latest_us)} at the latest"
    return f"{span}, to be about {warm}" + ("; lukewarm water does the rest" if taken.cut else "")


def notes(outs: Sequence[Out], kitchen: Kitchen) -> tuple[str, ...]:
    """What these times rest on, and the caution."""
    tempered = [out.taken for out in outs if out.taken.how == "tempered"]
    found = []
    if tempered:
        found.append(
            f"Modelled from weight, fridge ({temperature(kitchen.fridge_c)}) and room ({temperature(kitchen.room_c)}); "
            "nothing was measured, hence the range. Small pieces are quicker."
        )
    if any(taken.kind in ("egg", "milk") for taken in tempered):
        found.append("Egg and milk: at most 2 h in the room (WHO, Five Keys); go by your local rules.")
    if any(out.taken.how == "ripe" for out in outs):
        found.append("Starter: feeding and ripening go by its own habits; common practice, no source.")
    return tuple(found)
