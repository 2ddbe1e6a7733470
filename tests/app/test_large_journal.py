"""A journal that is read for the first time, checked, copied or taken away, on screen: bit by bit, and with words."""

from __future__ import annotations

import asyncio
import sqlite3
import threading
from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import closing
from pathlib import Path

import pytest

from proofbell.app.app import ProofbellApp
from proofbell.app.fields.export_line import BackupLine, ExportLine
from proofbell.app.fields.file_line import FileLine
from proofbell.app.journal.journal_screen import JournalScreen
from proofbell.app.session.live import Live
from proofbell.app.session.saving.journal_access import all_bakes
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.app.widgets.rows import Rows
from proofbell.journal.reviews.summary import Summary
from proofbell.journal.storage import schema
from proofbell.journal.storage.store import Journal
from tests.journal.generate import fill
from tests.support.damaging import PAGE, Damage, index_of
from tests.support.kitchen_scene import app_on
from tests.support.settling import settled
from tests.support.stage import StageApp, live_kitchen, seen

COUNT = 30


@pytest.fixture
async def large(tmp_path: Path) -> AsyncIterator[tuple[Live, Path]]:
    """A bench on a journal from elsewhere, of which no list was ever made."""
    path = tmp_path / "journal.sqlite"
    fill(path, COUNT)
    keeper = JournalKeeper(path)
    yield live_kitchen(keeper=keeper)[0], path
    keeper.close()


Large = tuple[Live, Path]


def out_of_step(path: Path, _bake: str) -> None:
    """Make an index claim what it does not hold, as when a write to it was lost; each of its pages is sound."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute("UPDATE sqlite_master SET sql = replace(sql, '= 1', '= 2') WHERE name = 'openings'")


def pages_in_the_middle(path: Path, _bake: str) -> None:
    """Overwrite some pages of the file, wherever they belong."""
    data = bytearray(path.read_bytes())
    at = len(data) // PAGE // 2 * PAGE
    data[at : at + 2 * PAGE] = b"\xaa" * (2 * PAGE)
    path.write_bytes(data)


def damage(path: Path) -> None:
    """Change one letter, past every safeguard."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        rule = "SELECT sql FROM sqlite_master WHERE name = 'events_are_never_changed'"
        (trigger,) = connection.execute(rule).fetchone()
        connection.execute("DROP TRIGGER events_are_never_changed")
        connection.execute("UPDATE events SET body = replace(body, 'rise', 'ryse') WHERE seq = 9")
        connection.execute(trigger)


