"""The keys for a rise that is short stand under its own question only."""

from __future__ import annotations

from dataclasses import replace

from proofbell.bake import intents
from proofbell.bake.tasks import oven_on_task
from tests.support.kitchen_scene import app_on, empty_bench, formula, of, put_on, say
from tests.support.settling import settle

MINUTE = 60.0


async def test_a_question_about_the_oven_is_not_answered_by_the_keys_of_a_short_rise() -> None:
    live, clock = empty_bench()
    knots = formula("harbour-knots")
    knots = replace(knots, stages=tuple(replace(stage, checks=()) for stage in knots.stages))
    bake = await put_on(live, knots)
    await say(live, bake, intents.Begin())
    for _ in range(4):
        await say(live, bake, intents.Done())
    number = of(live, bake).current
    assert number is not None
    assert knots.stages[number].name == "Final proof"
    clock.forward(30 * MINUTE)
    await say(live, bake, intents.Task(oven_on_task(number + 1)))
    clock.forward(38 * MINUTE)
    # The card allows two minutes more, and the dough wants longer; the oven has been hot for a while.
    await say(live, bake, intents.Read("rise", "40", raw=40.0, sure=True))
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        shown = await settle(pilot, app)
        assert "▶ Is the oven hot? 190 °C" in shown
        assert "longer   r  judge it again" not in shown
        assert "space  done" in shown
        await pilot.press("space")
        clock.forward(3 * MINUTE)
        app.tick()
        shown = await settle(pilot, app)
        assert "▶ Rise 40 %, 50 % wanted" in shown
        assert "longer   r  judge it again" in shown
