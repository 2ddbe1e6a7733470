"""A rehearsed bake as JSON fields and as text. Times are seconds from the start of the bake, or of the stage."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import Any

from proofbell.bake.advice.advise import Advised, advised
from proofbell.bake.core import CoreRead, core_in, core_readings
from proofbell.bake.events import BakeOpened, Resized
from proofbell.bake.readings import LIMITS
from proofbell.bake.record import name_of, told
from proofbell.bake.state import Adjustment, BakeState, Reading, StageState
from proofbell.journal.reviews.wording import event_words
from proofbell.plain import to_plain
from proofbell.quantities import in_full
from proofbell.visible import visible
from proofbell.words import length


def as_plain(states: Sequence[BakeState]) -> dict[str, Any]:
    """The JSON document: ``bakes`` with their stages, adjustments and events."""
    return {"bakes": [_bake(state) for state in states]}


def _bake(state: BakeState) -> dict[str, Any]:
    said = advised(state)
    return {
        "letter": state.letter,
        "formula": state.formula.name,
        "stages": [_stage(state, index, said) for index in range(len(state.stages))],
        "events": _events(state),
    }


def _stage(state: BakeState, index: int, said: Sequence[Advised]) -> dict[str, Any]:
    stage, run = state.stage(index), state.stages[index]
    begun_s, ended_s = run.begun_s, run.ended_s
    return {
        "name": stage.name,
        "kind": stage.kind,
        "begun_s": seconds(begun_s),
        "ended_s": seconds(ended_s),
        "planned_s": seconds(stage.time_s),
        "actual_s": None if begun_s is None or ended_s is None else seconds(ended_s - begun_s),
        "adjustments": [_adjustment(each) for each in run.adjustments],
        "advice": [
            {
                "at_s": seconds(each.at_s - (begun_s or 0.0)),
                "situation": each.advice.situation,
                "says": each.advice.says,
            }
            for each in said
            if each.stage == index
        ],
        **_core(state, index),
        **_core_outlook(state, index),
    }


def _core(state: BakeState, index: int) -> dict[str, Any]:
    """The field of a bake that is done at a core temperature: from, up to, and whether formula or style says so."""
    core = core_in(state, index)
    if core is None:
        return {}
    by = "formula" if core.style is None else "style"
    return {"core": {"low_c": round(core.low_c, 2), "high_c": round(core.high_c, 2), "by": by}}


def _core_outlook(state: BakeState, index: int) -> dict[str, Any]:
    """The field of a bake: for each core reading when the lowest core wanted will be reached, and the 90 % range.

    Seconds into the stage; null where nothing can be said yet, or where no core is wanted.
    """
    if state.stage(index).kind != "bake":
        return {}
    return {"core_outlook": [_outlook(read) for read in core_readings(state, index)]}


def _outlook(read: CoreRead) -> dict[str, Any]:
    found = read.outlook
    return {
        "at_s": seconds(read.at_s),
        "value_c": round(read.value_c, 2),
        "done_s": None if found is None else round(found.done_s),
        "low_s": None if found is None else round(found.low_s),
        "high_s": None if found is None else round(found.high_s),
    }


def _adjustment(change: Adjustment) -> dict[str, Any]:
    body = change.body
    return {
        "from_s": seconds(body.from_s),
        "to_s": seconds(body.to_s),
        "by": body.by,
        "reason": body.reason,
        "rate_s": seconds(body.rate_s),
        "rate_low_s": seconds(body.rate_low_s),
        "rate_high_s": seconds(body.rate_high_s),
    }


def _events(state: BakeState) -> list[dict[str, Any]]:
    """The log as it would be stored, without the formula's text and the whole kitchen in the first line."""
    start_us = state.opened.boot_us
    found: list[dict[str, Any]] = []
    for event in state.events:
        body = told(event.body)
        if isinstance(event.body, BakeOpened):
            body = {"formula": state.formula.name, "digest": state.formula.digest, "batch": to_plain(event.body.batch)}
        at_s = seconds((event.stamp.boot_us - start_us) / 1_000_000)
        found.append({"number": event.number, "at_s": at_s, "event": name_of(event.body), "body": body})
    return found


def seconds(value: float | None) -> float | int | None:
    """Whole seconds as whole numbers, others to the thousandth."""
    if value is None:
        return None
    rounded = round(value, 3)
    return int(rounded) if rounded == int(rounded) else rounded


def as_text(states: Sequence[BakeState]) -> str:
    """What happened, a line a stage, with every reading and the reason of every change under its stage."""
    return "\n\n".join("\n".join(_lines(state)) for state in states)


def _lines(state: BakeState) -> list[str]:
    widest = max(len(visible(stage.name, most=40)) for stage in state.formula.stages)
    said = advised(state)
    lines = [f"{state.letter}  {visible(state.formula.name, most=80)}", "   h:min  from the start"]
    for index, run in enumerate(state.stages):
        stage = state.stage(index)
        begun_s, ended_s = run.begun_s or 0.0, run.ended_s or run.begun_s or 0.0
        actual = length(ended_s - begun_s)
        planned = "" if ended_s - begun_s == stage.time_s else f"  (planned {length(stage.time_s)})"
        lines.append(f"  {clock(begun_s):>6}  {visible(stage.name, most=40):<{widest}}  {actual}{planned}")
        margin = " " * (10 + widest + 2)
        lines += [margin + _reading_line(reading) for reading in state.readings_in(index)]
        lines += [margin + visible(words, most=400) for words in _sizes_said(state, index)]
        lines += [margin + visible(reason, most=200) for reason in _reasons(run)]
        lines += [margin + visible(each.advice.short, most=300) for each in said if each.stage == index]
    end_s = max((run.ended_s or 0.0 for run in state.stages), default=0.0)
    return [*lines, f"  {clock(end_s):>6}  ready"]


def _sizes_said(state: BakeState, index: int) -> list[str]:
    """The sizes that were said in a stage, with what was to be added."""
    run = state.stages[index]
    return [
        event_words(event.body, state.formula)
        for event, at_us in zip(state.events, state.times_us, strict=True)
        if isinstance(event.body, Resized) and event.number not in state.undone
        if run.begun_s is not None and run.begun_s <= at_us / 1e6 < (run.ended_s or math.inf)
    ]


def _reasons(run: StageState) -> list[str]:
    """Why a stage got its length; of what its place was reckoned to make of it beforehand only the last counts."""
    before = [a for a in run.adjustments if a.body.by == "place" and a.at_s <= (run.begun_s or 0.0)]
    return [a.body.reason for a in run.adjustments if a not in before[:-1]]


def clock(seconds_in: float) -> str:
    """Hours and minutes from the start: ``1:05``."""
    minutes = int(seconds_in // 60)
    return f"{minutes // 60}:{minutes % 60:02d}"


def _reading_line(reading: Reading) -> str:
    """What was read. A bare number that was kept is in °C, % or g, whatever the kitchen counts in."""
    limits, typed = LIMITS[reading.what], reading.typed.strip()
    read = reading.value if reading.raw is None else reading.raw
    bare = re.fullmatch(r"[-−]?[0-9.,]+", typed)
    told = limits.said(read) if bare and read is not None else in_full(typed, limits.dimension)
    return f"{reading.what}: {visible(told, most=40)}"
