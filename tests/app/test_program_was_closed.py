"""A program that was closed while a dough was on says from when to when, and that every time counts it."""

from __future__ import annotations

from dataclasses import replace

from proofbell.app.session.bench_states import came_back
from proofbell.app.session.time_in_doubt import TOLD_S
from proofbell.bake import intents
from tests.support.kitchen_scene import app_on, empty_bench, proofing, say
from tests.support.settling import settle, to_bench

CLOSED = "The program was closed from 09:46 to 09:54"


async def test_it_is_told_for_a_while_and_again_when_somebody_asks() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    clock.forward(8 * 60)
    await say(live, bake, intents.Back(8 * 60.0))
    app = app_on(live, real=clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        shown = await settle(pilot, app)
        clock.forward(TOLD_S + 1)
        app.tick()
        later = await settle(pilot, app)
        await pilot.press("escape", "T")
        told = await settle(pilot, app)

    assert f"{CLOSED}; the clock went on." in shown
    assert "The program was closed" not in later
    assert f"{CLOSED}; the times count that." in told


async def test_a_program_that_was_only_started_anew_says_nothing() -> None:
    live, clock = empty_bench()
    await say(live, await proofing(live, clock), intents.Back(5.0))
    app = app_on(live, real=clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        shown = await settle(pilot, app)
        await pilot.press("T")
        told = await settle(pilot, app)

    assert "The program was closed" not in shown
    assert "No time is in doubt" in told


async def test_a_clock_that_was_set_before_the_power_went_is_no_time_away() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    seen = clock.now
    clock.now = replace(clock.now, wall_us=clock.now.wall_us + 3_600_000_000, boot_us=clock.now.boot_us + 5_000_000)
    await say(live, bake, intents.Look())
    clock.now = replace(clock.now, wall_us=clock.now.wall_us + 20_000_000, boot_us=8_000_000, boot_id="boot-2")
    said = came_back(live.states[0], seen, clock.now)

    assert said.away_s == 20
