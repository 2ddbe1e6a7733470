"""What a day must keep, read from the document of ``plan --json``, the formula files and the kitchen file alone.

Written from the rules of the trade and the format, apart from the planner: it knows none of its steps, costs or chains.
Lengths are seconds, moments UTC seconds.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import datetime
from itertools import combinations
from typing import Any

from proofbell.formula.model import Formula, Stage
from proofbell.kitchen.model import Kitchen

Document = Mapping[str, Any]
Span = tuple[float, float]

LEFT_STANDING_S = 300
"""So long a dough may wait for hands or the oven after hands were on it."""

MINUTE = 60
WEIGHED_S = 12 * 3600


def moment(text: str) -> float:
    """A moment of the document."""
    return datetime.fromisoformat(text).timestamp()


def span(row: Document) -> Span:
    """From when until when."""
    return moment(row["begins"]), moment(row["ends"])


def faults(day: Document, formulas: Mapping[str, Formula], kitchen: Kitchen, now: float) -> list[str]:
    """Everything in a day that breaks a rule, in words; a day that says it is not feasible may keep doughs too long.

    Args:
        day: the document.
        formulas: what was asked for, by letter.
        kitchen: where.
        now: the moment of the plan.
    """
    found = [f"{letter} is missing" for letter in {*formulas} - {bake["letter"] for bake in day["bakes"]}]
    for bake in day["bakes"]:
        names = [stage.name for stage in formulas[bake["letter"]].stages]
        if [row["name"] for row in bake["stages"]] != names:
            return [*found, f"{bake['letter']} has other stages than its formula"]
    for bake in day["bakes"]:
        formula = formulas[bake["letter"]]
        found += _stages(bake, formula, kitchen, feasible=day["feasible"])
        found += _hands_are_there(bake, formula, day["hands"])
    found += _people(day["hands"], kitchen)
    found += _oven(day, formulas, kitchen, now)
    found += _nights(day, formulas, kitchen)
    found += [f"{row['letter']} has hands at {row['begins']}, before now" for row in day["hands"] if span(row)[0] < now]
    return found


def _before(formula: Formula, at: int) -> list[int]:
    """A stage follows the one before it of the same dough or preferment; the dough's first, the last of each."""
    made = [stage.made_for for stage in formula.stages]
    same = [other for other in range(at) if made[other] == made[at]]
    if same:
        return [same[-1]]
    if made[at] is not None:
        return []
    return sorted({max(i for i in range(at) if made[i] == name) for name in made[:at]})


def _bounds(stage: Stage, row: Document) -> Span:
    if row.get("cold"):
        assert stage.chill_instead is not None
        return stage.chill_instead.least_s, stage.chill_instead.most_s
    return (stage.time_s, stage.time_s) if stage.stretch is None or stage.kind == "bake" else stage.stretch


def _stages(bake: Document, formula: Formula, kitchen: Kitchen, *, feasible: bool) -> Iterator[str]:
    """Every stage in its order, as long as it may be, and none left standing in between."""
    rows, letter = bake["stages"], bake["letter"]
    for at, (row, stage) in enumerate(zip(rows, formula.stages, strict=True)):
        begins, ends = span(row)
        name = f"{letter} {stage.name}"
        if stage.kind == "bake":
            yield from _loads(letter, rows, formula, at, kitchen, feasible=feasible)
        else:
            least, most = _bounds(stage, row)
            if ends - begins < least - 1:
                yield f"{name} takes {ends - begins} s, at least {least} are wanted"
            if feasible and ends - begins > most + 1:
                yield f"{name} takes {ends - begins} s, at most {most} are forgiven"
        for other in _before(formula, at):
            waits = begins - span(rows[other])[1]
            before = formula.stages[other].kind
            may = LEFT_STANDING_S if before == "hands" and stage.kind in ("hands", "bake") else 0
            may = 24 * 3600 if before == "cool" else may
            if waits < 0 or (feasible and waits > may):
                yield f"{name} begins {waits} s after what comes before it"


