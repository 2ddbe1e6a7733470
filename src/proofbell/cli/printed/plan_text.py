"""A plan as text, and as the JSON document that scripts rely on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from textwrap import wrap
from typing import Any

from proofbell.bake.heats import on_the_dial
from proofbell.bake.stamp import Stamp
from proofbell.bench.day_words import hands_words, late_hands_words, late_words, night_words, who_words
from proofbell.bench.oven.acts import OvenAct, act_words, oven_acts
from proofbell.bench.plan.day_hands import HandsLine
from proofbell.bench.plan.reason_words import reason_words, way_out_words
from proofbell.bench.plan.timetable import Line, Timetable
from proofbell.cli.printed.allergens_text import allergen_lines, allergens_plain
from proofbell.cli.printed.bench_text import iso
from proofbell.clock import offset_min
from proofbell.clock_changes import changes
from proofbell.formula.model import Formula
from proofbell.journal.reviews.moments import local, twice_mark
from proofbell.kitchen.model import Kitchen, Oven
from proofbell.nights import LATE_HOURS, nights_unsaid
from proofbell.planner.clashes import WayOut
from proofbell.planner.plan import Clash, Plan
from proofbell.planner.reasons import Reason, clashes_between, reasons_of, ways_out_of
from proofbell.visible import visible
from proofbell.words import hour_minute, length, weekday

WIDTH = 80


def as_plain(
    plan: Plan,
    table: Timetable,
    origin_us: int,
    kitchen: Kitchen,
    learned: Sequence[str] = (),
    formulas: Mapping[str, Formula] | None = None,
    placed: Sequence[str] = (),
) -> dict[str, Any]:
    """The document of ``plan --json``: times ISO 8601 with offset, lengths in seconds, °C.

    ``temperature_c`` of the oven is conventional; ``dial`` is what is set on this kitchen's.
    ``learned``, a field that is there only when past bakes had a say, tells where their numbers come from.
    ``placed``, there only when places change a time, says what they make of it. ``formulas`` are the bakes' own by
    letter, as they are written: what is nominal is theirs, whatever was learned.
    """
    written, reasons = formulas or {}, reasons_of(plan)
    ways = {reason.letter: ways_out_of(plan, reason) for reason in reasons}
    document: dict[str, Any] = {
        "ready": iso(table.ready_us),
        "bakes": [
            {
                "letter": bake.letter,
                "formula": bake.formula,
                **({"allergens": allergens_plain(written[bake.letter])} if bake.letter in written else {}),
                "stages": [
                    {
                        "name": line.name,
                        "kind": line.kind,
                        "begins": iso(line.begins_us),
                        "ends": iso(line.ends_us),
                        "seconds": line.seconds,
                        "nominal_seconds": _nominal_s(written.get(bake.letter), index, line),
                        **_loads(line),
                        **({"cold": True} if line.cold else {}),
                        **({"stands_until": iso(stands_us)} if (stands_us := line.stands_until_us) else {}),
                    }
                    for index, line in enumerate(bake.lines)
                ],
            }
            for bake in table.bakes
        ],
        "oven": _oven_rows(table, kitchen.oven),
        "hands": [
            {
                "begins": iso(line.begins_us),
                "ends": iso(line.ends_us),
                "letter": line.acts[0].letter,
                "does": hands_words(line),
                "who": who_words(line.who, kitchen.names),
            }
            for line in table.hands
        ],
        "quiet": [{"begins": iso(begin_us), "ends": iso(end_us)} for begin_us, end_us in table.quiet],
        "clashes": [
            _clash(plan, origin_us, clash, ways.get(clash.second_letter, ()))
            for clash in clashes_between(plan, reasons)
        ],
        "reasons": [_reason(plan, origin_us, reason, ways[reason.letter]) for reason in reasons],
        "feasible": plan.feasible,
    }
    if placed:
        document["places"] = list(placed)
    if learned:
        document["learned"] = list(learned)
    return document


def _oven_rows(table: Timetable, oven: Oven) -> list[dict[str, Any]]:
    """The oven's day, with a row of no length for each turn in the middle of a bake, and one until it is on again."""
    acts = oven_acts(table, oven)
    rows: list[tuple[int, int, float | None, str, str]] = []
    for at, act in enumerate(acts):
        if act.turn == "off":
            ends_us = acts[at + 1].at_us if at + 1 < len(acts) else act.at_us
            rows.append((act.at_us, ends_us, None, "off", act.letter))
        elif act.turn in ("up", "down") and act.until_us == act.at_us:
            rows.append((act.at_us, act.at_us, act.heat_c, f"turned {act.turn}", act.letter))
    rows += [(use.begins_us, use.ends_us, use.temperature_c, use.state, use.letter) for use in table.oven]
    return [
        {
            "begins": iso(begins_us),
            "ends": iso(ends_us),
            "temperature_c": heat_c,
            "state": state,
            "letter": letter,
            "dial": "off" if heat_c is None else on_the_dial(oven, heat_c),
        }
        for begins_us, ends_us, heat_c, state, letter in sorted(rows, key=lambda row: row[0])
    ]


