"""What a core reading says of a bake, and what is to be done at its end, in words."""

from __future__ import annotations

import math

from proofbell.bake.core import (
    GIVEN_S,
    CoreWanted,
    again_s,
    beyond_boiling,
    beyond_crumb,
    boils_in,
    core_before_c,
    core_in,
    core_over,
    core_short,
    goes_past,
    meant_end_s,
    more_minutes,
    outlook_with,
    read_for_the_end,
)
from proofbell.bake.state import BakeState
from proofbell.dough.core_outlook import CoreOutlook
from proofbell.dough.safety import egg_core_caution
from proofbell.frozen import dataclass
from proofbell.words import degrees, temperature

CUT_C = 40.0
"""A loaf is cut once it is no warmer inside than this: common practice, no source."""

READ_AGAIN = "read it again then"
READ_THE_CORE = "read the core"
TAKE_OUT = "take it out now: it only dries"
READ_THE_MIDDLE = "keep the tip off crust and tin, read the middle again"
READ_THE_SAME = "put the tip into the middle of the same loaf"
"""What is said of a core low, high, fallen and beyond what a crumb can have: common practice, no source."""


def longer_words(outlook: CoreOutlook, from_s: float) -> str:
    """``4 min longer (2 to 7)``: from the end of a bake (s into it) to the core wanted, with the 90 % range."""
    low, high = math.floor((outlook.low_s - from_s) / 60), math.ceil((outlook.high_s - from_s) / 60)
    likely = more_minutes(outlook, from_s)
    between = f"{low} to {max(high, likely)}" if low > 0 else f"up to {max(high, likely)}"
    return f"{likely} min longer ({between})"


def core_says(state: BakeState, index: int | None, value_c: float, at_s: float | None = None) -> tuple[str, ...]:
    """What a core reading (°C) says of the bake: done, how much longer, too hot; and the caution for a dough with egg.

    ``at_s``: when it was or would be taken (the bake's own time); without it no minutes are told.
    """
    if index is not None and state.stage(index).kind == "cool":
        return _out_of_the_oven(state, index, value_c, at_s)
    said: list[str] = []
    wanted = None if index is None else core_in(state, index)
    if wanted is not None and index is not None:
        said.append(f"Core {temperature(value_c)}: {_verdict(state, wanted, value_c)}; {wanted.words}.")
        if at_s is not None and value_c < wanted.low_c:
            said.append(_how_much_longer(state, index, value_c, at_s))
    if _has_egg(state) and not (at_s is not None and index is not None and _gets_there(state, index, value_c, at_s)):
        caution = egg_core_caution(value_c, state.kitchen.region)
        said += [] if caution is None else [caution.text]
    return tuple(said)


JUST_OUT_S = 300.0
"""So soon after it came out a loaf goes on baking where it is put back: common practice, no source."""


def _out_of_the_oven(state: BakeState, index: int, value_c: float, at_s: float | None) -> tuple[str, ...]:
    """What a core reading (°C) says of bread that cools: one that came out too soon, or whether it may be cut."""
    before = index - 1
    out_s = None if at_s is None else at_s - (state.stages[index].begun_s or 0.0)
    wanted = core_in(state, before) if before >= 0 else None
    if wanted is not None and out_s is not None and out_s <= JUST_OUT_S and value_c < wanted.low_c:
        egg = egg_core_caution(value_c, state.kitchen.region) if _has_egg(state) else None
        low = f"Core {temperature(value_c)}, {wanted.least} wanted"
        back = f"{low}: put it back, and undo the end of {state.stage(before).name}."
        return (back,) if egg is None else (back, egg.text)
    cut = f"Too warm to cut yet: {temperature(CUT_C, 0)} inside, or less." if value_c > CUT_C else "Cool enough to cut."
    return (cut,)


def _has_egg(state: BakeState) -> bool:
    return any(line.kind == "egg" for line in state.formula.ingredients)


def _verdict(state: BakeState, wanted: CoreWanted, value_c: float) -> str:
    """What a reading is beside the band. What to do above it: common practice, no source."""
    if value_c < wanted.low_c:
        return "not done yet"
    if value_c <= wanted.high_c:
        return "done, if the crust is too"
    if beyond_boiling(state, value_c):
        boils = temperature(boils_in(state.kitchen), 0)
        return f"hotter than water boils here ({boils}): {READ_THE_MIDDLE}"
    return f"hotter than wanted, {TAKE_OUT}"


def _gets_there(state: BakeState, index: int, value_c: float, at_s: float) -> bool:
    """Whether a core that is read on the way is likely done by the end of its bake, where it is read again."""
    into_s, length_s = at_s - (state.stages[index].begun_s or 0.0), state.stages[index].length_s
    outlook = outlook_with(state, index, value_c, into_s)
    return into_s < length_s and outlook is not None and not goes_past(outlook, length_s)


