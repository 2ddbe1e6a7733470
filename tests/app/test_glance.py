"""The bake under the journal's cursor, at a glance below the list."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from pathlib import Path

import pytest

from proofbell.app.journal import glance
from proofbell.app.journal.glance import Glance, told
from proofbell.app.journal.journal_screen import JournalScreen
from proofbell.app.session.live import Live
from proofbell.app.session.saving.journal_access import all_bakes, look_back
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.app.widgets.rows import Rows
from proofbell.bake import events as kinds
from proofbell.bake.events import Body
from proofbell.journal.reviews.review import BakeReview, review
from tests.support.making import chain, opened
from tests.support.settling import settled
from tests.support.stage import StageApp, live_kitchen, seen
from tests.support.year import fill_year


@pytest.fixture(autouse=True)
def _at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The cursor has rested long enough."""

    async def rest() -> None: ...

    monkeypatch.setattr(glance, "rest", rest)


@pytest.fixture
async def live(tmp_path: Path) -> AsyncIterator[Live]:
    """A journal of a year."""
    fill_year(tmp_path / "journal.sqlite")
    keeper = JournalKeeper(tmp_path / "journal.sqlite")
    yield live_kitchen(keeper=keeper)[0]
    keeper.close()


async def test_it_follows_the_cursor_and_has_the_chart_where_there_is_room(live: Live) -> None:
    app = StageApp(JournalScreen(live))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        first = seen(app)
        await pilot.press("end")
        await settled(pilot)
        last = seen(app)
        await pilot.resize_terminal(120, 36)
        await settled(pilot)
        await settled(pilot)
        tall = seen(app)
        await pilot.resize_terminal(80, 18)
        await settled(pilot)
        low = seen(app)

    assert "plan" in first
    assert "real" in first
    assert "Dough 26.4 °C" in first
    assert "Core" in first
    assert "8.0 of 10" in first
    assert "Dough 25.2 °C" in last
    assert "°C      ◆" not in last
    assert "26 °C" in tall
    assert "real" not in low


async def test_who_leafs_through_reads_only_what_the_cursor_rests_on(
    live: Live, monkeypatch: pytest.MonkeyPatch
) -> None:
    still, read = asyncio.Event(), list[str]()

    async def rest() -> None:
        await still.wait()

    async def counted(live: Live, bake: str) -> BakeReview:
        read.append(bake)
        return await look_back(live, bake)

    monkeypatch.setattr(glance, "rest", rest)
    monkeypatch.setattr(glance, "look_back", counted)
    newest = await all_bakes(live, lambda *_: None)
    screen = JournalScreen(live)
    app = StageApp(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        rows = screen.query_one("#bakes", Rows)
        while not rows.count:
            await pilot.pause()
        for _ in range(30):
            await pilot.press("down")
        moving = screen.query_one(Glance).drawn(78, 7).plain
        still.set()
        await settled(pilot)
        cursor, shown = rows.cursor, screen.query_one(Glance).drawn(78, 7).plain

    assert moving == ""
    assert read == [newest[cursor].bake]
    assert "plan" in shown


def test_changes_say_why_and_the_last_note_is_there() -> None:
    bodies: list[tuple[float, Body]] = [
        (0.0, opened()),
        (60.0, kinds.StageBegun(0)),
        (600.0, kinds.StageEnded(0)),
        (600.0, kinds.StageBegun(1)),
        (610.0, kinds.ReadingTaken("dough temperature", 27.0, "27", stage=1, check=0)),
        (610.0, kinds.TimeAdjusted(1, 4200.0, 3300.0, "bands", "The dough is warm.")),
        (700.0, kinds.NoteAdded("first")),
        (800.0, kinds.NoteAdded("The \x1b]0;x\x07 yard door was open. " + "x" * 200)),
    ]
    looked_at = review(chain("b1", bodies))
    lines = [line.plain for line in told(looked_at, 78)]
    assert lines[0].startswith("Dough 27.0 °C")
    assert "First proof: 70 → 55 min" in lines[1]
    assert "warm" in lines[1]
    assert lines[-1].startswith("Note: The")
    assert all("\x1b" not in line and len(line) <= 78 for line in lines)
    assert len(lines) <= glance.TOLD_LINES