def _nominal_s(formula: Formula | None, index: int, line: Line) -> int:
    return line.nominal_s if formula is None else round(formula.stages[index].time_s)


def _loads(line: Line) -> dict[str, Any]:
    """The loads of a bake; nothing for any other stage."""
    loads = [{"begins": iso(load.begins_us), "ends": iso(load.ends_us), "places": load.places} for load in line.loads]
    return {"loads": loads} if loads else {}


def _clash(plan: Plan, origin_us: int, clash: Clash, ways: Sequence[WayOut]) -> dict[str, Any]:
    def side(letter: str, step: int) -> dict[str, str]:
        begins_us = origin_us + plan.of(letter).begins_s[step] * 1_000_000
        return {"letter": letter, "stage": plan.problem.by_letter[letter].steps[step].name, "begins": iso(begins_us)}

    return {
        "first": side(clash.first_letter, clash.first_step),
        "second": side(clash.second_letter, clash.second_step),
        "about": clash.about,
        "ways_out": [way_out_words(way) for way in ways],
    }


def _reason(plan: Plan, origin_us: int, reason: Reason, ways: Sequence[WayOut]) -> dict[str, Any]:
    return {
        "letter": reason.letter,
        "cause": CAUSES.get(reason.cause, reason.cause),
        "late_seconds": reason.late_s,
        "over_seconds": reason.over_s,
        "needs_seconds": reason.needs_s,
        "earliest": iso(origin_us + reason.earliest_s * 1_000_000),
        "words": reason_words(plan, reason, origin_us, _day_clock),
        "ways_out": [way_out_words(way) for way in ways],
    }


def _day_clock(at_us: int) -> str:
    """``Sat 09:00``, in a document for programs."""
    at = local(at_us, offset_min(at_us))
    return f"{weekday(at)} {at:%H:%M}"


CAUSES = {"quiet": "night", "turns": "loads"}
"""What the document calls a cause that the planner has another word for."""


def as_text(
    plan: Plan,
    table: Timetable,
    origin_us: int,
    kitchen: Kitchen,
    now: Stamp,
    learned: Sequence[str] = (),
    placed: Sequence[str] = (),
    *,
    awake: bool = False,
    formulas: Mapping[str, Formula] | None = None,
) -> str:
    """The day, bake by bake and then in order of time; what places make of it; last what was learned and is used.

    ``formulas`` by letter are those whose allergens are told. ``awake``: hands at any hour were asked for.
    """
    told = ["", "Learned from past bakes, and used here", *(f"  · {visible(words, most=500)}" for words in learned)]
    stands = ["", "Where they stand", *(f"  · {visible(words, most=300)}" for words in placed)] if placed else []
    begins_us = min(bake.hands_from_us for bake in table.bakes)

    def clock(at_us: int) -> str:
        return clock_of(at_us, now)

    late = () if awake else nights_unsaid(kitchen, begins_us, table.ready_us)
    nights = [*night_words(table, clock), *late_hands_words(table, late, LATE_HOURS, clock)]
    nights += [f"{change.words}." for change in changes(begins_us, table.ready_us)]
    day = [
        *_summary(table, now),
        *allergen_lines((formulas or {}).items(), kitchen.region, "Allergens "),
        *(["", *(visible(words, most=500) for words in nights)] if nights else []),
        "",
        *_day(table, kitchen, now),
        *_trouble(plan, origin_us, now),
    ]
    return "\n".join([*day, *stands, *(told if learned else [])])


