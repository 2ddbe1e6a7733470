"""Whose turn the oven is: which bake has it before another, and after which nobody need turn it off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from proofbell.bake.asking.prompt import OvenBefore
from proofbell.bake.heats import first_heat_c, last_heat_c, let_go
from proofbell.bake.outlook import next_bake, outlook
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.bench.wall import wall_us
from proofbell.dough.oven import cool_down_s, heat_up_s
from proofbell.frozen import dataclass
from proofbell.kitchen.model import Oven

LEAST_OFF_S = 10 * 60
"""For less than this an oven is not turned off: common practice, no source."""

SHUT_SLOWER = 2.0
"""An oven cools so many times slower with its door shut than with it ajar: common practice, no source."""


def least_off_s(oven: Oven, from_c: float, to_c: float) -> float:
    """For less than so long (s) an oven is not turned off between two heats (conventional °C), before it heats afresh.

    One that would still be hotter than it is wanted next is turned down. Bench and plan go by the same.
    """
    cools_s = SHUT_SLOWER * cool_down_s(from_c, to_c, cool_down_s=oven.cool_down_s)
    return max(LEAST_OFF_S, cools_s)


def oven_before(states: Sequence[BakeState], now: Stamp) -> dict[str, OvenBefore]:
    """For each bake (id) that another has the oven before: that one's heat, and when it is out.

    A gap longer than heating up afresh is not bridged: the oven is off in between, if that is worth it and it cools.
    """
    turns = sorted(
        (turn for state in states for turn in _turns(state, now)), key=lambda turn: (turn.begin_us, turn.letter)
    )
    found: dict[str, OvenBefore] = {}
    for state in states:
        coming = next_bake(state, state.now_s(now))
        heat_c = None if coming is None else first_heat_c(state, coming[0])
        if coming is None or heat_c is None:
            continue
        begin_us = wall_us(state, coming[1], now)
        earlier = [
            turn for turn in turns if turn.bake != state.id and (turn.begin_us, turn.letter) < (begin_us, state.letter)
        ]
        fresh_s = heat_up_s(state.kitchen.room_c, heat_c, heat_up_s=state.kitchen.oven.heat_up_s)
        off_s = least_off_s(state.kitchen.oven, earlier[-1].heat_c, heat_c) if earlier else 0.0
        if earlier and begin_us - earlier[-1].end_us < (fresh_s + off_s) * 1_000_000:
            until_s = state.now_s(now) + (earlier[-1].end_us - now.wall_us) / 1_000_000
            found[state.id] = OvenBefore(earlier[-1].heat_c, until_s, earlier[-1].bake, earlier[-1].inside)
    return found


def oven_kept(states: Sequence[BakeState], before: Mapping[str, OvenBefore], now: Stamp) -> frozenset[str]:
    """The bakes after which nobody need turn the oven off.

    Another has it, or comes before it is worth heating afresh; or another was out later, and is asked instead.
    """
    bridged = {one.bake for one in before.values()}
    holders = [state.id for state in states if holds_oven(state)]
    out_us = {state.id: end_us for state in states if (end_us := _out_us(state, now)) is not None}
    last = max(out_us, key=lambda bake: (out_us[bake], bake), default=None)
    return frozenset(
        s.id
        for s in states
        if s.id in bridged
        or any(holder != s.id for holder in holders)
        or (s.id in out_us and s.id != last)
        or (s.id in holders and _another_first(s, states, now))
    )


def _another_first(state: BakeState, states: Sequence[BakeState], now: Stamp) -> bool:
    """Whether another goes into the oven before the bake that it was turned on for."""
    coming = next_bake(state, state.now_s(now))
    if coming is None:
        return False
    begin_us = wall_us(state, coming[1], now)
    others = (turn for other in states if other.id != state.id for turn in _turns(other, now))
    return any(now.wall_us < turn.end_us and turn.begin_us < begin_us for turn in others)


def _out_us(state: BakeState, now: Stamp) -> int | None:
    """When a bake last let go of the oven (UTC, µs)."""
    left = let_go(state)
    return None if left is None else wall_us(state, left.at_s, now)


def holds_oven(state: BakeState) -> bool:
    """Whether a bake is in the oven, or somebody has turned it on for it."""
    if state.closed is not None:
        return False
    return any(
        state.stage(i).kind == "bake"
        and run.ended_s is None
        and (run.begun_s is not None or state.done(OvenTask("oven on", i)))
        for i, run in enumerate(state.stages)
    )


@dataclass(frozen=True, slots=True)
class _Turn:
    """A bake in the oven, before, now or to come (UTC, µs), and the heat it leaves until somebody turns it off.

    ``inside``: it is in the oven now.
    """

    bake: str
    letter: str
    begin_us: int
    end_us: int
    heat_c: float
    inside: bool


def _turns(state: BakeState, now: Stamp) -> list[_Turn]:
    if not state.begun:
        return []
    # Of a bake that is over only what was in the oven counts.
    return [
        _Turn(
            state.id,
            state.letter,
            wall_us(state, span.begin_s, now),
            wall_us(state, span.end_s, now),
            heat_c,
            span.when == "now",
        )
        for span in outlook(state, state.now_s(now), lit=True)
        if span.kind == "bake"
        and (state.closed is None or state.stages[span.stage].begun_s is not None)
        and not state.done(OvenTask("oven off", span.stage))
        and (heat_c := last_heat_c(state, span.stage)) is not None
    ]
