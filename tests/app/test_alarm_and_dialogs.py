"""What rings while a dialog is open, and which dough's reading opens by itself."""

from __future__ import annotations

import pytest

from proofbell.app.reading.reading_dialog import ReadingDialog
from proofbell.app.session.live import Live
from proofbell.bake import intents
from proofbell.bake.tasks import Skipped
from tests.support.kitchen_scene import KNOTS, LOAF, app_on, empty_bench, of, proofing, put_on, say
from tests.support.settling import settle, to_bench
from tests.support.stage import HandClock, seen


async def in_the_oven(live: Live, clock: HandClock, what: str) -> str:
    """A dough that bakes."""
    bake = await put_on(live, what)
    await say(live, bake, intents.Begin())
    while (stage := of(live, bake).current) is not None and of(live, bake).stage(stage).kind != "bake":
        clock.forward(of(live, bake).stages[stage].length_s)
        for prompt in live.board().views[-1].wants:
            if prompt.kind == "check" and prompt.id.stage == stage:
                await say(live, bake, intents.Task(Skipped(prompt.id)))
        await say(live, bake, intents.Done())
    return bake


@pytest.mark.parametrize("width", [60, 80, 120])
@pytest.mark.parametrize(("key", "words"), [("r", "enter take"), ("n", "enter save"), ("question_mark", "esc back")])
async def test_what_rings_stands_whole_beside_every_dialog(width: int, key: str, words: str) -> None:
    live, clock = empty_bench()
    await in_the_oven(live, clock, LOAF)
    await put_on(live, KNOTS)
    app = app_on(live)
    async with app.run_test(size=(width, 24)) as pilot:
        await to_bench(pilot, app)
        app.bench.take("bake-2")
        await pilot.press(key)
        clock.forward(3 * 3600)
        await settle(pilot, app)
        shown = " ".join(seen(app).split())

    assert words in shown
    assert "take it out at once: it may burn. Smoke? Oven off, door shut" in shown


async def test_what_bakes_is_asked_about_before_a_rise_and_stands_first_in_what_rings() -> None:
    live, clock = empty_bench()
    rising = await proofing(live, clock)
    baking = await in_the_oven(live, clock, LOAF)
    index = of(live, baking).current
    assert index is not None
    clock.forward(of(live, baking).stages[index].length_s + 60)
    board = live.board()
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        assert isinstance(app.screen, ReadingDialog)
        title = str(app.screen.query_one(".dialog").border_title)

    assert {ring.bake for ring in board.rings} == {rising, baking}
    assert board.rings[0].bake == baking
    assert board.urgent == baking
    assert title.startswith("Reading · B")
