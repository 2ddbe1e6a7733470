"""A plan as text, as the JSON document that scripts rely on, and as a calendar."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from proofbell.bake.heats import on_the_dial
from proofbell.bake.stamp import Stamp
from proofbell.bench.oven_acts import OvenAct, act_words, oven_acts
from proofbell.bench.timetable import BakeTimes, Line, Timetable
from proofbell.bench.way_out_words import way_out_words
from proofbell.clock import offset_min
from proofbell.formula.model import Formula
from proofbell.journal.export.calendar import Entry, calendar
from proofbell.journal.reviews.moments import local, twice_mark
from proofbell.kitchen.model import Oven
from proofbell.planner.clashes import clashes_of, ways_out
from proofbell.planner.model import Clash, Plan
from proofbell.visible import visible
from proofbell.words import hour_minute, length


def as_plain(
    plan: Plan,
    table: Timetable,
    oven: Oven,
    learned: Sequence[str] = (),
    formulas: Mapping[str, Formula] | None = None,
    placed: Sequence[str] = (),
) -> dict[str, Any]:
    """The document of ``plan --json``: times ISO 8601 with offset, lengths in seconds, °C.

    ``temperature_c`` of the oven is conventional; ``dial`` is what is set on ``oven``, the one of this kitchen.
    ``learned``, a field that is there only when past bakes had a say, tells where their numbers come from.
    ``placed``, there only when places change a time, says what they make of it. ``formulas`` are the bakes' own by
    letter, as they are written: what is nominal is theirs, whatever was learned.
    """
    written = formulas or {}
    document: dict[str, Any] = {
        "ready": iso_of(table.ready_us),
        "bakes": [
            {
                "letter": bake.letter,
                "formula": bake.formula,
                "stages": [
                    {
                        "name": line.name,
                        "kind": line.kind,
                        "begins": iso_of(line.begins_us),
                        "ends": iso_of(line.ends_us),
                        "seconds": line.seconds,
                        "nominal_seconds": _nominal_s(written.get(bake.letter), index, line),
                    }
                    for index, line in enumerate(bake.lines)
                ],
            }
            for bake in table.bakes
        ],
        "oven": _oven_rows(table, oven),
        "clashes": [_clash(plan, table, clash) for clash in clashes_of(plan)],
        "feasible": plan.feasible,
    }
    if placed:
        document["places"] = list(placed)
    if learned:
        document["learned"] = list(learned)
    return document


def _oven_rows(table: Timetable, oven: Oven) -> list[dict[str, Any]]:
    """The oven's day, with a row of no length for each turn in the middle of a bake, and one until it is on again."""
    acts = oven_acts(table)
    rows: list[tuple[int, int, float | None, str, str]] = []
    for at, act in enumerate(acts):
        if act.turn == "off":
            ends_us = acts[at + 1].at_us if at + 1 < len(acts) else act.at_us
            rows.append((act.at_us, ends_us, None, "off", act.letter))
        elif act.turn != "on" and act.until_us == act.at_us:
            rows.append((act.at_us, act.at_us, act.heat_c, f"turned {act.turn}", act.letter))
    rows += [(use.begins_us, use.ends_us, use.temperature_c, use.state, use.letter) for use in table.oven]
    return [
        {
            "begins": iso_of(begins_us),
            "ends": iso_of(ends_us),
            "temperature_c": heat_c,
            "state": state,
            "letter": letter,
            "dial": "off" if heat_c is None else on_the_dial(oven, heat_c),
        }
        for begins_us, ends_us, heat_c, state, letter in sorted(rows, key=lambda row: row[0])
    ]


def _nominal_s(formula: Formula | None, index: int, line: Line) -> int:
    return line.nominal_s if formula is None else round(formula.stages[index].time_s)


def iso_of(at_us: int) -> str:
    """A moment as ISO 8601 with the offset of the kitchen's wall."""
    return local(at_us, offset_min(at_us)).isoformat(timespec="seconds")


def _clash(plan: Plan, table: Timetable, clash: Clash) -> dict[str, Any]:
    first = _line(table, clash.first_letter, clash.first_step)
    second = _line(table, clash.second_letter, clash.second_step)
    return {
        "first": {"letter": first.letter, "stage": first.name, "begins": iso_of(first.begins_us)},
        "second": {"letter": second.letter, "stage": second.name, "begins": iso_of(second.begins_us)},
        "about": clash.about,
        "ways_out": [way_out_words(way) for way in ways_out(plan, clash)],
    }


def _line(table: Timetable, letter: str, step: int) -> Line:
    return next(bake for bake in table.bakes if bake.letter == letter).lines[step]


