"""The oven's key asks before it takes an oven as on hours early, and turns it off again until its hour."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake import intents
from proofbell.bake.tasks import OvenTask
from tests.support.kitchen_scene import app_on, empty_bench, formula, of, put_on, say
from tests.support.settling import settle

MINUTE = 60.0


async def test_the_ovens_key_asks_hours_early_and_then_turns_it_off_until_its_hour() -> None:
    live, clock = empty_bench()
    knots = formula("harbour-knots")
    knots = replace(knots, stages=tuple(replace(stage, checks=()) for stage in knots.stages))
    bake = await put_on(live, knots)
    await say(live, bake, intents.Begin(), intents.Done(), intents.Done())
    index = next(i for i, stage in enumerate(knots.stages) if stage.kind == "bake")
    on, hot = OvenTask("oven on", index), OvenTask("oven hot", index)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("o")
        asked = await settle(pilot, app)
        assert not of(live, bake).done(on)
        clock.forward(1)
        await pilot.press("enter")
        await settle(pilot, app)
        assert of(live, bake).done(on)
        clock.forward(30 * MINUTE)
        await say(live, bake, intents.Task(hot))
        waits = await settle(pilot, app)
        await pilot.press("o")
        off = await settle(pilot, app)

    assert "the oven needs 23 min" in asked
    assert "▶ Oven off until" in waits
    assert not of(live, bake).done(on)
    assert not of(live, bake).done(hot)
    assert "oven off · on in" in off


async def test_the_ovens_key_means_what_comes_next_of_all_whichever_dough_is_in_hand() -> None:
    live, clock = empty_bench()
    knots = formula("harbour-knots")
    knots = replace(knots, stages=tuple(replace(stage, checks=()) for stage in knots.stages))
    near, late = await put_on(live, knots), await put_on(live, replace(knots, name="Late knots"))
    for minutes in (6, 10, 70, 20):
        await say(live, near, intents.Begin() if minutes == 6 else intents.Done())
        clock.forward(minutes * MINUTE)
    await say(live, near, intents.Done())
    await say(live, late, intents.Begin())
    index = next(i for i, stage in enumerate(knots.stages) if stage.kind == "bake")
    on = OvenTask("oven on", index)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("j")
        assert "Late knots" in await settle(pilot, app)
        await pilot.press("o")
        said = await settle(pilot, app)

    assert of(live, near).done(on), said
    assert not of(live, late).done(on)
