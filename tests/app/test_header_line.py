"""The line on top of the bench: the oven as its own dial shows it."""

from __future__ import annotations

import pytest

from proofbell.bake import intents
from proofbell.bake.tasks import OvenTask
from proofbell.kitchen.model import Kitchen, Oven
from tests.support.bakes import house, opened
from tests.support.kitchen_scene import app_on
from tests.support.stage import live_kitchen, seen


@pytest.mark.parametrize(
    # The knots want 190 °C: 20 °C lower with a fan; gas mark 5 is 375 °F (sources in the tests of the oven).
    ("kind", "dial"),
    [("conventional", "190 °C"), ("fan", "170 °C fan"), ("gas", "gas mark 5")],
)
async def test_the_oven_is_said_as_its_dial_shows_it(kind: str, dial: str) -> None:
    live, _ = live_kitchen(Kitchen(oven=Oven(kind=kind)))  # type: ignore[arg-type]
    knots = house("harbour-knots")
    bake = await opened(live)
    at = next(index for index, stage in enumerate(knots.stages) if stage.kind == "bake")
    assert await live.say(bake, intents.Task(OvenTask("oven on", at))) is None
    app = app_on(live)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        header = seen(app).splitlines()[0]

    assert f"oven {dial} · hot in" in header


async def test_an_oven_that_a_given_up_bake_left_on_is_asked_about_and_not_said_to_be_off() -> None:
    live, _ = live_kitchen(Kitchen(oven=Oven(kind="fan")))
    bake = await opened(live)
    at = next(index for index, stage in enumerate(house("harbour-knots").stages) if stage.kind == "bake")
    for said in (intents.Begin(), intents.Task(OvenTask("oven on", at)), intents.GiveUp("dropped")):
        assert await live.say(bake, said) is None
    app = app_on(live)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        left_on = seen(app)
        await pilot.press("o")
        await app.workers.wait_for_complete()
        await pilot.pause()
        app.tick()
        await pilot.pause()
        turned_off = seen(app)

    assert "oven 170 °C fan · still on?" in left_on.splitlines()[0]
    assert "oven off" in left_on
    assert "o oven" in left_on.splitlines()[-1]
    assert "oven not in use" in turned_off.splitlines()[0]
    assert "oven off" not in turned_off
