"""Whatever somebody writes into a formula or a note, no screen breaks, and no control character reaches a terminal."""

from __future__ import annotations

import unicodedata
from dataclasses import replace

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from proofbell.bake import intents
from proofbell.formula.model import Formula
from tests.support.kitchen_scene import KNOTS, app_on, empty_bench, formula, put_on, say
from tests.support.stage import seen

NASTY = st.one_of(
    st.text(min_size=1, max_size=60),
    st.lists(
        st.sampled_from(
            ["[/oops]", "[bold]", "[@click=app.quit]", "\x1b[2J", "\x07", "\u202e", "面包", "🥖", "e\u0301", "$x", "\\"]
        ),
        min_size=1,
        max_size=8,
    ).map("".join),
)


def named(text: str) -> Formula:
    """The knots with that text wherever a formula has some."""
    whole = formula(KNOTS)
    stages = tuple(replace(stage, name=text, text=text) for stage in whole.stages)
    lines = tuple(replace(line, name=f"{text}{number}") for number, line in enumerate(whole.ingredients))
    return replace(whole, name=text, about=text, stages=stages, ingredients=lines)


@settings(max_examples=4, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(NASTY)
@example("Rye [/oops]")
@example("\x1b]0;title\x07\x1b[31m")
async def test_no_name_breaks_a_screen(text: str) -> None:
    live, clock = empty_bench()
    bake = await put_on(live, named(text))
    await say(live, bake, intents.Begin())
    if text.strip():
        await say(live, bake, intents.AddNote(text))
    clock.forward(400)
    await say(live, bake, intents.Done())
    clock.forward(700)
    await say(live, bake, intents.Done())
    app = app_on(live)
    screens: list[str] = []
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        app.tick()
        await pilot.pause()
        screens.append(seen(app))
        app.pop_screen()
        await pilot.pause()
        for action in ("log", "far", "weigh_out", "give_up", "note", "help", "reading"):
            await app.bench.run_action(action)
            await pilot.pause()
            assert app.screen is not app.bench, action
            screens.append(seen(app))
            app.pop_screen()
            await pilot.pause()

    shown = "".join(screens).replace("\n", "")
    assert not {c for c in shown if unicodedata.category(c) in {"Cc", "Cs", "Co", "Cn"} or c in "\u202e\u2066\u2067"}