def _loads(
    letter: str, rows: list[Any], formula: Formula, at: int, kitchen: Kitchen, *, feasible: bool
) -> Iterator[str]:
    """Each load as long as the formula bakes, all places of the batch, none waiting longer than is forgiven."""
    row, stage = rows[at], formula.stages[at]
    loads = row["loads"]
    if sum(load["places"] for load in loads) != formula.oven.trays:
        yield f"{letter} bakes {sum(load['places'] for load in loads)} places, not {formula.oven.trays}"
    if any(load["places"] > kitchen.oven.trays for load in loads):
        yield f"{letter} has a load that is wider than the oven"
    if any(abs(span(load)[1] - span(load)[0] - stage.time_s) > 1 for load in loads):
        yield f"{letter} has a load that bakes for another time than {stage.time_s} s"
    if (span(loads[0])[0], span(loads[-1])[1]) != span(row):
        yield f"{letter}'s bake does not last from its first load to its last"
    standing = [i for i in range(at) if formula.stages[i].kind != "hands"]
    if feasible and standing:
        since = standing[-1]
        between = sum(formula.stages[i].time_s for i in range(since + 1, at))
        most = _bounds(formula.stages[since], rows[since])[1] + between + LEFT_STANDING_S * (at - since - 1)
        if span(loads[-1])[0] - span(rows[since])[0] > most + 1:
            yield f"{letter}'s last load waits longer than {most} s"


def _needs(bake: Document, formula: Formula) -> Iterator[tuple[str, float, float]]:
    """(what, from, until) for all that needs hands."""
    for row, stage in zip(bake["stages"], formula.stages, strict=True):
        begins, ends = span(row)
        if stage.kind == "hands":
            yield stage.name, begins, ends if stage.hands_s is None else begins + stage.hands_s
        elif stage.kind == "bake":
            for load in row["loads"]:
                yield from _at_the_oven(stage, *span(load))
        elif not stage.hands_s:
            yield from _readings(stage, begins, ends)


def _at_the_oven(stage: Stage, since: float, until: float) -> Iterator[tuple[str, float, float]]:
    yield "load", since, since + MINUTE
    yield "out", until - MINUTE, until
    if stage.turn_s is not None and MINUTE <= stage.turn_s <= stage.time_s - 2 * MINUTE:
        yield "turn", since + stage.turn_s, since + stage.turn_s + MINUTE


def _readings(stage: Stage, begins: float, ends: float) -> Iterator[tuple[str, float, float]]:
    """What is read in a stage, where that is sure to fit in at its shortest, in the cold or not."""
    least = stage.time_s if stage.stretch is None else stage.stretch[0]
    least = least if stage.chill_instead is None else min(least, stage.chill_instead.least_s)
    for check in stage.checks:
        into = 0.0 if check.when == "start" else least - MINUTE if check.at_s is None else check.at_s
        if 0 <= into <= least - MINUTE:
            at = ends - MINUTE if check.when == "end" else begins + into
            yield "read", at, at + MINUTE


def _hands_are_there(bake: Document, formula: Formula, hands: list[Any]) -> Iterator[str]:
    """For all that needs hands there is a line, and a weigh-out before the dough's first stage."""
    letter = bake["letter"]
    lines = [(span(row), row["does"], row["letter"]) for row in hands]
    for what, since, until in _needs(bake, formula):
        around = [
            does
            for (begins, ends), does, whose in lines
            if begins <= since and until <= ends and (whose == letter or f" {letter}" in does)
        ]
        if not any(_says(what, does) for does in around):
            yield f"{letter}: nobody is there for {what} at {since}"
    first = next(
        span(row)[0] for row, stage in zip(bake["stages"], formula.stages, strict=True) if stage.made_for is None
    )
    weighs = [times for times, does, whose in lines if does == "weigh out" and whose == letter]
    if formula.weigh_s and not any(
        ends - begins >= formula.weigh_s - 1 and first - WEIGHED_S <= ends <= first for begins, ends in weighs
    ):
        yield f"{letter} is not weighed out before it is made"


def _says(what: str, does: str) -> bool:
    words = {"load": ("load", "put"), "out": ("take",), "turn": ("turn",), "read": ("read", "judge", "weigh it")}
    return any(each in does for each in words.get(what, (what,)))


