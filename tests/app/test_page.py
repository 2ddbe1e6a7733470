"""What all pages share: what rings is said on each, and every action of the registry is there."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from proofbell.app.journal.bake_screen import BakeScreen
from proofbell.app.journal.compare_screen import CompareScreen
from proofbell.app.journal.journal_screen import JournalScreen
from proofbell.app.journal.learned_screen import LearnedScreen
from proofbell.app.kitchen.kitchen_screen import KitchenScreen
from proofbell.app.kitchen.probe_screen import ProbeScreen
from proofbell.app.plan.plan_screen import PlanScreen
from proofbell.app.start.start_screen import StartScreen
from proofbell.app.weigh.weigh_screen import WeighScreen
from proofbell.app.weigh.why_screen import WhyScreen
from proofbell.app.widgets.actions import of_screen
from proofbell.app.widgets.page import Page
from tests.support.bakes import at_first_proof
from tests.support.stage import StageApp, live_kitchen, seen

PAGES: list[type[Page]] = [
    StartScreen,
    WeighScreen,
    WhyScreen,
    KitchenScreen,
    ProbeScreen,
    LearnedScreen,
    JournalScreen,
    BakeScreen,
    CompareScreen,
    PlanScreen,
]


@pytest.mark.parametrize("page", PAGES)
def test_every_action_of_the_registry_has_its_method_and_can_be_left_again(page: type[Page]) -> None:
    actions = of_screen(page.PAGE)

    assert {"back", "help"} <= {action.method for action in actions}
    assert all(hasattr(page, f"action_{action.method}") for action in actions)


async def test_what_rings_on_the_bench_is_said_on_a_page_and_goes_again() -> None:
    live, clock = live_kitchen()
    await at_first_proof(live, clock)
    app = StageApp(KitchenScreen(live, Path("kitchen.toml")))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        page = app.screen
        assert isinstance(page, Page)
        clock.forward(4300)
        page.moment(live.board(), lit=True)
        await pilot.pause()
        await pilot.pause()
        ringing = seen(app)
        await live.put_away("knots")
        page.moment(live.board(clock.stamp()).__class__(clock.stamp(), (), (), (), (), (), None))
        await pilot.pause()
        quiet = seen(app)

    assert "read the dough's temperature" in ringing
    assert "read the dough's temperature" not in quiet


async def test_no_field_that_is_on_no_page_takes_the_keys() -> None:
    live, _ = live_kitchen()
    app = StageApp(KitchenScreen(live, Path("kitchen.toml")))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        page = app.screen
        page.set_focus(Input())
        assert page.focused is None
        await pilot.press("escape")
        await pilot.pause()
        assert page not in app.screen_stack


async def test_a_page_that_is_done_while_a_dialog_stands_over_it_leaves_once_that_is_closed() -> None:
    live, _ = live_kitchen()
    app = StageApp(KitchenScreen(live, Path("kitchen.toml")))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        page = app.screen
        await pilot.press("question_mark")
        await pilot.pause()
        dialog = app.screen
        assert dialog is not page
        assert isinstance(page, Page)
        page.dismiss(None)
        page.dismiss(None)
        await pilot.pause()
        assert app.screen is dialog, "what is being read is not taken away"
        await pilot.press("escape")
        for _ in range(20):
            if page not in app.screen_stack:
                break
            await pilot.pause(0.02)
        assert page not in app.screen_stack
        page.dismiss(None)
        assert len(app.screen_stack) == 1, "a page that has left leaves once"
