"""The first picture of the bench: the doughs are in it, and nothing is said to them before it is there."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from proofbell.app.app import ProofbellApp
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.bake import intents
from proofbell.bake.stamp import Stamp
from proofbell.bake.state import BakeState
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, LOAF, app_on, put_on, say
from tests.support.stage import HandClock, seen


class SlowToCommit(JournalKeeper):
    """A disk that reads at once, and says only when it is told to that the program came back."""

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.may_commit = asyncio.Event()

    async def saw(self, stamp: Stamp) -> Stamp | None:
        await self.may_commit.wait()
        return await super().saw(stamp)


class SlowToRead(JournalKeeper):
    """A disk that does not answer until it is told to."""

    def __init__(self, path: Path) -> None:
        super().__init__(path)
        self.may_read = asyncio.Event()

    async def take_up(self) -> tuple[BakeState, ...]:
        await self.may_read.wait()
        return await super().take_up()


@pytest.fixture
async def left(tmp_path: Path) -> tuple[Path, HandClock]:
    """A journal with two doughs that were on when the program closed."""
    path, clock = tmp_path / "journal.sqlite", HandClock()
    keeper = JournalKeeper(path)
    live = Live(clock, keeper, GUESTHOUSE)
    await live.take_up()
    for formula in (KNOTS, LOAF):
        await say(live, await put_on(live, formula), intents.Begin())
    keeper.close()
    clock.forward(60)
    return path, clock


@pytest.fixture
def painted(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What stood on the bench each time that something was handed to the terminal."""
    texts: list[str] = []

    def note(app: ProofbellApp) -> None:
        if app.screen is app.bench:
            texts.append(seen(app))

    monkeypatch.setattr(ProofbellApp, "post_display_hook", note)
    return texts


async def test_the_first_picture_has_the_doughs_before_anything_is_noted(
    left: tuple[Path, HandClock], painted: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("proofbell.app.app.SOON_S", 600.0)  # However busy the machine is.
    path, clock = left
    keeper = SlowToCommit(path)
    live = Live(clock, keeper, GUESTHOUSE)
    app = app_on(live)
    async with app.run_test(size=(100, 30)) as pilot:
        assert all(name in painted[0] for name in ("Harbour knots", "Quay pan loaf"))
        before = [len(state.events) for state in live.states]
        noted = asyncio.create_task(say(live, live.states[0].id, intents.AddNote("the blue bowl")))
        await pilot.pause()
        assert [len(state.events) for state in live.states] == before
        keeper.may_commit.set()
        await noted
        # What was said meanwhile comes after what tells how long the program was away.
        assert [type(event.body).__name__ for event in live.states[0].events][-2:] == ["ProgramBack", "NoteAdded"]
    keeper.close()


async def test_a_disk_that_does_not_answer_keeps_no_picture_away(
    left: tuple[Path, HandClock], painted: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("proofbell.app.app.SOON_S", 0.0)
    path, clock = left
    keeper = SlowToRead(path)
    app = app_on(Live(clock, keeper, GUESTHOUSE))
    async with app.run_test(size=(100, 30)) as pilot:
        assert "Reading the journal" in painted[0]
        keeper.may_read.set()
        await app.live.read_in.wait()
        app.tick()
        await pilot.pause()
        assert "Harbour knots" in seen(app)
    keeper.close()
