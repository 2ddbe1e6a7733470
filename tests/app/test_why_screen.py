"""Why a proof takes as long as it does, and what would be if."""

from __future__ import annotations

import itertools
import re
from dataclasses import replace

import pytest

from proofbell.app.weigh.why_screen import WhyScreen
from proofbell.bake import intents
from tests.support.bakes import at_first_proof, opened, said
from tests.support.kitchen_scene import formula, put_on
from tests.support.stage import StageApp, live_kitchen, seen


async def test_the_working_follows_the_reading_of_the_stage_in_hand() -> None:
    live, clock = live_kitchen()
    bake = await at_first_proof(live, clock)
    await said(live, bake, intents.Read("dough temperature", "27", 27.0))
    app = StageApp(WhyScreen(live, bake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        shown = seen(app)

    assert "Time of First proof" in shown
    assert "This dough read 27.0 °C at the start" in shown
    assert "First proof is 55 min long now; the formula has 1 h 10 min." in shown
    assert "26 °C or warmer" in shown


async def test_what_if_answers_in_both_directions() -> None:
    live, clock = live_kitchen()
    bake = await at_first_proof(live, clock)
    app = StageApp(WhyScreen(live, bake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("tab", *"25", "tab", *"21", "tab", *"70", "space", *"min")
        await pilot.pause()
        shown = seen(app)

    assert "dough 25.0 °C in 21.0 °C: 1 h 10 min" in shown
    assert "in a place of 21.0 °C" in shown


async def test_a_wrong_number_is_answered_beside_its_field() -> None:
    live, clock = live_kitchen()
    app = StageApp(WhyScreen(live, await at_first_proof(live, clock)))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("tab", *"250")
        await pilot.pause()
        shown = seen(app)

    assert "not between" in shown


async def test_a_finished_bake_has_nothing_left_to_ask() -> None:
    live, _ = live_kitchen()
    bake = await opened(live)
    await said(live, bake, intents.GiveUp("the oven broke"))
    app = StageApp(WhyScreen(live, bake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()

        assert "Nothing that ferments is left" in seen(app)


async def test_a_retard_is_told_when_to_take_the_dough_out() -> None:
    live, clock = live_kitchen()
    app = StageApp(WhyScreen(live, await at_first_proof(live, clock)))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "into 4 °C now: when to take it out" in seen(app)
        await pilot.press(*["tab"] * 4, *"80", "space", *"min")
        await pilot.pause()
        shown = seen(app)
        await pilot.press(*["backspace"] * 6, *"20", "space", *"min")
        await pilot.pause()
        hurried = seen(app)
        await pilot.press(*["backspace"] * 6, *"9", "space", *"h")
        await pilot.pause()
        forgotten = seen(app)

    assert re.search(r"out after about .*; \d+ °C inside when ready", shown)
    assert "ready before that even if it stays in 4.0 °C" in forgotten
    assert "not even if taken out at once" in hurried


@pytest.mark.parametrize("width", [60, 80, 120])
async def test_a_number_stays_with_its_unit_and_what_runs_over_is_set_in(width: int) -> None:
    live, clock = live_kitchen()
    bake = await at_first_proof(live, clock)
    await said(live, bake, intents.Read("dough temperature", "27", 27.0))
    app = StageApp(WhyScreen(live, bake))
    async with app.run_test(size=(width, 50)) as pilot:
        await pilot.pause()
        lines = [line.rstrip("▁▂▃▄▅▆▇█ ") for line in seen(app).splitlines()]

    begun = next(n for n, line in enumerate(lines) if "The formula's 1 h 10 min is for a dough" in line)
    assert lines[begun + 1].startswith("   ")
    for line, after in itertools.pairwise(lines[: lines.index(" What if")]):
        assert not (line[-1:].isdigit() and after.strip().startswith(("°C", "min", "h ", "%"))), (line, after)


async def test_what_if_says_that_the_cold_is_a_guess_and_answers_the_length_that_holds() -> None:
    live, clock = live_kitchen()
    app = StageApp(WhyScreen(live, await at_first_proof(live, clock)))
    async with app.run_test(size=(80, 30)) as pilot:
        await pilot.pause()
        warm = seen(app)
        await pilot.press("tab", *"9", "tab", *"6")
        await pilot.pause()
        cold = seen(app)

    assert re.search(r"ready in     \[1 h 10 min\s*\] in a place of \d+\.\d °C", warm)
    assert "rough guess" not in warm
    assert "a rough guess, so cold or so warm" in " ".join(cold.split())


async def test_a_move_stands_on_the_page_even_where_nothing_tells_how_warm_the_dough_should_be() -> None:
    live, _ = live_kitchen()
    knots = formula("harbour-knots")
    stages = tuple(replace(each, adjust=None) for each in knots.stages)
    bake = await put_on(live, replace(knots, dough=replace(knots.dough, temperature_c=None), stages=stages))
    await said(live, bake, intents.Begin(), intents.Done(), intents.Done(), intents.Move("fridge"))
    app = StageApp(WhyScreen(live, bake))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        shown = seen(app)

    assert "Fridge 4 °C: its time stays as it was." in shown
    assert "the formula does not say how warm its dough should be" in " ".join(shown.split())