def _how_much_longer(state: BakeState, index: int, value_c: float, at_s: float) -> str:
    into_s = at_s - (state.stages[index].begun_s or 0.0)
    outlook = outlook_with(state, index, value_c, into_s)
    if outlook is None:
        return "Too cool yet to say how long; read it again in a while."
    before_c = core_before_c(state, index, value_c, into_s)
    fell = "" if before_c is None else f"It read {temperature(before_c)} before: {READ_THE_SAME}. "
    length_s = state.stages[index].length_s
    if goes_past(outlook, max(length_s, into_s)):
        return f"{fell}About {longer_words(outlook, max(length_s, into_s))}; {READ_AGAIN}."
    if into_s >= length_s:
        return f"{fell}Bake it longer, then read it again."
    return f"{fell}By the clock it gets there in time; read it again at the end."


@dataclass(frozen=True, slots=True)
class Late:
    """From ``share`` of its length over, and at least ``least_s``, a bake is to be taken out ``how``, and ``then``."""

    share: float
    least_s: float
    how: str
    then: str


_LATE = (
    Late(0.5, 600.0, "at once", ": it may burn. Smoke? Oven off, door shut"),
    Late(0.25, 300.0, "at once", ": look at the crust"),
    Late(0.1, 120.0, "now", ""),
)
"""When is late: common practice, no source. Fire in an oven: heat off, door kept closed (National Fire Protection
Association, cooking safety tips)."""


def late_by(length_s: float, late_s: float) -> Late | None:
    """How a bake of a length (s) that is so much over it (s) is to be taken out; None where it is hardly late."""
    return next((each for each in _LATE if late_s >= max(each.least_s, each.share * length_s)), None)


def read_low_again(late: Late | None) -> str:
    """That a core which was read low is read again now, and what a bake so ``late`` may come to meanwhile."""
    return "read it again now" if late is None or not late.then else f"read the core now{late.then}"


def bake_over_words(state: BakeState, index: int, now_s: float | None) -> str:
    """What to do at the end of a bake stage: as it becomes due, or as it is at ``now_s`` (the bake's own time).

    A core that was read low there and may still be reached says how much longer; else it is to be taken out.
    """
    found = _out_now(state, index, now_s)
    if found is not None:
        return found
    core, short = core_in(state, index), core_short(state, index)
    out = _take_out(state, index)
    if core is None or (short is None and state.readings_in(index, "core temperature")):
        return out
    return f"{out}, at {core.band} inside" + (
        core.whose if short is None else f"; it was {degrees(round(short.value_c))}"
    )


def core_then_out(state: BakeState, index: int, now_s: float | None) -> str | None:
    """Reading a bake's core and taking it out, as one act; None where something else is to be done at its end."""
    if _out_now(state, index, now_s) is not None:
        return None
    core, short = core_in(state, index), core_short(state, index)
    again = "" if short is None else " again"
    was = "" if short is None else f"; it was {degrees(round(short.value_c))}"
    wanted = "" if core is None else f" ({core.band}{core.whose if short is None else was})"
    load = state.stage(index).load
    out = _take_out(state, index) if load is not None and load[0] < load[1] else "take it out"
    return f"{READ_THE_CORE}{again}{wanted}, then {out}"


def _out_now(state: BakeState, index: int, now_s: float | None) -> str | None:
    """What a low core, a core over its band, or a late bake asks for; None for none of them."""
    run, core = state.stages[index], core_in(state, index)
    into_s = run.length_s if now_s is None else now_s - (run.begun_s or 0.0)
    short, over = core_short(state, index), core_over(state, index)
    late = late_by(run.length_s, into_s - meant_end_s(state, index))
    if beyond_crumb(state, index) and (late is None or not late.then):
        return f"read the middle again, then {_take_out(state, index)}"
    asked = short is not None and run.length_s - short.at_s < GIVEN_S and read_for_the_end(state, index, short)
    if core is not None and short is not None and (asked or late is not None):
        end_s = max(run.length_s, short.at_s, into_s)
        lead = f"core {temperature(short.value_c, 0)}, {core.least} wanted"
        if short.outlook is not None and goes_past(short.outlook, end_s):
            return f"{lead}: {longer_words(short.outlook, end_s)}"
        if short.outlook is None and into_s < again_s(short):
            return f"{lead}: bake longer, then read it again"
        return read_low_again(late) if late is not None and late.then else f"{lead}: {read_low_again(late)}"
    if late is not None:
        return f"take it out {late.how}{late.then}"
    if core is not None and over is not None:
        return f"take it out now: core {temperature(over.value_c, 0)}, {core.most} is the most"
    return None


def _take_out(state: BakeState, index: int) -> str:
    """``take it out, then cool``; of two bakes in a row the first is not taken out to cool; of loads, which one."""
    load = state.stage(index).load
    if load is not None and load[0] < load[1]:
        return f"take load {load[0]} of {load[1]} out, put load {load[0] + 1} in"
    nxt = state.stage(index + 1).kind if index + 1 < len(state.stages) else None
    return "take it out" + {"cool": ", then cool", "bake": ", then load again"}.get(nxt or "", "")
