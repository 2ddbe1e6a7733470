"""What heat a bake asks of the oven, and when an oven that is not yet hot will be."""

from __future__ import annotations

from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.dough.oven import change_s, setting
from proofbell.formula.model import Stage
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Oven


def on_the_dial(oven: Oven, heat_c: float) -> str:
    """What to set on an oven for a conventional temperature (°C): ``190 °C``, ``170 °C fan``, ``gas mark 5``.

    Whatever tells a heat, on a screen, on paper or in a log, has it from here.
    """
    table = [(line.conventional_c, line.dial) for line in oven.dial]
    return setting(heat_c, kind=oven.kind, fan_less_k=oven.fan_less_k, dial=table)


STEAM_IN = "with steam"
STEAM_OUT, STEAM_BURNS = "let the steam out by door or vent", "stand back, it burns"
"""Whatever tells of steam says it so, on a screen or on paper: common practice, no source."""

STEAM_OUT_BRIEF = "steam out"


def steam_words(stage: Stage, phase: int, out: str = STEAM_OUT) -> str:
    """What is done about steam as a later heat of a bake begins, behind that heat; nothing where there was none.

    ``out``: how it is said that it is let out.
    """
    if stage.phases[phase].steam:
        return f", {STEAM_IN}"
    return f", {out}: {STEAM_BURNS}" if stage.phases[phase - 1].steam else ""


def first_heat_c(state: BakeState, index: int) -> float | None:
    """The conventional temperature (°C) that a bake stage is loaded at."""
    stage = state.stage(index)
    return stage.phases[0].oven_c if stage.phases else state.formula.oven.temperature_c


def last_heat_c(state: BakeState, index: int) -> float | None:
    """The conventional temperature (°C) that a bake stage leaves the oven at."""
    stage = state.stage(index)
    return stage.phases[-1].oven_c if stage.phases else state.formula.oven.temperature_c


def kept_hot_c(state: BakeState, index: int) -> float | None:
    """The heat (°C) that the load before leaves the oven at for a bake; None for a first load, or before that is in."""
    load = state.stage(index).load
    if load is None or load[0] == 1 or state.stages[index - 1].begun_s is None:
        return None
    return last_heat_c(state, index - 1)


def heat_now_c(state: BakeState, index: int, now_s: float) -> float | None:
    """The conventional temperature (°C) of a bake stage that runs: that of its phase, by the formula's times."""
    into_s = now_s - (state.stages[index].begun_s or 0.0)
    heat_c = first_heat_c(state, index)
    for phase in state.stage(index).phases:
        heat_c = phase.oven_c
        if into_s < phase.time_s:
            break
        into_s -= phase.time_s
    return heat_c


def heat_said_c(state: BakeState, index: int) -> float | None:
    """The conventional temperature (°C) of a bake stage that runs: the last that somebody said to have set."""
    set_to = [
        phase.oven_c
        for n, phase in enumerate(state.stage(index).phases)
        if n and state.done(OvenTask("heat", index, n))
    ]
    return set_to[-1] if set_to else first_heat_c(state, index)


@dataclass(frozen=True, slots=True)
class LetGo:
    """When a bake let go of an oven that it had hot (the bake's own time, s), for which stage, at which heat (°C)."""

    at_s: float
    stage: int
    heat_c: float | None


def let_go(state: BakeState) -> LetGo | None:
    """The last time that a bake left a hot oven behind: taken out, or given up with the oven on for it."""
    found = [
        LetGo(run.ended_s, index, heat_said_c(state, index))
        for index, run in enumerate(state.stages)
        if run.ended_s is not None and state.stage(index).kind == "bake"
    ]
    if state.closed is not None:
        at_s = state.closed.at_s
        for index, run in enumerate(state.stages):
            if state.stage(index).kind != "bake" or run.ended_s is not None:
                continue
            if run.begun_s is not None:
                found.append(LetGo(at_s, index, heat_said_c(state, index)))
            elif state.done(OvenTask("oven on", index)) or state.done(OvenTask("oven hot", index)):
                found.append(LetGo(at_s, index, first_heat_c(state, index)))
    return max(found, key=lambda one: (one.at_s, one.stage), default=None)


def takes_s(state: BakeState, heat_c: float, from_c: float | None) -> float:
    """Seconds that this kitchen's oven takes to a heat (°C) from another; None: from cold."""
    oven = state.kitchen.oven
    from_c = state.kitchen.room_c if from_c is None else from_c
    return change_s(from_c, heat_c, heat_up=oven.heat_up_s, cool_down=oven.cool_down_s)


def hot_at_s(state: BakeState, index: int, now_s: float) -> float:
    """When the oven can be hot for a bake stage (the bake's own time, s), as far as it was told.

    Said to be hot: it is. Said to be on: so long after that. Never said to be on: so long after now.
    """
    heat_c = first_heat_c(state, index)
    if heat_c is None or state.done(OvenTask("oven hot", index)):
        return 0.0
    on = state.mark(OvenTask("oven on", index))
    return now_s + takes_s(state, heat_c, None) if on is None else on.at_s + takes_s(state, heat_c, on.from_c)
