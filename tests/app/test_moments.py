"""Where the dough was put and when, and a stage that ended a while ago, said at the bench's keys."""

from __future__ import annotations

from proofbell.app.session.live import Live, Nobody
from proofbell.bake.fermenting.place import place_c
from tests.support.kitchen_scene import GUESTHOUSE, app_on, of, proofing
from tests.support.settling import settle
from tests.support.stage import HandClock, seen


async def test_the_fridge_since_twenty_minutes_is_answered_with_take_out_and_what_follows() -> None:
    clock = HandClock()
    live = Live(clock, Nobody(), GUESTHOUSE)
    bake = await proofing(live, clock)
    clock.forward(30 * 60)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("escape", "m")
        await settle(pilot, app)
        assert "1 room 22 °C   2 fridge 4 °C" in seen(app)
        await pilot.press("2", "tab", "2", "0", "enter")
        await settle(pilot, app)
        state = of(live, bake)
        index = state.current or 0
        assert place_c(state, index) == 4.0
        assert state.stages[index].stood[-1].at_s == state.now_s(clock.stamp()) - 20 * 60
        assert "Fridge 4 °C: take it out at" in seen(app)
        assert "Fridge 4 °C: at take-out about" in seen(app)


async def test_a_stage_that_ended_a_while_ago_is_said_with_its_minutes() -> None:
    clock = HandClock()
    live = Live(clock, Nobody(), GUESTHOUSE)
    bake = await proofing(live, clock)
    before = of(live, bake).current or 0
    clock.forward(30 * 60)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("escape", "e")
        await settle(pilot, app)
        await pilot.press("9", "0", "enter")
        await settle(pilot, app)
        assert of(live, bake).current == before
        assert "began 30 min ago" in seen(app)
        # What was typed stands there yet, to be put right.
        await pilot.press("backspace", "backspace", "1", "0", "enter")
        await settle(pilot, app)
        state = of(live, bake)
        assert state.current == before + 1
        assert state.stages[before + 1].begun_s == state.now_s(clock.stamp()) - 10 * 60
