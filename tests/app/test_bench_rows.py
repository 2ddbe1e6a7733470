"""A dough is put elsewhere on the bench with one key; strips, keys and clicks follow."""

from __future__ import annotations

import re

from tests.support.kitchen_scene import FLAT, KNOTS, LOAF, app_on, empty_bench, put_on
from tests.support.settling import settle


def letters(shown: str) -> str:
    """The letters of the strips, from the top."""
    return "".join(re.findall(r"^[ !▸]([A-L]) [A-Z]", shown, re.MULTILINE))


async def test_the_dough_in_hand_goes_up_and_down_and_says_where_the_bench_ends() -> None:
    live, _clock = empty_bench()
    for formula in (KNOTS, LOAF, FLAT):
        await put_on(live, formula)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        app.bench.take(live.states[0].id)
        assert letters(await settle(pilot, app)) == "ABC"
        await pilot.press("greater_than_sign")
        shown = await settle(pilot, app)
        assert letters(shown) == "BAC"
        assert "A: one row lower." in shown
        await pilot.press("shift+down")
        assert letters(await settle(pilot, app)) == "BCA"
        await pilot.press("greater_than_sign")
        shown = await settle(pilot, app)
        assert letters(shown) == "BCA"
        assert "A is already at the bottom." in shown
        await pilot.press("j")
        await settle(pilot, app)
        assert app.bench.in_hand == live.states[1].id, "round the end: B stands at the top"
        await pilot.press("less_than_sign")
        assert "B is already at the top." in await settle(pilot, app)
        await pilot.press("k", "u")
        shown = await settle(pilot, app)

    assert letters(shown) == "BAC"
    assert "Undone: Moved to another row" in shown


async def test_a_click_takes_the_dough_that_stands_in_that_row() -> None:
    live, _clock = empty_bench()
    for formula in (KNOTS, LOAF):
        await put_on(live, formula)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        app.bench.take(live.states[0].id)
        await settle(pilot, app)
        await pilot.press("greater_than_sign")
        await settle(pilot, app)
        await pilot.click("Strips", offset=(3, 1))
        await settle(pilot, app)

        assert app.bench.in_hand == live.states[1].id


async def test_without_a_dough_nothing_is_moved() -> None:
    live, _clock = empty_bench()
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("escape")
        await settle(pilot, app)
        await pilot.press("less_than_sign")

        assert "No dough is selected" in await settle(pilot, app)
