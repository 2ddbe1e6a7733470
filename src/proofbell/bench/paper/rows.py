"""The day as it hangs on the wall: a row for whatever hands do in one go, with what goes on by itself afterwards."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from proofbell.bake.heats import on_the_dial
from proofbell.bench.day_words import act_words, hands_words, who_words
from proofbell.bench.oven.acts import act_words as oven_words
from proofbell.bench.oven.acts import oven_acts
from proofbell.bench.plan.day_hands import HandsAct, HandsLine
from proofbell.bench.plan.timetable import BakeTimes, Line, Timetable
from proofbell.formula.model import ReadingKind
from proofbell.formula.readings import LIMITS
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Kitchen
from proofbell.quantities import Dimension
from proofbell.units import used
from proofbell.words import length

RowKind = Literal["hands", "oven", "wait", "note"]


@dataclass(frozen=True, slots=True)
class Goes:
    """A stage that goes on by itself until ``until_us`` (UTC, µs).

    ``ready``: the dough is ready then. ``stands_until_us``: bread that has cooled stands so long, until it is wanted.
    """

    letter: str
    name: str
    until_us: int
    ready: bool = False
    stands_until_us: int | None = None


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One row of the sheet, from ``at_us`` (UTC, µs).

    Attributes:
        kind: something for hands; something at the oven alone; a stage that begins by itself; or a note.
        letters: the doughs that it is about.
        does: what hands do, one after the other.
        oven: what is set on the oven's dial with it; empty for nothing.
        goes: what goes on by itself from its end on.
        who: by whom, where several pairs of hands work; empty where one does.
        until_us: when it ends; of a note, of what it is about.
    """

    at_us: int
    until_us: int
    kind: RowKind
    letters: tuple[str, ...] = ()
    does: tuple[str, ...] = ()
    oven: str = ""
    goes: tuple[Goes, ...] = ()
    who: str = ""

    @property
    def asks(self) -> bool:
        """Whether somebody is to do something, and so may tick it off."""
        return self.kind in ("hands", "oven")


def sheet_rows(table: Timetable, kitchen: Kitchen, notes: Sequence[tuple[int, str]] = ()) -> tuple[SheetRow, ...]:
    """The whole day in order of time.

    Args:
        table: the plan.
        kitchen: whose oven it is, and who works there.
        notes: what else is to be said at a moment (UTC, µs), such as a change of the clocks.
    """
    several = any(line.who for line in table.hands)
    lines = _in_one_go(table.hands)
    names = [who_words(line.who, kitchen.names) if several else "" for line in lines]
    rows = [
        SheetRow(
            line.begins_us,
            line.ends_us,
            "hands",
            tuple(dict.fromkeys(act.letter for act in line.acts)),
            does,
            goes=tuple(_goes(table, line, kitchen)),
            who=who,
        )
        for (line, does), who in zip(_told(table, lines), names, strict=True)
    ]
    told = {(each.letter, each.until_us) for row in rows for each in row.goes}
    rows = _with_oven(rows, [line.acts[-1].does == "unload" for line in lines], table, kitchen)
    rows += [
        SheetRow(line.begins_us, line.ends_us, "wait", (bake.letter,), goes=(_by_itself(bake, line),))
        for bake in table.bakes
        for line in bake.lines
        if line.kind not in ("hands", "bake") and not line.past and (bake.letter, line.ends_us) not in told
    ]
    rows += [SheetRow(at_us, at_us, "note", does=(words,)) for at_us, words in notes]
    rows += [
        SheetRow(begin_us, end_us, "note", does=("Nobody works",))
        for begin_us, end_us in table.quiet
        if any(row.at_us < begin_us for row in rows)
        and not any(line.begins_us < end_us and line.ends_us > begin_us for line in table.hands)
    ]
    return tuple(sorted(rows, key=lambda row: (row.at_us, row.kind == "wait", row.letters)))


def _in_one_go(lines: Sequence[HandsLine]) -> list[HandsLine]:
    """Lines of one dough that follow each other in the same hands are one."""
    found: list[HandsLine] = []
    open_at: dict[tuple[str, int], int] = {}
    for line in lines:
        letters = {act.letter for act in line.acts}
        key = (line.acts[0].letter, line.who)
        at = open_at.get(key) if len(letters) == 1 else None
        if at is not None and found[at].ends_us == line.begins_us:
            found[at] = replace(found[at], ends_us=line.ends_us, acts=(*found[at].acts, *line.acts))
            continue
        if len(letters) == 1:
            open_at[key] = len(found)
        found.append(line)
    return found