def clock_of(at_us: int, now: Stamp) -> str:
    """``11:10``; with the weekday and date when it is not today, with the offset in an hour that comes twice."""
    at, here = local(at_us, offset_min(at_us)), local(now.wall_us, now.offset_min)
    mark = twice_mark(at_us, offset_min(at_us))
    told = f"{hour_minute(at)}{mark}"
    return told if at.date() == here.date() else f"{weekday(at)} {at:%d} {told}"


def _summary(table: Timetable, now: Stamp) -> Iterator[str]:
    widest = max(len(visible(bake.formula)) for bake in table.bakes)
    for bake in table.bakes:
        name = visible(bake.formula).ljust(widest)
        times = f"begin {clock_of(bake.hands_from_us, now)}, ready {clock_of(bake.ready_us, now)}"
        yield f"{bake.letter}  {name}  {times}{late_words(bake)}"


def _day(table: Timetable, kitchen: Kitchen, now: Stamp) -> Iterator[str]:
    """All that comes, in order of time. What hands do beside whole stages has a line of its own."""
    rows = [*_stage_rows(table, kitchen, now), *_hands_rows(table, kitchen)]
    rows += [(act.at_us, "", visible(words)) for act, words in oven_told(table, kitchen.oven)]
    rows.sort(key=lambda row: row[0])
    widest = max(len(clock_of(at_us, now)) for at_us, *_ in rows)
    for at_us, letter, words in rows:
        head = f"{clock_of(at_us, now):>{widest}}  {letter or ' '}  "
        yield from wrap(words, WIDTH, initial_indent=head, subsequent_indent=" " * len(head))


def _stage_rows(table: Timetable, kitchen: Kitchen, now: Stamp) -> Iterator[tuple[int, str, str]]:
    """Every stage but what is loaded: that is told as hands do it."""
    who = {
        (act.letter, act.stage): _who(line, table, kitchen)
        for line in table.hands
        for act in line.acts
        if act.does == "stage"
    }
    for bake in table.bakes:
        for index, line in enumerate(bake.lines):
            if line.loads and not line.past:
                continue
            words = f"{visible(line.told)}, {length(line.seconds)}"
            if abs(line.strays_s) >= 60:
                words += f" ({length(abs(line.strays_s))} {'longer' if line.strays_s > 0 else 'shorter'} than usual)"
            if line.stands_until_us is not None:
                words += f", ready {clock_of(line.ends_us, now)}; it stands until {clock_of(line.stands_until_us, now)}"
            yield line.begins_us, line.letter, words + who.get((line.letter, index), "")


def _hands_rows(table: Timetable, kitchen: Kitchen) -> Iterator[tuple[int, str, str]]:
    for line in table.hands:
        first, last = line.acts[0], line.acts[-1]
        if first.does == "stage":
            continue
        words = hands_words(line)
        if first.does == "weigh":
            words += f", {length((line.ends_us - line.begins_us) / 1e6)}"
        if last.does == "load" and last.stage is not None:
            bake = next(bake for bake in table.bakes if bake.letter == last.letter).lines[last.stage]
            load = bake.loads[last.load - 1]
            words += f": {bake.name}, {length((load.ends_us - load.begins_us) / 1e6)}"
        letters = {act.letter for act in line.acts}
        yield line.begins_us, first.letter if len(letters) == 1 else "", visible(words) + _who(line, table, kitchen)


def _who(line: HandsLine, table: Timetable, kitchen: Kitchen) -> str:
    """Who does it, where more than one pair of hands do anything that day."""
    return f" ({visible(who_words(line.who, kitchen.names))})" if any(one.who for one in table.hands) else ""


def oven_told(table: Timetable, oven: Oven) -> Iterator[tuple[OvenAct, str]]:
    """What is done at the oven, told for its own dial."""
    for act in oven_acts(table, oven):
        yield act, act_words(act, "" if act.heat_c is None else on_the_dial(oven, act.heat_c))


def _trouble(plan: Plan, origin_us: int, now: Stamp) -> Iterator[str]:
    """Why not all is as wanted, and the ways out by the numbers that ``--take`` knows them by."""
    number = 0
    for reason in reasons_of(plan):
        yield ""
        yield f"It does not work like this: {reason_words(plan, reason, origin_us, lambda at_us: clock_of(at_us, now))}"
        ways = ways_out_of(plan, reason)
        for way in ways:
            number += 1
            yield f"  {number}  {visible(way_out_words(way))}"
        if not ways:
            yield "  No single change fixes it."
    if number:
        yield "  To take one: --take and its number."
