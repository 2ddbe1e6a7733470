"""With bread in the oven its key goes to what that bread wants, and asks before it changes the heat for another."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.app.session.live import Live
from proofbell.bake import intents
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import OvenKind, OvenTask
from proofbell.formula.model import OvenWish
from tests.support.kitchen_scene import app_on, empty_bench, formula, of, put_on, say
from tests.support.settling import settle
from tests.support.stage import HandClock

BAKE = 5


async def one_in_another_to_come() -> tuple[Live, HandClock, str, str]:
    """Knots in the oven at 190 °C, their tray to be turned after 9 min, and a hotter dough in its final proof."""
    live, clock = empty_bench()
    knots = formula("harbour-knots")
    knots = replace(knots, stages=tuple(replace(stage, checks=()) for stage in knots.stages))
    there = await put_on(live, knots)
    await say(live, there, intents.Begin(), *(intents.Done() for _ in range(5)))
    hotter = await put_on(live, replace(knots, oven=OvenWish(220.0)))
    await say(live, hotter, intents.Begin(), *(intents.Done() for _ in range(4)))
    return live, clock, there, hotter


def done(state: BakeState, what: OvenKind) -> bool:
    return state.done(OvenTask(what, BAKE))


@pytest.mark.parametrize(("minutes", "turned"), [(1, False), (8.7, True)])
async def test_the_ovens_key_is_for_the_bread_in_it_and_asks_before_another_heat(minutes: float, turned: bool) -> None:  # noqa: FBT001
    live, clock, there, hotter = await one_in_another_to_come()
    clock.forward(minutes * 60)
    app = app_on(live)
    async with app.run_test(size=(100, 24)) as pilot:
        await settle(pilot, app)
        app.bench.take(hotter)
        await settle(pilot, app)
        await pilot.press("o")
        shown = await settle(pilot, app)

    assert done(of(live, there), "turn") == turned
    assert not done(of(live, hotter), "oven on")
    assert ("A is in the oven at 190 °C until" in shown) != turned
    assert ("Up to 220 °C already?" in shown) != turned