def _told(table: Timetable, lines: Sequence[HandsLine]) -> list[tuple[HandsLine, tuple[str, ...]]]:
    """Each line with what is done in it; a stage with how long it is in hand."""
    by_letter = {bake.letter: bake for bake in table.bakes}
    found: list[tuple[HandsLine, tuple[str, ...]]] = []
    for line in lines:
        if len({act.letter for act in line.acts}) > 1:
            found.append((line, (hands_words(line),)))
            continue
        does: list[str] = []
        for act in line.acts:
            words = act_words(act)
            if act.does == "stage" and act.stage is not None:
                stage = by_letter[act.letter].lines[act.stage]
                name = f"{words[:1].lower()}{words[1:]}"
                words = f"{name} {length(stage.seconds)}" if stage.kind == "hands" else f"begin {name}"
            if act.does == "read":
                words = ", ".join(_blank(each) for each in act.reads)
            does.append(words)
        found.append((line, tuple(does)))
    return found


def _blank(read: ReadingKind) -> str:
    """What is read, with room to write it down in the kitchen's units."""
    limits = LIMITS[read]
    units = {Dimension.TEMPERATURE: used().temperature, Dimension.MASS: used().weight}
    return f"{limits.short} ____ {units.get(limits.dimension, limits.kept_unit)}"


def _goes(table: Timetable, line: HandsLine, kitchen: Kitchen) -> list[Goes]:
    """What goes on by itself once these hands are done: what is in the oven, and what they leave to stand."""
    found: list[Goes] = []
    for letter in dict.fromkeys(act.letter for act in line.acts):
        bake = next(one for one in table.bakes if one.letter == letter)
        last = [act for act in line.acts if act.letter == letter][-1]
        if last.stage is None:
            continue
        stage = bake.lines[last.stage]
        if last.does == "load":
            load = stage.loads[last.load - 1]
            heat = next((use for use in table.oven if use.letter == letter and use.begins_us == load.begins_us), None)
            dial = "" if heat is None else f", {on_the_dial(kitchen.oven, heat.temperature_c)}"
            found.append(Goes(letter, f"{stage.name}{dial}", _taken_out_us(table, letter, last, load.ends_us)))
            continue
        after = next(
            (
                each
                for each in bake.lines[last.stage :]
                if line.begins_us <= each.begins_us <= line.ends_us < each.ends_us
                and each.kind not in ("hands", "bake")
            ),
            None,
        )
        if after is not None:
            found.append(_by_itself(bake, after))
    return found


def _taken_out_us(table: Timetable, letter: str, loaded: HandsAct, ends_us: int) -> int:
    """When hands go to take a load out (UTC, µs): one time stands on the paper; without such hands, when it is done."""
    wanted = ("unload", letter, loaded.stage, loaded.load)
    firsts = ((line.begins_us, line.acts[0]) for line in table.hands)
    found = (at_us for at_us, act in firsts if (act.does, act.letter, act.stage, act.load) == wanted)
    return next(found, ends_us)


def _by_itself(bake: BakeTimes, line: Line) -> Goes:
    ready = line is bake.lines[-1]
    return Goes(bake.letter, line.told, line.ends_us, ready=ready, stands_until_us=line.stands_until_us)


def _with_oven(rows: Sequence[SheetRow], out: Sequence[bool], table: Timetable, kitchen: Kitchen) -> list[SheetRow]:
    """What is done at the oven stands in the row of whoever takes something ``out`` then, else in one of its own."""
    found = list(rows)
    for act in oven_acts(table, kitchen.oven):
        words = oven_words(act, "" if act.heat_c is None else on_the_dial(kitchen.oven, act.heat_c))
        there = (at for at, row in enumerate(rows) if out[at] and row.until_us == act.at_us and not found[at].oven)
        at = next(there, None)
        if at is not None and act.turn != "on":
            found[at] = replace(found[at], oven=words)
        else:
            found.append(SheetRow(act.at_us, act.until_us, "oven", oven=words))
    return found