async def test_the_list_grows_while_it_is_read_and_says_how_far_it_is(
    large: Large, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("proofbell.journal.index.AT_ONCE", 10)
    monkeypatch.setattr("proofbell.app.journal.journal_screen.SHOWN_AFTER", 10)
    came_in, turn = asyncio.Semaphore(0), asyncio.Semaphore(0)

    async def in_parts(live: Live, came: Callable[[Sequence[Summary], int, int], None]) -> list[Summary]:
        parts: list[tuple[Sequence[Summary], int, int]] = []
        everything = await all_bakes(live, lambda *part: parts.append(part))
        for part in parts:
            came(*part)
            came_in.release()
            await turn.acquire()
        return everything

    monkeypatch.setattr("proofbell.app.journal.journal_screen.all_bakes", in_parts)
    app = StageApp(JournalScreen(large[0]))
    on_the_way: list[tuple[str, int]] = []
    async with app.run_test(size=(100, 24)) as pilot:
        for _ in range(4):
            await came_in.acquire()
            await asyncio.gather(*(each.wait() for each in app.workers if each.group == "find"))
            await pilot.pause()
            on_the_way.append((seen(app).splitlines()[0], app.screen.query_one("#bakes", Rows).count))
            turn.release()
        await settled(pilot)
        shown = seen(app)

    assert [count for _, count in on_the_way[1:3]] == [10, 20]
    assert "10 of 30 bakes read" in on_the_way[1][0]
    assert "20 of 30 bakes read" in on_the_way[2][0]
    assert "30 bakes" in shown
    assert "bakes read" not in shown


async def test_the_check_says_that_all_is_well_or_what_is_not(large: Large) -> None:
    live, path = large
    app = StageApp(JournalScreen(live))
    async with app.run_test(size=(110, 24)) as pilot:
        await settled(pilot)
        await pilot.press("v")
        await settled(pilot)
        well = seen(app)
        damage(path)
        await pilot.press("v")
        await settled(pilot)
        ill = seen(app)

    assert "All is well: 30 bakes" in well
    assert "event 9 was changed after it was written" in ill
    assert "All is well" not in ill


async def test_a_backup_is_copied_checked_and_never_replaces_a_file_unasked(large: Large, tmp_path: Path) -> None:
    live, _ = large
    copy = tmp_path / "copy.sqlite"
    app = StageApp(JournalScreen(live))
    async with app.run_test(size=(110, 24)) as pilot:
        await settled(pilot)
        for expected in ("30 bakes", "already exists"):
            await pilot.press("B")
            app.screen.query_one(BackupLine).input.value = str(copy)
            await pilot.press("enter")
            await settled(pilot)
            assert expected in seen(app)
    with Journal.open(copy) as copied:
        assert copied.count() == COUNT


@pytest.mark.parametrize("line", [ExportLine, BackupLine])
async def test_esc_leaves_off_what_is_being_written_and_leaves_no_file(
    large: Large, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, line: type[FileLine]
) -> None:
    begun = asyncio.Event()

    async def forever(*_: object, **__: object) -> str:
        begun.set()
        await asyncio.Event().wait()
        return ""

    monkeypatch.setattr(line, "take_away", forever)
    app = StageApp(JournalScreen(large[0]))
    async with app.run_test(size=(110, 24)) as pilot:
        await settled(pilot)
        await pilot.press("e" if line is ExportLine else "B", "enter")
        await begun.wait()
        await pilot.press("escape")
        await pilot.pause()
        shown = seen(app)

    assert "Stopped; nothing was written" in shown


async def test_an_export_that_is_left_off_half_way_leaves_nothing_behind(
    large: Large, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from proofbell.app.session.saving import journal_access

    live, _ = large
    folder = tmp_path / "out"
    folder.mkdir()
    monkeypatch.setattr(journal_access, "EVERY", 1)
    with Journal.open(large[1]) as journal:
        ids = journal.bake_ids()
    some = asyncio.Event()
    job = asyncio.create_task(
        journal_access.export(live, ids * 50, folder / "all.md", lambda _done, _of: some.set(), overwrite=False)
    )
    await some.wait()
    job.cancel()
    with pytest.raises(asyncio.CancelledError):
        await job
    assert list(folder.iterdir()) == []


async def test_a_journal_of_a_newer_program_is_shown_and_says_that_nothing_can_be_added(large: Large) -> None:
    live, path = large
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(f"PRAGMA user_version = {len(schema.STEPS) + 1}")
    app = StageApp(JournalScreen(live))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        shown = " ".join(seen(app).split())

    assert "! This journal was written by a newer Proofbell" in shown
    assert "install the newer program to go on with it" in shown
    assert "Pier loaf" in shown


async def test_the_bench_says_once_what_should_be_known_about_the_journal(large: Large) -> None:
    live, path = large
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute(f"PRAGMA user_version = {len(schema.STEPS) + 1}")
    app = ProofbellApp(live, loud=True)
    async with app.run_test(size=(120, 30)) as pilot:
        await pilot.app.workers.wait_for_complete()
        await pilot.press("escape")
        await pilot.pause()
        shown = seen(app)

    assert "This journal was written by a newer Proofbell" in shown


@pytest.mark.parametrize("harm", [index_of("corrections"), out_of_step, pages_in_the_middle])
async def test_a_journal_that_is_damaged_where_nobody_looks_is_told_of_at_the_start(large: Large, harm: Damage) -> None:
    live, path = large
    harm(path, "")
    app = app_on(live, journal=path)
    async with app.run_test(size=(100, 30)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        (told,) = [trouble for trouble in app.troubles.all if trouble.words.startswith("The journal file is damaged")]
        app.troubles.seen()

    assert "proofbell journal verify" in told.text
    assert "proofbell journal rescue" in told.text
    assert told in app.troubles.all, "it stands until the file is another one"


async def test_a_sound_journal_and_one_that_cannot_be_looked_at_now_are_not_called_damaged(large: Large) -> None:
    live, path = large
    app = app_on(live, journal=path)
    async with app.run_test(size=(100, 30)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert app.troubles.all == ()
    assert not await live.keeper.is_damaged()
    path.unlink()
    assert not await live.keeper.is_damaged()
    assert not path.exists(), "looking makes no file"


async def test_whoever_leaves_ends_the_look_through_the_file(large: Large, monkeypatch: pytest.MonkeyPatch) -> None:
    """The thread that looks is asked to stop; the program does not wait for the end of a long file."""
    begun, asked = threading.Event(), threading.Event()

    def slow(_path: Path, go_on: Callable[[], bool]) -> tuple[str, ...]:
        begun.set()
        while go_on():
            asked.wait(0.001)
        asked.set()
        return ()

    monkeypatch.setattr("proofbell.app.session.saving.keeping.damage", slow)
    look = asyncio.ensure_future(large[0].keeper.is_damaged())
    await asyncio.to_thread(begun.wait, 30)
    look.cancel()
    assert await asyncio.to_thread(asked.wait, 30)
