"""The keys for a rise that is short stand under its own question only."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from proofbell.app.reading.reading_dialog import ReadingDialog
from proofbell.bake import intents
from proofbell.bake.tasks import OvenTask
from proofbell.kitchen.model import Kitchen
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
    await say(live, bake, intents.Task(OvenTask("oven on", number + 1)))
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


async def test_the_dialog_says_how_short_a_rise_is_and_longer_takes_the_minutes_that_it_told() -> None:
    live, clock = empty_bench()
    bake = await put_on(live, "harbour-knots")
    await say(live, bake, intents.Begin())
    for _ in range(4):
        await say(live, bake, intents.Done())
    number = of(live, bake).current
    assert number is not None
    await say(
        live, bake, intents.Read("dough temperature", "25", raw=25.0), intents.Task(OvenTask("oven on", number + 1))
    )
    await say(live, bake, intents.Task(OvenTask("oven hot", number + 1)))
    clock.forward(of(live, bake).stages[number].length_s)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        shown = await settle(pilot, app)
        assert isinstance(app.screen, ReadingDialog), "the rise that is due is asked for"
        assert "50 to 75 %" in shown
        await pilot.press("4", "0")
        shown = " ".join((await settle(pilot, app)).replace("│", "").split())
        asked = re.search(r"Final proof (\d+) → (\d+) min, due ", shown)
        assert asked is not None, shown
        await pilot.press("enter")
        shown = await settle(pilot, app)
        assert of(live, bake).stages[number].length_s == int(asked[2]) * MINUTE
        assert "left, until" in shown
        # Judged again at its end, and short still, until the card grants no more: then the keys are offered.
        for value in ("42", "44"):
            clock.forward((of(live, bake).stages[number].due_s or 0.0) - of(live, bake).now_s(clock.stamp()))
            app.tick()
            await settle(pilot, app)
            await pilot.press(*value, "enter")
            shown = " ".join((await settle(pilot, app)).split())
        offered = re.search(r"l (\d+) min longer r judge it again", shown)
        assert offered is not None, shown
        before_s = of(live, bake).stages[number].length_s
        await pilot.press("l")
        await settle(pilot, app)
        assert of(live, bake).stages[number].length_s == pytest.approx(before_s + int(offered[1]) * MINUTE, abs=2)


async def test_an_oven_said_to_be_hot_as_it_is_turned_on_is_asked_about_once() -> None:
    """And so is a proof that would go into it with its rise not judged."""
    live, clock = empty_bench()
    bake = await put_on(live, "quay-pan-loaf")
    await say(live, bake, intents.Begin())
    index = [stage.name for stage in of(live, bake).formula.stages].index("Final proof")
    for _ in range(index):
        await say(live, bake, intents.Done())
    clock.forward(of(live, bake).stages[index].length_s + MINUTE)
    on, hot = OvenTask("oven on", index + 1), OvenTask("oven hot", index + 1)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        while app.screen is not app.bench:
            clock.forward(1)  # a reading that opened by itself takes no key before that
            await pilot.press("escape")
            await settle(pilot, app)
        await pilot.press("o")
        await settle(pilot, app)
        assert of(live, bake).done(on)
        await pilot.press("o")
        asked = await settle(pilot, app)
        assert not of(live, bake).done(hot)
        await pilot.press("escape", "o", "enter")
        await settle(pilot, app)
        assert of(live, bake).done(hot)
        clock.forward(1)
        await pilot.press("space")
        judge = await settle(pilot, app)
        assert of(live, bake).current == index
        await pilot.press("enter")
        await settle(pilot, app)

    words = " ".join(asked.replace("│", " ").split())
    assert re.search(r"It needs about \d+ min from cold. Is it hot already\?", words)
    assert "The rise is not judged." in " ".join(judge.replace("│", " ").split())
    assert of(live, bake).current == index + 1


async def test_a_chill_before_shaping_names_the_key_that_puts_it_there_and_asks_before_it_is_skipped() -> None:
    live, clock = empty_bench(kitchen=Kitchen(room_c=30.0))
    bake = await put_on(live, "harbour-knots")
    await say(live, bake, intents.Begin(), intents.Done(), intents.Done())
    await say(live, bake, intents.Read("dough temperature", "31", raw=31.0))
    clock.forward(50 * MINUTE)
    await say(live, bake, intents.Read("rise", "ready", eye="ready"))
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        seen = await settle(pilot, app)
        assert "▶ Chill it 20 to 30 min, then divide and tie" in seen
        assert "m  into the fridge   space  done" in seen
        await pilot.press("space")
        assert "It was not chilled for its butter." in await settle(pilot, app)
