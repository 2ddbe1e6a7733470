"""Whose turn the oven is: which bake has it before another, and after which nobody need turn it off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from proofbell.bake.asking.prompt import OvenBefore
from proofbell.bake.heats import let_go
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenTask
from proofbell.bench.oven.queue import Turn
from proofbell.bench.wall import wall_us


def oven_before(queue: Sequence[Turn], states: Sequence[BakeState], now: Stamp) -> dict[str, OvenBefore]:
    """For each bake (id) that another has the oven before: that one's heat, and when it is out.

    ``queue``: the turns of these bakes, as :func:`proofbell.bench.oven.queue.oven_queue` has them.
    """
    known, found = {state.id: state for state in states}, dict[str, OvenBefore]()
    for turn in queue:
        last = turn.before
        if turn.when != "coming" or turn.bake in found or last is None or last.out_c is None:
            continue
        until_s = known[turn.bake].now_s(now) + (last.end_us - now.wall_us) / 1_000_000
        found[turn.bake] = OvenBefore(last.out_c, until_s, last.bake, last.when == "now")
    return found


def oven_kept(
    states: Sequence[BakeState], queue: Sequence[Turn], before: Mapping[str, OvenBefore], now: Stamp
) -> frozenset[str]:
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
        or (s.id in holders and _another_first(s.id, queue, now))
    )


def _another_first(bake: str, queue: Sequence[Turn], now: Stamp) -> bool:
    """Whether another goes into the oven before the bake that it was turned on for."""
    own = next((n for n, turn in enumerate(queue) if turn.bake == bake and turn.when == "coming"), None)
    others = (turn for turn in queue[: own or 0] if turn.bake != bake)
    return any(now.wall_us < turn.end_us and not turn.off for turn in others)


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
