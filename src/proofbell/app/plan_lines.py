"""The lines below a plan's strips: one for each bake, and what clashes with its ways out."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from proofbell.app.content import outside, own, wrapped
from proofbell.app.local_time import hour_minute
from proofbell.app.plan_day import Planned
from proofbell.app.rows import columns
from proofbell.bake.stamp import Stamp
from proofbell.bench.clashes import WayOut
from proofbell.bench.model import Plan
from proofbell.bench.timetable import BakeTimes
from proofbell.words import grams, length

SIZES = (1, 0, -11, -9, -9, -9, 12)
WANTS = {"hands": "both want hands", "oven": "both want the oven"}


def plan_head(width: int) -> Content:
    """The names of the columns."""
    names = ("", "bake", "size", "begin", "ready", "wanted", "")
    return columns([(own(name), size) for name, size in zip(names, SIZES, strict=True)], width)


def bake_line(bake: Planned, times: BakeTimes | None, wanted_us: int | None, now: Stamp, width: int) -> Content:
    """One bake: when it begins, when it is ready, when it is wanted, and how far off that is."""
    batch = bake.batch
    size = f"{batch.pieces} × {grams(batch.piece_g)}" if batch.pieces and batch.piece_g else grams(batch.dough_g)
    cells = (
        own(bake.letter, "bold"),
        outside(bake.formula.name),
        own(size, "dim"),
        own("…" if times is None else hour_minute(times.begins_us, now), "bold"),
        own("…" if times is None else hour_minute(times.ready_us, now), "bold"),
        own("soon" if wanted_us is None else hour_minute(wanted_us, now), "dim"),
        own(_off(bake, times, wanted_us)),
    )
    return columns(list(zip(cells, SIZES, strict=True)), width)


def _off(bake: Planned, times: BakeTimes | None, wanted_us: int | None) -> str:
    """How far from when it is wanted."""
    if times is None or wanted_us is None:
        return "moved" if bake.moved_us else ""
    off_s = (times.ready_us - wanted_us) / 1e6
    if abs(off_s) < 60:
        return ""
    words = length(abs(off_s))
    return f"{words.removesuffix(' min') if ' h ' in words else words} {'late' if off_s > 0 else 'early'}"


def clash_words(
    plan: Plan, origin_us: int, ways: Sequence[WayOut] | None, now: Stamp, width: int = 80, *, may_begin: bool = False
) -> Content:
    """The first clash, and the ways out of it by the key that takes each; empty without a clash.

    ``ways`` are None while they are looked for. ``may_begin``: only the doughs on the bench cannot keep their times.
    A way out that is longer than ``width`` cells goes on below its words.
    """
    if not plan.clashes:
        return Content("")
    clash = plan.clashes[0]
    first, second = (
        f"{letter} {plan.problem.by_letter[letter].steps[step].name}"
        for letter, step in ((clash.first_letter, clash.first_step), (clash.second_letter, clash.second_step))
    )
    at = hour_minute(origin_us + clash.at_s * 1_000_000, now)
    wants = WANTS.get(clash.about)
    over = length(clash.over_s)
    told = f"✗ {clash.second_letter} cannot be in time: even begun at {at} it is {over} too late."
    if wants:
        told = f"✗ {first} and {second} {wants} at {at}."
    lines = [outside(told).stylize("bold $error")]
    for number, way in enumerate(ways or (), 1):
        first_line, *more = wrapped(outside(f"{way.words}{_left(way)}"), width - 2)
        lines += [own(f"{number} ") + first_line, *(own("  ") + line for line in more)]
    if ways is None:
        lines.append(own("Looking for ways out …", "$quiet"))
    elif not ways:
        lines.append(own("No single change mends it."))
    if may_begin and not plan.feasible:
        lines.append(own("That is between doughs on the bench alone: b begins the new ones all the same."))
    return Content("\n").join(lines)


def _left(way: WayOut) -> str:
    """What is still late then."""
    return "" if way.late_s < 60 else f" ({length(way.late_s)} late in all)"
