"""The line on top of the bench: the oven as its own dial shows it."""

from __future__ import annotations

import pytest

from proofbell.bake import intents
from proofbell.bake.tasks import OvenTask
from proofbell.kitchen.model import Kitchen, Oven
from tests.support.bakes import house, opened
from tests.support.kitchen_scene import LOAF, app_on, empty_bench, of, proofing, put_on, say
from tests.support.settling import settle
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


async def test_the_key_for_the_oven_answers_its_bell_whichever_dough_is_in_hand() -> None:
    """Else the oven would be set for the dough in hand, and the one that rings would wait before a wrong one."""
    live, clock = empty_bench()
    rings = await proofing(live, clock)
    taken = intents.Read("dough temperature", "25", 25.0)
    await say(live, rings, taken, intents.Done(), intents.Done(), taken)
    other = await put_on(live, LOAF)
    await say(live, other, intents.Begin())
    clock.forward(45 * 60)
    app = app_on(live, real=clock)
    async with app.run_test(size=(100, 30)) as pilot:
        await settle(pilot, app)
        await pilot.press("escape")
        if app.bench.in_hand != other:
            await pilot.press("j")
        before = seen(app)
        await pilot.press("o")
        after = await settle(pilot, app)

    assert "A  oven on" in before
    assert [mark.task.kind for mark in of(live, rings).marks if isinstance(mark.task, OvenTask)] == ["oven on"]
    assert not of(live, other).marks
    assert "A: oven on" in after
