"""The line on top of the bench: the oven as its own dial shows it."""

from __future__ import annotations

import pytest

from proofbell.bake import intents
from proofbell.bake.tasks import oven_on_task
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
    assert await live.say(bake, intents.Task(oven_on_task(at))) is None
    app = app_on(live)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        header = seen(app).splitlines()[0]

    assert f"oven {dial} · hot in" in header
