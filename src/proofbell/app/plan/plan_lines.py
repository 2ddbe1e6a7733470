"""A plan in words: how it stands, a line for each bake, and what clashes with its ways out."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from proofbell.app.drawing.content import outside, own, wrapped
from proofbell.app.planning.day_plan import PlanDay, Planned
from proofbell.app.session.local_time import hour_minute
from proofbell.app.widgets.rows import columns
from proofbell.bake.stamp import Stamp
from proofbell.bench.reason_words import reason_words, way_out_words
from proofbell.bench.timetable import BakeTimes
from proofbell.planner.clashes import WayOut
from proofbell.planner.model import Plan
from proofbell.planner.reasons import Reason
from proofbell.words import grams, length, pieces

HEAD = ("", "bake", "size", "begin", "ready", "wanted", "")
NAME, WANTED, OFF = 1, 5, 6
LEAST_NAME = 10
"""Where a name has less room than this, the hour at which the bake is wanted is left out."""

Cells = tuple[str, ...]
WANTS = {"hands": "both want hands", "oven": "both want the oven"}


def stands(day: PlanDay, plan: Plan | None, origin_us: int, *, may_begin: bool, searching: bool) -> str:
    """How it stands with the plan, for the title.

    Args:
        day: what is asked for.
        plan: the best so far.
        origin_us: the plan's origin, UTC µs.
        may_begin: whether the new bakes may be begun by it.
        searching: whether a better one is looked for.
    """
    if not day.bakes:
        return "choose what to bake"
    if plan is None:
        return "working it out …"
    if not plan.feasible:
        told = "works, except for a dough already on the bench" if may_begin else "it does not work like this"
    elif (late_s := day.late_s(plan, origin_us)) >= 60:
        told = f"no clashes, {length(late_s)} late in total"
    else:
        told = "works, all ready when wanted" if day.anybody_waits else "works, as early as possible"
    return f"{told}{', looking for a better one …' if searching else ''}"


def bake_cells(bake: Planned, times: BakeTimes | None, wanted_us: int | None, now: Stamp) -> Cells:
    """One bake as the words of its columns: when it begins, is ready, is wanted, and how far off that is."""
    batch = bake.batch
    return (
        bake.letter,
        bake.formula.name,
        pieces(batch.pieces, batch.piece_g) or grams(batch.dough_g),
        "…" if times is None else hour_minute(times.begins_us, now),
        "…" if times is None else hour_minute(times.ready_us, now),
        "soon" if wanted_us is None else hour_minute(wanted_us, now),
        _off(bake, times, wanted_us),
    )


def plan_lines(lines: Sequence[Cells], width: int) -> tuple[Content, list[Content]]:
    """The names of the columns, and a line for each bake. Each column is as wide as its words, where there is room."""
    every = [HEAD, *lines]
    sizes = [max(outside(line[at]).cell_length for line in every) for at in range(len(HEAD))]
    kept = [at for at, size in enumerate(sizes) if size]
    room = width - sum(sizes[at] + 2 for at in kept if at != NAME)
    if room < min(LEAST_NAME, sizes[NAME]):
        # When it is ready, and how far off that is, says when it is wanted.
        kept.remove(WANTED)
        room += sizes[WANTED] + 2
    sizes[NAME] = max(0, min(sizes[NAME], room))

    def beside(cells: Cells, styles: Sequence[str]) -> Content:
        made = [own(cell, style) for cell, style in zip(cells, styles, strict=True)]
        made[NAME] = outside(cells[NAME])
        return columns([(made[at], -sizes[at] if NAME < at < OFF else sizes[at]) for at in kept], width)

    styles = ("bold", "", "dim", "bold", "bold", "dim", "")
    return beside(HEAD, [""] * len(HEAD)), [beside(line, styles) for line in lines]


def _off(bake: Planned, times: BakeTimes | None, wanted_us: int | None) -> str:
    """How far from when it is wanted; empty for less than a minute."""
    if times is None or wanted_us is None:
        return "moved" if bake.moved_us else ""
    off_s = (times.ready_us - wanted_us) / 1e6
    if abs(off_s) < 60:
        return ""
    hours, minutes = divmod(round(abs(off_s) / 60), 60)
    words = f"{hours} h {minutes:02d}" if minutes and 0 < hours < 48 else length(abs(off_s))
    return f"{words} {'late' if off_s > 0 else 'early'}"


def clash_words(
    plan: Plan,
    origin_us: int,
    ways: Sequence[WayOut] | None,
    now: Stamp,
    width: int = 80,
    *,
    may_begin: bool = False,
    reasons: Sequence[Reason] = (),
) -> Content:
    """The first clash, and the ways out of it by the key that takes each; empty without a clash.

    ``ways`` are None while they are looked for. ``may_begin``: only the doughs on the bench cannot keep their times.
    ``reasons``: why doughs do not work; what has to do with one alone comes before any clash.
    A way out that is longer than ``width`` cells goes on below its words.
    """
    alone = next((reason for reason in reasons if reason.cause != "clash"), None)
    if alone is not None:
        words = f"✗ {reason_words(plan, alone, origin_us, lambda at_us: hour_minute(at_us, now))}"
        return Content("\n").join([each.stylize("bold $error") for each in wrapped(outside(words), width)])
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
    told = f"✗ {clash.second_letter} cannot be on time: even if started at {at} it is {over} late."
    if wants:
        told = f"✗ {first} and {second} {wants} at {at}."
    lines = [outside(told).stylize("bold $error")]
    for number, way in enumerate(ways or (), 1):
        first_line, *more = wrapped(outside(f"{way_out_words(way)}{_left(way)}"), width - 2)
        lines += [own(f"{number} ") + first_line, *(own("  ") + line for line in more)]
    if ways is None:
        lines.append(own("Looking for ways out …", "$quiet"))
    elif not ways:
        lines.append(own("No single change fixes it."))
    if may_begin and not plan.feasible:
        lines.append(own("Only doughs already on the bench clash; b starts the new ones anyway."))
    return Content("\n").join(lines)


def _left(way: WayOut) -> str:
    """What is still late then."""
    return "" if way.late_s < 60 else f" ({length(way.late_s)} late in total)"
