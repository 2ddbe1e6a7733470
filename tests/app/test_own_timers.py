"""Timers of the baker's own: set, shown, rung, answered; there again in another window and after a restart."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest
from textual.pilot import Pilot

from proofbell.app.app import ProofbellApp
from proofbell.app.bench.far.far_view import FarView
from proofbell.app.bench.own_timers.timer_dialog import TimerDialog
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.bake.asking.timer import Timer
from proofbell.bake.events import TimerLogged
from proofbell.bake.intents import Refused, Undo
from proofbell.journal.faults import DiskFull
from proofbell.journal.reviews.wording import event_words
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, app_on, empty_bench, of, put_on
from tests.support.settling import shown, to_bench
from tests.support.stage import HandClock

Kept = tuple[Live, HandClock, Path]


@pytest.fixture
async def kept(tmp_path: Path) -> AsyncIterator[Kept]:
    """A bench with nothing on, on a journal of its own."""
    path = tmp_path / "journal.sqlite"
    keeper, clock = JournalKeeper(path), HandClock()
    live = Live(clock, keeper, GUESTHOUSE)
    await live.take_up()
    yield live, clock, path
    keeper.close()


async def timer(live: Live, name: str, minutes: float, bake: str = "") -> Timer:
    found = await live.timers.set(name, minutes * 60, bake)
    assert not isinstance(found, Refused)
    return found


async def pass_by(pilot: Pilot[int], app: ProofbellApp, clock: HandClock, seconds: float) -> str:
    clock.forward(seconds)
    return await shown(pilot, app)


async def test_set_by_key_shown_rung_answered_and_in_the_log_of_the_dough_in_hand() -> None:
    live, clock = empty_bench()
    bake = await put_on(live, KNOTS)
    app = app_on(live, real=clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        # Enter behind the name leads to the minutes.
        await pilot.press("t", *"rinse rice", "enter", *"12", "enter")
        assert "rinse rice: 12 min, rings at " in await shown(pilot, app)
        assert "t rinse rice 10:00" in await pass_by(pilot, app, clock, 120)
        assert not app.bench.board.rings
        assert "◆  t  rinse rice" in await pass_by(pilot, app, clock, 600)
        # It is no dough: tab leads to none of it.
        await pilot.press("tab")
        assert app.bench.in_hand == bake
        await pilot.press("q")
        assert "rinse rice: answered." in await shown(pilot, app)
    assert not live.timers.running
    logged = [event.body for event in of(live, bake).events if isinstance(event.body, TimerLogged)]
    assert [event_words(body, of(live, bake).formula) for body in logged] == [
        "Timer set: rinse rice, 12 min",
        "Timer answered: rinse rice",
    ]
    assert await live.say(bake, Undo()) == Refused("There is nothing to undo.")


async def test_several_are_listed_and_one_is_stopped_by_its_number() -> None:
    live, clock = empty_bench()
    await put_on(live, KNOTS)
    for name, minutes in (("rinse rice", 12), ("eggs", 7)):
        await timer(live, name, minutes)
    app = app_on(live, real=clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        await pilot.press("t")
        text = await shown(pilot, app)
        assert "1  07:00  eggs" in text
        assert "2  12:00  rinse rice" in text
        # The numbers stay with their timers when one before is over.
        clock.forward(7 * 60)
        await live.timers.end(live.timers.running[0])
        await pilot.press("2", "enter")
        await shown(pilot, app)
        assert not live.timers.running
        # Nothing is set without minutes, and nothing for longer than a day.
        await pilot.press("t", *"soup", "enter")
        await pilot.pause()
        await pilot.press("enter")
        assert "Say how many minutes." in await shown(pilot, app)
        await pilot.press(*"25 h", "enter")
        await pilot.pause()
        assert isinstance(app.screen, TimerDialog)
        await pilot.press("escape")
        assert not live.timers.running


async def test_the_far_view_counts_it_down_and_shows_it_large_when_it_rings_and_no_dough_asks() -> None:
    live, clock = empty_bench()
    app = app_on(live, real=clock)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_bench(pilot, app)
        await timer(live, "eggs", 1)
        await pilot.press("f")
        # With nothing on the bench it is all there is to see.
        assert "left, rings at" in await shown(pilot, app)
        bake = await put_on(live, KNOTS)
        text = await pass_by(pilot, app, clock, 15)
        assert text.splitlines()[0].startswith(" A  Harbour knots")
        assert text.splitlines()[4].strip() == "eggs 00:45"
        text = await pass_by(pilot, app, clock, 50)
        assert text.splitlines()[0].startswith(" t  eggs")
        assert "▶ eggs" not in text, "said in capitals"
        await pilot.press("space")
        assert (await shown(pilot, app)).splitlines()[0].startswith(" A  Harbour knots")
        assert isinstance(app.screen, FarView)
        assert not of(live, bake).begun


async def test_it_survives_a_restart_and_rings_in_every_window_until_one_answers(kept: Kept) -> None:
    live, clock, path = kept
    await timer(live, "rinse rice", 12)
    other = Live(clock, JournalKeeper(path), GUESTHOUSE)
    try:
        await other.take_up()
        clock.forward(13 * 60)
        assert [ring.prompt.words for ring in other.board().rings] == ["rinse rice"]
        assert await other.timers.end(other.timers.running[0])
        await live.look_again()
        assert not live.board().rings
        assert not live.timers.running
        await timer(other, "eggs", 7)
        await live.look_again()
        assert [one.name for one in live.timers.running] == ["eggs"]
    finally:
        other.keeper.close()


async def test_what_the_disk_does_not_take_rings_all_the_same_and_is_kept_later(
    kept: Kept, monkeypatch: pytest.MonkeyPatch
) -> None:
    live, clock, path = kept

    async def full(_keeper: JournalKeeper, _timer: Timer) -> None:
        raise DiskFull("not saved: the disk is full", "free some room on it")

    with monkeypatch.context() as patched:
        patched.setattr(JournalKeeper, "keep_timer", full)
        await timer(live, "eggs", 1)
        assert live.timers.fault is not None
        await live.look_again()
    clock.forward(61)
    assert [ring.prompt.words for ring in live.board().rings] == ["eggs"]
    await live.look_again()
    assert live.timers.fault is None
    again = Live(clock, JournalKeeper(path), GUESTHOUSE)
    await again.take_up()
    again.keeper.close()
    assert [one.name for one in again.timers.running] == ["eggs"]


async def test_a_file_that_was_removed_is_made_again_with_what_runs(kept: Kept) -> None:
    live, clock, path = kept
    await put_on(live, KNOTS)
    await timer(live, "eggs", 7)
    path.unlink()
    for _ in range(4):
        await live.look_again()
    again = Live(clock, JournalKeeper(path), GUESTHOUSE)
    await again.take_up()
    again.keeper.close()
    assert [one.name for one in again.timers.running] == ["eggs"]
