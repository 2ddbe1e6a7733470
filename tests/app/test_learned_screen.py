"""What was learned, on screen, and where it is used."""

from __future__ import annotations

import re
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from proofbell.app.kitchen.kitchen_screen import KitchenScreen
from proofbell.app.session.live import Live
from proofbell.app.session.saving.journal_access import look_back
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.app.start.start_screen import StartScreen
from proofbell.bake import intents
from proofbell.journal.learning.evidence import evidence
from proofbell.journal.learning.habits import Habits
from proofbell.journal.learning.use import use
from tests.journal.generate import Truth, simulated_bakes
from tests.support.bakes import at_first_proof, house, said
from tests.support.settling import settled
from tests.support.stage import FORMULAS, HandClock, StageApp, live_kitchen, seen


@pytest.fixture
async def kept(tmp_path: Path) -> AsyncIterator[tuple[Live, HandClock]]:
    """A bench whose bakes go into a journal."""
    keeper = JournalKeeper(tmp_path / "journal.sqlite")
    yield live_kitchen(keeper=keeper)
    keeper.close()


async def warm_bakes(live: Live, clock: HandClock, count: int) -> None:
    """Bakes whose doughs came off the bench 2 °C warmer than the heat balance expected."""
    for number in range(count):
        bake = await at_first_proof(live, clock, f"warm-{number}")
        await said(live, bake, intents.Read("dough temperature", "27", 27.0))
        for seconds in (3300.0, 1200.0, 3000.0, 960.0, 1500.0):
            clock.forward(seconds)
            await said(live, bake, intents.Done())
        await live.put_away(bake)


async def test_without_bakes_the_kitchen_has_no_habits_yet(kept: tuple[Live, HandClock]) -> None:
    app = StageApp(KitchenScreen(kept[0], Path("kitchen.toml")))
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("l")
        await settled(pilot)
        shown = seen(app)

    assert "warming by kneading by hand" in shown
    assert "no bakes yet" in shown


async def test_a_dough_that_always_comes_out_warm_gets_cooler_milk_and_the_screen_says_why(
    kept: tuple[Live, HandClock],
) -> None:
    live, clock = kept
    await warm_bakes(live, clock, 4)
    app = StageApp(StartScreen(live, [FORMULAS / "harbour-knots.toml"]))
    async with app.run_test(size=(110, 36)) as pilot:
        await settled(pilot)
        shown = seen(app)
        await pilot.press("b")
        await settled(pilot)

    first, last = (await _batch(live, "warm-0")), live.states[-1].batch
    words = " ".join(shown.replace("│", " ").split())
    assert re.search(r"learned from \d+ bakes: warming by kneading by hand \d\.\d °C", words), words
    assert first is not None
    assert last.liquid_c is not None
    assert last.liquid_c < first - 1.0


async def _batch(live: Live, bake: str) -> float | None:
    return (await look_back(live, bake)).state.batch.liquid_c


async def test_a_bake_opens_in_the_kitchen_as_past_bakes_have_shown_it(monkeypatch: pytest.MonkeyPatch) -> None:
    live, _clock = live_kitchen()
    past = simulated_bakes(9, Truth(oven=1.5, pace=1.3), 12)
    habits = Habits([evidence(state) for state in past], live.kitchen)

    async def known(_: Live) -> Habits:
        return habits

    monkeypatch.setattr("proofbell.app.start.formula_sources.habits_of", known)
    app = StageApp(StartScreen(live, [FORMULAS / "harbour-knots.toml"]))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("b")
        await settled(pilot)

    assert live.states[-1].kitchen == use(habits, live.kitchen, house("harbour-knots")).kitchen != live.kitchen
    assert live.states[-1].formula == house("harbour-knots")
