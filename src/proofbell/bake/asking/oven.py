"""What a bake asks about its oven: on, hot, another heat, a tray to turn, off."""

from __future__ import annotations

from proofbell.bake.advice.oven_waits import oven_waits
from proofbell.bake.asking.looking_again import oven_wanted_s
from proofbell.bake.asking.oven_due import wanted_since_s
from proofbell.bake.asking.prompt import OvenBefore, Prompt
from proofbell.bake.heats import (
    STEAM_OUT,
    STEAM_OUT_BRIEF,
    first_heat_c,
    kept_hot_c,
    let_go,
    on_the_dial,
    steam_words,
    takes_s,
)
from proofbell.bake.outlook import next_bake
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask, prompt_of
from proofbell.formula.model import Stage

AS_IT_ENDS_S = 60.0
"""So near its end a bake is taken out, and neither turned nor given another heat: common practice, no source."""

SAME_HEAT_S = 60.0
"""A change of heat that takes less than this is none."""


def in_oven(state: BakeState, index: int, stage: Stage, begun_s: float, length_s: float) -> list[Prompt]:
    """While a bake is in the oven for so long (s): a tray to turn, a later heat to set; nothing as it comes out."""
    found: list[Prompt] = []
    turn = OvenTask("turn", index)
    if stage.turn_s is not None and stage.turn_s <= length_s - AS_IT_ENDS_S and not state.done(turn):
        found.append(_for(turn, begun_s + stage.turn_s, "turn the tray"))
    into_s = 0.0
    for number, phase in enumerate(stage.phases):
        task = OvenTask("heat", index, number)
        if number and into_s <= length_s - AS_IT_ENDS_S and not state.done(task):
            heat = f"oven to {dial(state, phase.oven_c)}"
            words, brief = (f"{heat}{steam_words(stage, number, out)}" for out in (STEAM_OUT, STEAM_OUT_BRIEF))
            found.append(_for(task, begun_s + into_s, words, "" if brief == words else brief))
        into_s += phase.time_s
    return found


def _for(task: OvenTask, due_s: float, words: str, brief: str = "") -> Prompt:
    return Prompt(prompt_of(task), due_s, words, task, brief=brief)


def dial(state: BakeState, heat_c: float) -> str:
    """What to set on this kitchen's oven for a conventional temperature (°C)."""
    return on_the_dial(state.kitchen.oven, heat_c)


def oven_prompts(state: BakeState, before: OvenBefore | None = None, now_s: float | None = None) -> list[Prompt]:
    """Oven on, in time to be hot as the proof ends, moving with the proof, also when it runs over; then: is it hot?

    After another bake the heat goes up or down instead, once somebody has said that it is out, whatever the clock says;
    at the same heat nothing is asked.
    """
    coming = next_bake(state)
    if coming is None:
        return []
    index, begins_s = coming
    heat_c = first_heat_c(state, index)
    if heat_c is None:
        return []
    on, hot = OvenTask("oven on", index), OvenTask("oven hot", index)
    kept_c = kept_hot_c(state, index)
    if kept_c is not None:
        before = OvenBefore(kept_c, begins_s, state.id)
    if state.done(hot):
        return []
    mark = state.mark(on)
    if mark is not None:
        hot_s = mark.at_s + takes_s(state, heat_c, mark.from_c)
        return [_for(hot, hot_s, f"is the oven hot? {dial(state, heat_c)}")]
    needs_s = takes_s(state, heat_c, None if before is None else before.heat_c)
    early_s = oven_wanted_s(state, now_s)
    early = early_s is not None and early_s < begins_s
    by_s = early_s if early and early_s is not None else begins_s
    if before is None:
        on_s = max(wanted_since_s(state, by_s - needs_s, begins_s - needs_s), state.begun_s or 0.0)
        on_s = on_s if early else _moved_on(state, on_s, needs_s, now_s)
        return [_for(on, on_s, f"oven on, {dial(state, heat_c)}")]
    if needs_s < SAME_HEAT_S:
        return []
    at_s = max(wanted_since_s(state, by_s - needs_s, begins_s - needs_s), before.until_s)
    at_s = at_s if early else _moved_on(state, at_s, needs_s, now_s)
    if before.inside and now_s is not None and at_s <= now_s:
        return []
    way = "up" if heat_c > before.heat_c else "down"
    return [_for(OvenTask("oven on", index, from_c=before.heat_c), at_s, f"oven {way} to {dial(state, heat_c)}")]


def _moved_on(state: BakeState, on_s: float, needs_s: float, now_s: float | None) -> float:
    """When to turn the oven on while a stage runs over: later, as long as there is time for it after that stage.

    Where there is not, it stays where it was, so that what was silenced keeps silent.
    """
    coming = None if now_s is None else next_bake(state, now_s)
    if coming is None or now_s is None:
        return on_s
    moved_s = coming[1] - needs_s
    return max(on_s, moved_s) if moved_s > now_s else on_s


def off_meanwhile(state: BakeState, now_s: float | None) -> list[Prompt]:
    """An oven that was turned on long before its bread goes in is turned off until it is to be heated again.

    Not asked while hands are on the dough: they end their stage by the same key.
    """
    waits = None if now_s is None else oven_waits(state, now_s)
    if now_s is None or waits is None or not waits.off or any(state.stage(i).kind == "hands" for i in state.running):
        return []
    off, on_s = OvenTask("oven off", waits.stage), now_s + waits.gap_s - waits.heat_s
    return [Prompt(prompt_of(off), min(now_s, waits.hot_s), "oven off", off, until_s=on_s)]


def oven_off(state: BakeState) -> list[Prompt]:
    """After the last bake stage, or when a bake is given up, an oven is still hot; somebody has to turn it off."""
    left = let_go(state)
    if left is None or left.heat_c is None or state.done(OvenTask("oven off", left.stage)):
        return []
    last = max(i for i, stage in enumerate(state.formula.stages) if stage.kind == "bake")
    if state.closed is None and left.stage != last:
        return []
    inside = given_up_inside(state) == left.stage
    words = "take it out with dry cloths, then oven off" if inside else "oven off"
    return [_for(OvenTask("oven off", left.stage), left.at_s, words)]


def given_up_inside(state: BakeState) -> int | None:
    """The bake stage in which a bake was given up, with its bread still in the oven; None where there is none."""
    index = state.current
    if state.closed is None or state.closed.outcome != "given up" or index is None:
        return None
    inside = state.stage(index).kind == "bake" and state.stages[index].ended_s is None
    return index if inside and not state.done(OvenTask("oven off", index)) else None
