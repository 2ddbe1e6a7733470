"""Why a stage is as long as it is now: the sentence that holds after corrections and changes by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from proofbell.bake.decisions.adjust import asked_s, changed_by_hand
from proofbell.bake.decisions.reading_rules import what_follows
from proofbell.bake.fermenting.rule_readings import adjusting, edge_now
from proofbell.bake.fermenting.short_rise import SLACK_S, judges_the_rise, short_rise, short_words
from proofbell.bake.state import Adjustment, BakeState, Reading, StageState


def why_so_long(state: BakeState, index: int, *, asked: bool = False) -> str:
    """What gave a stage its length, by the readings as they stand; empty where the card's own time holds unmoved.

    ``asked``: a prompt says already how short the rise is.

    What an older reading made of it is not told once a newer one of its kind has spoken.
    A reading on the edge of two bands is told although it moves nothing. What the readings of an older program's log
    made of a length, and would not now, is told as it was written then.
    """
    run = state.stages[index]
    ruled = [each for each in run.adjustments if each.body.by != "hand"]
    last = ruled[-1] if ruled else None
    by_hand = [a for a in run.adjustments if a.body.by == "hand" and (last is None or a.number > last.number)]
    hand = _hand_words(state, index, by_hand)
    granted_s = by_hand[0].body.from_s if by_hand else run.length_s
    if short := _short_since(state, index, last, granted_s):
        return _joined("" if asked else short, hand)
    if last is not None and last.body.by == "rise" and _outlived(state, index, last):
        return _joined("" if asked else _short_words(state, index), hand)
    if last is not None and last.body.by == "plan":
        return _joined(last.body.reason, hand)
    if last is None and (edge_now(state, index) is None and not (hand and _listens(state, index))):
        return hand
    told = _by_reading(state, index, last)
    if told:
        return _joined(told, hand if last is not None and last.body.by == "rise" else "")
    return hand if last is None or _outlived(state, index, last) else _joined(last.body.reason, hand)


def _outlived(state: BakeState, index: int, last: Adjustment) -> bool:
    """Whether a newer reading of the same kind, or another place, has come since what gave the length."""
    if last.body.by == "place" and any(each.at_s > last.at_s for each in state.stages[index].stood):
        return True
    cause = next((each for each in state.readings if each.number == last.body.cause), None)
    return cause is not None and any(r.number > cause.number for r in state.readings_in(index, cause.what))


def _listens(state: BakeState, index: int) -> bool:
    what = adjusting(state.stage(index))
    return what is not None and any(r.what == what for r in state.readings_in(index))


def _by_reading(state: BakeState, index: int, last: Adjustment | None) -> str:
    """What the newest reading of its kind made of the length before it, with what was done by hand on top.

    Empty where that is not the length that holds.
    """
    run = state.stages[index]
    reading = _reading(state, index, last)
    if reading is None:
        return ""
    if last is not None and last.body.by == "rise":
        before = tuple(each for each in run.adjustments if each.number < last.number)
        base = replace(run, adjustments=before, length_s=last.body.from_s)
        to_s = last.body.to_s
    else:
        kept = tuple(each for each in run.adjustments if each.body.by == "hand")
        base, to_s = replace(run, adjustments=kept, length_s=_before_s(run, reading, last)), run.length_s
    change = what_follows(state.with_stage(index, base), index, reading)
    return change.reason if change is not None and change.to_s == to_s else ""


def _before_s(run: StageState, reading: Reading, last: Adjustment | None) -> float:
    """How long the stage was before a reading changed it, or as it was taken where it changed nothing (s)."""
    if last is not None and last.number > reading.number:
        return last.body.from_s
    return next((each.body.from_s for each in run.adjustments if each.number > reading.number), run.length_s)


def _reading(state: BakeState, index: int, last: Adjustment | None) -> Reading | None:
    """The reading that speaks last of what gave the length."""
    if last is not None and last.body.by == "rise":
        judged = [r for r in state.readings_in(index, "rise") if judges_the_rise(state.stage(index), r)]
        return next((r for r in judged if r.number == last.body.cause), None)
    what = adjusting(state.stage(index))
    inside = [r for r in state.readings_in(index) if r.what == what]
    number = None if last is None else last.body.cause
    cause = next((r for r in state.readings if r.number == number), None)
    if inside and last is not None and last.number > inside[-1].number:
        if last.body.by == "place" and number is None:
            return None  # it was moved since: what its new place made of it is told as it was said
        if cause is not None and cause.what == "room temperature" and cause.number > inside[-1].number:
            return cause
    return inside[-1] if inside else cause if cause is not None and cause.what == what else None


def _short_since(state: BakeState, index: int, last: Adjustment | None, granted_s: float) -> str:
    """A short rise that was judged after the last rule had its say, and for which that granted too little time."""
    short = short_rise(state, index)
    judged = state.readings_in(index, "rise")
    if short is None or short.again_s <= granted_s + SLACK_S or (last is not None and judged[-1].number < last.number):
        return ""
    return _short_words(state, index)


def _short_words(state: BakeState, index: int) -> str:
    """What the newest judgement of a rise says of the time; nothing where it is not short any more."""
    short = short_rise(state, index)
    words = "" if short is None else short_words(short)
    return f"{words[:1].upper()}{words[1:]}." if words else ""


def _hand_words(state: BakeState, index: int, by_hand: Sequence[Adjustment]) -> str:
    """What was changed by hand, in all; nothing where that comes to nothing."""
    run = state.stages[index]
    return changed_by_hand(state, index, by_hand) if sum(asked_s(run, each) for each in by_hand) else ""


def _joined(*parts: str) -> str:
    return " ".join(part for part in parts if part)
