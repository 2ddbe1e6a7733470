"""Whatever runs in the app may fail: in a handler, a worker, a timer, a task, a thread or while it is drawn."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path

import pytest
from textual.content import Content
from textual.pilot import Pilot

from proofbell.app.app import ProofbellApp
from proofbell.app.bench.picture.header_line import HeaderLine
from proofbell.app.drawing.content import outside
from tests.support.kitchen_scene import KNOTS, app_on, empty_bench, put_on
from tests.support.stage import HandClock, seen


class UnforeseenError(RuntimeError):
    """Nobody foresaw it."""


def fail() -> None:
    """Fail."""
    raise UnforeseenError("somebody's loaf")


async def fail_later() -> None:
    """Fail in a task."""
    fail()


WAYS: dict[str, Callable[[ProofbellApp], object]] = {
    "a callback": lambda app: app.call_later(fail),
    "a callback of a widget": lambda app: app.bench.query_one(HeaderLine).call_later(fail),
    "after the next picture": lambda app: app.bench.call_after_refresh(fail),
    "a timer": lambda app: app.bench.set_timer(0.001, fail),
    "a worker": lambda app: app.bench.run_worker(fail_later(), exit_on_error=True),
    "a thread": lambda app: app.bench.run_worker(fail, thread=True, exit_on_error=True),
    "a task": lambda _app: asyncio.get_running_loop().call_soon(fail),
}


async def told(pilot: Pilot[int], app: ProofbellApp) -> str:
    """Wait until something is told of a fault; the text of the screen then."""
    for _ in range(200):
        await asyncio.sleep(0.01)
        await pilot.pause()
        app.tick()
        await pilot.pause()
        if app.troubles.all:
            break
    return seen(app)


@pytest.mark.parametrize("way", WAYS)
async def test_it_is_told_and_written_down_and_the_bench_goes_on(way: str, tmp_path: Path) -> None:
    live, clock = empty_bench()
    await put_on(live, KNOTS)
    app = app_on(live, loud=False, fault_file=tmp_path / "faults.txt")
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.pause()
        WAYS[way](app)
        text = await told(pilot, app)
        assert "An internal error" in text
        assert "UnforeseenError" in text
        await goes_on(pilot, app, clock)
    written = (tmp_path / "faults.txt").read_text(encoding="utf-8")
    assert "UnforeseenError" in written
    assert "somebody's loaf" not in written


async def goes_on(pilot: Pilot[int], app: ProofbellApp, clock: HandClock) -> None:
    """The clock moves and a key does what it does."""
    clock.forward(3600)
    await pilot.press("space")
    await app.workers.wait_for_complete()
    app.tick()
    await pilot.pause()
    assert "10:30:" in seen(app).splitlines()[0]
    assert app.live.states[0].begun


async def test_the_same_fault_stands_there_once_however_often_it_is_met(tmp_path: Path) -> None:
    live, _clock = empty_bench()
    await put_on(live, KNOTS)
    app = app_on(live, loud=False, fault_file=tmp_path / "faults.txt")
    async with app.run_test(size=(100, 30)) as pilot:
        for _ in range(5):
            app.call_later(fail)
            await pilot.pause()
        assert len(app.troubles.all) == 1
    assert (tmp_path / "faults.txt").read_text(encoding="utf-8").count("UnforeseenError") == 1


async def test_escape_leads_back_from_a_page_whose_own_way_back_has_failed(monkeypatch: pytest.MonkeyPatch) -> None:
    from proofbell.app.start.start_screen import StartScreen

    monkeypatch.setattr(StartScreen, "action_back", lambda _self: fail())
    live, _clock = empty_bench()
    await put_on(live, KNOTS)
    app = app_on(live, loud=False)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("a")
        await pilot.pause()
        assert isinstance(app.screen, StartScreen)
        await pilot.press("escape")
        await pilot.pause()
        assert len(app.screen_stack) == 2, "the bench, and Textual's own below it"


async def test_a_field_in_which_something_failed_as_it_was_mounted_still_hears_escape(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from proofbell.app.fields.line_input import NumberField

    shown = NumberField.shown
    failed: list[bool] = []

    def fails_once(self: NumberField) -> str:
        if not failed:
            failed.append(True)
            fail()
        return shown(self)

    monkeypatch.setattr(NumberField, "shown", fails_once)
    live, _clock = empty_bench()
    await put_on(live, KNOTS)
    app = app_on(live, loud=False)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("r")
        assert failed
        assert isinstance(app.focused, NumberField)
        await pilot.press("escape")
        await pilot.pause()
        assert app.screen is app.bench


async def test_a_line_of_a_list_that_cannot_be_made_hides_no_other(monkeypatch: pytest.MonkeyPatch) -> None:
    from proofbell.app.start import formula_list

    def second_fails(title: str) -> Content:
        if title == "Harbour knots":
            fail()
        return outside(title)

    monkeypatch.setattr(formula_list, "outside", second_fails)
    live, _clock = empty_bench()
    await put_on(live, KNOTS)
    app = app_on(live, loud=False)
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("a")
        for _ in range(3):
            await app.workers.wait_for_complete()
            await pilot.pause()
        text = seen(app)
    assert "Breakwater flat bread" in text
    assert "✗ cannot be shown" in text
    assert "Quay pan loaf" in text