def as_text(
    plan: Plan, table: Timetable, oven: Oven, now: Stamp, learned: Sequence[str] = (), placed: Sequence[str] = ()
) -> str:
    """The day, bake by bake and then in order of time; what places make of it; last what was learned and is used."""
    told = ["", "Learned from past bakes, and used here", *(f"  · {visible(words, most=500)}" for words in learned)]
    stands = ["", "Where they stand", *(f"  · {visible(words, most=300)}" for words in placed)] if placed else []
    day = [*_summary(table, now), "", *_day(table, oven, now), *_trouble(plan, table, now)]
    return "\n".join([*day, *stands, *(told if learned else [])])


def clock_of(at_us: int, now: Stamp) -> str:
    """``11:10``; with the weekday and date when it is not today, with the offset in an hour that comes twice."""
    at, here = local(at_us, offset_min(at_us)), local(now.wall_us, now.offset_min)
    mark = twice_mark(at_us, offset_min(at_us))
    told = f"{hour_minute(at)}{mark}"
    return told if at.date() == here.date() else f"{at:%a %d} {told}"


def _summary(table: Timetable, now: Stamp) -> Iterator[str]:
    widest = max(len(visible(bake.formula)) for bake in table.bakes)
    for bake in table.bakes:
        name = visible(bake.formula).ljust(widest)
        times = f"begin {clock_of(bake.begins_us, now)}, ready {clock_of(bake.ready_us, now)}"
        yield f"{bake.letter}  {name}  {times}{_late(bake)}"


def _late(bake: BakeTimes) -> str:
    if bake.wanted_us is None:
        return ""
    by_s = (bake.ready_us - bake.wanted_us) // 1_000_000
    if abs(by_s) < 60:
        return ", on time"
    return f", {length(abs(by_s))} {'late' if by_s > 0 else 'early'}"


def _day(table: Timetable, oven: Oven, now: Stamp) -> Iterator[str]:
    rows: list[tuple[int, str, str]] = []
    for line in table.in_order():
        words = f"{visible(line.name)}, {length(line.seconds)}"
        if abs(line.strays_s) >= 60:
            words += f" ({length(abs(line.strays_s))} {'longer' if line.strays_s > 0 else 'shorter'} than usual)"
        rows.append((line.begins_us, line.letter, words))
    rows += [(act.at_us, "", visible(words)) for act, words in _oven_told(table, oven)]
    rows.sort(key=lambda row: row[:2])
    widest = max(len(clock_of(at_us, now)) for at_us, _, _ in rows)
    for at_us, letter, words in rows:
        yield f"{clock_of(at_us, now):>{widest}}  {letter or ' '}  {words}"


def _oven_told(table: Timetable, oven: Oven) -> Iterator[tuple[OvenAct, str]]:
    """What is done at the oven, told for its own dial."""
    for act in oven_acts(table):
        yield act, act_words(act, "" if act.heat_c is None else on_the_dial(oven, act.heat_c))


def _trouble(plan: Plan, table: Timetable, now: Stamp) -> Iterator[str]:
    for clash in clashes_of(plan):
        yield ""
        yield trouble_words(table, clash, clock_of(_line(table, clash.second_letter, clash.second_step).begins_us, now))
        ways = ways_out(plan, clash)
        yield from (f"  - {visible(way_out_words(way))}" for way in ways)
        if not ways:
            yield "  No single change fixes it."


def trouble_words(table: Timetable, clash: Clash, clock: str) -> str:
    """The two stages that clash, in one sentence."""
    first = _line(table, clash.first_letter, clash.first_step)
    second = _line(table, clash.second_letter, clash.second_step)
    by = length(clash.over_s)
    if clash.about == "time":
        return f"{second.letter} does not work like this: even if started at {clock} it is {by} late."
    return (
        f"It does not work like this: {second.letter} {visible(second.name)} gets the {clash.about} only at {clock}, "
        f"after {first.letter} {visible(first.name)}, {by} too late."
    )


def as_calendar(table: Timetable, oven: Oven, made_us: int) -> str:
    """One entry for each stage and for each turn of the oven, with an alarm as it begins."""
    stages = [
        Entry(
            key=f"{bake.letter}-{index}-{line.begins_us}",
            begins_us=line.begins_us,
            ends_us=line.ends_us,
            title=f"{line.letter} {line.name}",
            words=line.formula,
            remind=True,
        )
        for bake in table.bakes
        for index, line in enumerate(bake.lines)
    ]
    turns = [
        Entry(f"oven-{act.letter}-{act.turn}-{act.at_us}", act.at_us, act.until_us, f"O{words[1:]}", remind=True)
        for act, words in _oven_told(table, oven)
    ]
    return calendar([*stages, *turns], made_us=made_us)
