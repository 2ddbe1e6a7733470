"""What the one oven does at this moment, over all bakes, as far as it was told."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Literal

from proofbell.bake.asking.oven import oven_prompts
from proofbell.bake.asking.prompt import OvenBefore
from proofbell.bake.heats import first_heat_c, heat_said_c, hot_at_s
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.bench.board import Coming
from proofbell.bench.busy import Busy
from proofbell.bench.oven.heat import left_on_c
from proofbell.frozen import dataclass

Doing = Literal["baking", "hot", "heating", "kept", "left on", "off", "unused"]
_ORDER: dict[Doing, int] = {"baking": 0, "hot": 1, "heating": 2, "kept": 3, "left on": 4, "off": 5, "unused": 6}


@dataclass(frozen=True, slots=True)
class OvenNow:
    """``heat_c`` conventional °C; ``in_s`` until it is hot (heating) or wanted on (off).

    ``letter`` of the bake that is in it, or that it is kept, heated or wanted for.
    """

    doing: Doing
    heat_c: float | None = None
    in_s: float | None = None
    letter: str = ""


def oven_now(
    states: Sequence[BakeState],
    now: Stamp,
    before: Mapping[str, OvenBefore] | None = None,
    row: Sequence[Busy] = (),
    coming: Sequence[Coming] = (),
) -> OvenNow:
    """A bake that is in the oven speaks first, then one it is hot for, then heating, then the next that wants it.

    ``before``: for each bake (id) the one that has the oven before it, so that it is kept on in between. ``row``: the
    oven's day, in which bakes that still wait for their start want it, too. ``coming``: what is listed to come, at
    whose hours the oven is wanted on.
    """
    listed = {one.bake: (one.at_us - now.wall_us) / 1_000_000 for one in coming if one.prompt.kind == "oven on"}
    kept = {before[state.id].bake: state.letter for state in states if before and state.id in before}
    found = [
        replace(one, in_s=listed.get(state.id, one.in_s)) if one.doing == "off" else one
        for state in states
        if (one := _of(state, states, now, kept)) is not None
    ]
    found += [
        OvenNow("off", busy.heat_c, (busy.begin_us - now.wall_us) / 1_000_000, busy.letter)
        for busy in row
        if busy.use == "heating" and busy.begin_us > now.wall_us
    ]
    return min(found, key=lambda one: (_ORDER[one.doing], one.in_s or 0.0), default=OvenNow("unused"))


def _of(state: BakeState, states: Sequence[BakeState], now: Stamp, kept: Mapping[str, str]) -> OvenNow | None:
    if state.closed is not None:
        return _left_on(state, states, kept.get(state.id))
    now_s, index = state.now_s(now), state.current
    if index is not None and state.stage(index).kind == "bake":
        return OvenNow("baking", heat_said_c(state, index), letter=state.letter)
    nxt = next((i for i, run in enumerate(state.stages) if state.stage(i).kind == "bake" and run.begun_s is None), None)
    if nxt is None:
        return _left_on(state, states, kept.get(state.id))
    heat_c = first_heat_c(state, nxt)
    if heat_c is None:
        return None
    if state.done(OvenTask("oven hot", nxt)):
        return OvenNow("hot", heat_c, letter=state.letter)
    if state.done(OvenTask("oven on", nxt)):
        return OvenNow("heating", heat_c, max(0.0, hot_at_s(state, nxt, now_s) - now_s), state.letter)
    asked = oven_prompts(state, now_s=now_s)
    return OvenNow("off", heat_c, asked[0].due_s - now_s, state.letter) if asked else None


def _left_on(state: BakeState, states: Sequence[BakeState], kept_for: str | None) -> OvenNow | None:
    """Nobody has said that the oven is off after the last bake; ``kept_for`` the letter that needs it next."""
    heat_c = left_on_c(state, states)
    if heat_c is None:
        return None
    return OvenNow("kept" if kept_for else "left on", heat_c, letter=kept_for or state.letter)