def _people(hands: list[Any], kitchen: Kitchen) -> Iterator[str]:
    """Nobody is in two places, and there are no more of them than work here."""
    who = {row["who"] for row in hands}
    if len(who) > kitchen.hands:
        yield f"{len(who)} people work, there are {kitchen.hands}"
    for one, other in combinations(hands, 2):
        if one["who"] == other["who"] and span(one)[0] < span(other)[1] and span(other)[0] < span(one)[1]:
            yield f"{one['who']} is at {one['does']} and at {other['does']} at once"


def _heats(formula: Formula, stage: Stage) -> list[float]:
    if stage.phases:
        return [phase.oven_c for phase in stage.phases]
    return [] if formula.oven.temperature_c is None else [formula.oven.temperature_c]


def _change_s(kitchen: Kitchen, from_c: float, to_c: float) -> float:
    oven = kitchen.oven
    return (to_c - from_c) * oven.heat_up_s / 180 if to_c > from_c else (from_c - to_c) * oven.cool_down_s / 100


def _inside(day: Document, formulas: Mapping[str, Formula]) -> list[tuple[float, float, int, list[float], str]]:
    return sorted(
        (*span(load), load["places"], _heats(formulas[bake["letter"]], stage), bake["letter"])
        for bake in day["bakes"]
        for row, stage in zip(bake["stages"], formulas[bake["letter"]].stages, strict=True)
        if stage.kind == "bake"
        for load in row["loads"]
    )


def _oven(day: Document, formulas: Mapping[str, Formula], kitchen: Kitchen, now: float) -> Iterator[str]:
    """No more places than there are, one heat at a time, and time to change it."""
    inside = _inside(day, formulas)
    for since, *_ in inside:
        places = sum(each[2] for each in inside if each[0] <= since < each[1])
        if places > kitchen.oven.trays:
            yield f"{places} places are in the oven at {since}, which has {kitchen.oven.trays}"
    for one, other in combinations(inside, 2):
        alike = len(one[3]) == len(other[3]) == 1 and one[3] == other[3]
        if not alike and one[3] and other[3] and other[0] - one[1] < _change_s(kitchen, one[3][-1], other[3][0]) - 1:
            yield f"{other[4]} goes in at {other[0]}, too soon after {one[4]}"
    for since, _, _, heats, letter in inside:
        if heats and since - now < _change_s(kitchen, kitchen.room_c, heats[0]) - 1:
            yield f"{letter} goes in at {since}, before the oven can be hot"


def _nights(day: Document, formulas: Mapping[str, Formula], kitchen: Kitchen) -> Iterator[str]:
    """No hands in the quiet hours of any day, and nothing goes in before somebody could heat the oven after them."""
    if not kitchen.quiet:
        return
    first, last = (int(hour[:2]) * 60 + int(hour[3:]) for hour in kitchen.quiet)
    for row in day["hands"]:
        begins, ends = (datetime.fromisoformat(row[each]) for each in ("begins", "ends"))
        for at in range(round((ends - begins).total_seconds()) // MINUTE + 1):
            clock = (begins.hour * 60 + begins.minute + at + begins.second / 60) % 1440
            quiet = first < clock < last if first < last else clock > first or clock < last
            if quiet and (at < (ends - begins).total_seconds() / MINUTE):
                yield f"{row['letter']}: {row['does']} at {row['begins']}, in the night"
                break
    for bake in day["bakes"]:
        for row, stage in zip(bake["stages"], formulas[bake["letter"]].stages, strict=True):
            heats = _heats(formulas[bake["letter"]], stage)
            for load in row.get("loads", ()) if heats else ():
                begins = datetime.fromisoformat(load["begins"])
                since_night_s = ((begins.hour * 60 + begins.minute - last) % 1440) * 60 + begins.second
                if since_night_s < _change_s(kitchen, kitchen.room_c, heats[0]) - 1:
                    yield f"{bake['letter']} goes in {since_night_s} s after the night, into a cold oven"
