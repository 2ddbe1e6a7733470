"""A bake by its core on a small terminal: how much longer, the key that takes it, and what stands first."""

from __future__ import annotations

from proofbell.app.reading.reading_dialog import ReadingDialog
from proofbell.bake import intents
from proofbell.bake.intents import Intent
from proofbell.bake.tasks import Skipped
from tests.support.kitchen_scene import app_on, empty_bench, in_the_oven, of, say
from tests.support.settling import settle, to_bench

MINUTE = 60.0


def core(value_c: float) -> Intent:
    return intents.Read("core temperature", f"{value_c:g}", raw=value_c, sure=True)


async def test_a_low_core_offers_longer_with_the_minutes_and_is_asked_again_then() -> None:
    live, clock = empty_bench()
    bake = await in_the_oven(live, clock, minutes=16)
    await say(live, bake, core(78.0))
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        shown = await settle(pilot, app)
        # From 78 to 88 °C: between 0.18 (80 → 90) and 0.34 (70 → 90) of the 16 min so far, by the published table.
        assert "▶ Core 78 °C, 88 wanted: 3 min longer (up to 5)" in shown
        assert "l  3 min longer   r  read it again" in shown
        await pilot.press("l")
        await settle(pilot, app)
        run = of(live, bake).stages[0]
        assert run.length_s == 19 * MINUTE
        told = (await settle(pilot, app)).partition("Next:")[0].partition("▶")[2]
        assert "core 78" not in told.lower()
        assert "3 min longer for its core." in told
        clock.forward(3 * MINUTE)
        app.tick()
        shown = await settle(pilot, app)
        assert "▶ Take it out, then cool, at 88 to 94 °C" in shown
        assert "inside; it was 78" in shown
        assert "r  enter the core   space  taken out" in shown


async def test_ending_with_a_low_core_asks_once() -> None:
    live, clock = empty_bench()
    bake = await in_the_oven(live, clock, minutes=16)
    await say(live, bake, core(78.0))
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("space")
        shown = await settle(pilot, app)
        assert "The core was 78.0 °C; it should be 88 °C or more" in shown
        assert of(live, bake).current == 0
        await pilot.press("y")
        await settle(pilot, app)
        assert of(live, bake).current == 1


async def test_the_reading_says_the_minutes_before_it_is_taken() -> None:
    live, clock = empty_bench()
    await in_the_oven(live, clock, minutes=16)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("r", "7", "8")
        shown = await settle(pilot, app)
        assert "Core 78.0 °C: not done yet; 88 to 94 °C." in shown
        assert "About 3 min longer (up to 5); read it again then." in shown


async def test_a_tray_that_nobody_turned_never_stands_before_taking_it_out() -> None:
    live, clock = empty_bench()
    bake = await in_the_oven(live, clock, minutes=10)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        assert "▶ Turn the tray" in await settle(pilot, app)
        clock.forward(6 * MINUTE)
        app.tick()
        shown = await settle(pilot, app)
        assert "▶ Take it out, then cool, at 88 to 94 °C inside" in shown
        assert "urn the tray" not in shown
        # The key that stands there takes it out, once it is said that nobody has read the core.
        await pilot.press("space")
        assert "The core was not read" in await settle(pilot, app)
        await pilot.press("y")
        await settle(pilot, app)
        assert of(live, bake).current == 1


async def test_a_bake_forgotten_in_the_oven_says_so_in_whole_words() -> None:
    live, clock = empty_bench()
    await in_the_oven(live, clock, minutes=28)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        shown = " ".join((await settle(pilot, app)).split())
        assert "Take it out at once: it may burn." in shown
        assert "Smoke? Oven off, door shut" in shown


async def test_a_core_over_its_band_is_to_be_taken_out_though_time_is_left() -> None:
    live, clock = empty_bench()
    bake = await in_the_oven(live, clock, minutes=13, check=True)
    await say(live, bake, core(97.0))
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        shown = await settle(pilot, app)
        assert "▶ Take it out now: core 97 °C, 94 is the most" in shown
        await pilot.press("space")
        await settle(pilot, app)
        assert of(live, bake).current == 1


async def test_a_core_that_is_due_with_the_end_asks_once_and_one_key_takes_the_bread_out_unread() -> None:
    live, clock = empty_bench()
    bake = await in_the_oven(live, clock, minutes=16, check=True)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        shown = await settle(pilot, app)
        assert "x out, not read" in shown
        await pilot.press("escape")
        shown = await settle(pilot, app)
        assert "▶ Read the core (88 to 94 °C), then take it out" in shown
        assert "r  enter the core   space  taken out" in shown
        await pilot.press("r")
        await settle(pilot, app)
        await pilot.press("x")
        await settle(pilot, app)
        assert of(live, bake).current == 1
        assert of(live, bake).stages[0].missed == ("core temperature",)
        assert "Taken out, the core not read." in await settle(pilot, app)


async def test_a_core_that_is_due_with_the_end_is_asked_about_before_the_bread_is_out_unread() -> None:
    live, clock = empty_bench()
    bake = await in_the_oven(live, clock, minutes=16, check=True)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        clock.forward(5)
        await pilot.press("space")
        shown = await settle(pilot, app)
        assert "The core was not read" in shown
        assert of(live, bake).current == 0
        await pilot.press("enter")
        await settle(pilot, app)
        assert of(live, bake).current == 1


async def test_a_core_that_was_said_to_be_skipped_is_not_asked_about_again() -> None:
    live, clock = empty_bench()
    bake = await in_the_oven(live, clock, minutes=16, check=True)
    (view,) = live.board().views
    await say(live, bake, intents.Task(Skipped(view.wants[0].id)))
    assert live.board().asks_first(of(live, bake)) == ()


async def test_a_reading_that_nobody_enters_makes_way_for_a_bake_that_is_late() -> None:
    live, clock = empty_bench()
    await in_the_oven(live, clock, minutes=16, check=True)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        assert isinstance(app.screen, ReadingDialog)
        clock.forward(2 * MINUTE)
        app.tick()
        shown = await settle(pilot, app)
        assert "▶ Take it out now" in shown
        assert "answered elsewhere" not in shown
