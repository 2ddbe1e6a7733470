"""A clock that somebody sets while the program runs."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake.events import ClockSet
from tests.support.bakes import at_first_proof
from tests.support.stage import live_kitchen


@pytest.mark.parametrize("by_s", [7200.0, -180_000.0, 2.0])
async def test_a_set_clock_is_logged_once_and_moves_no_countdown(by_s: float) -> None:
    live, clock = live_kitchen()
    bake = await at_first_proof(live, clock)
    clock.forward(600)
    before = live.board().of(bake)

    clock.now = replace(clock.now, wall_us=clock.now.wall_us + round(by_s * 1_000_000))
    await live.look_again()
    await live.look_again()

    state, after = live.state(bake), live.board().of(bake)
    assert state is not None
    assert before is not None
    assert after is not None
    assert [event.body for event in state.events if isinstance(event.body, ClockSet)] == [ClockSet(by_s)]
    assert after.seconds == before.seconds == 60 * 60


async def test_a_slow_drift_is_not_called_a_set_clock() -> None:
    live, clock = live_kitchen()
    bake = await at_first_proof(live, clock)

    clock.now = replace(clock.now, wall_us=clock.now.wall_us + 1_900_000)
    await live.look_again()

    state = live.state(bake)
    assert state is not None
    assert not any(isinstance(event.body, ClockSet) for event in state.events)
