"""Paths typed into a screen: what can be no file is refused below the line, at once, and the screen goes on."""

from __future__ import annotations

import os
import stat
import sys
from collections.abc import AsyncIterator
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import Input

from proofbell.app.journal.journal_screen import JournalScreen
from proofbell.app.session.formula_files import read_file
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.app.start.start_screen import StartScreen
from proofbell.file_names import file_stem
from tests.support.bakes import at_first_proof
from tests.support.settling import settled
from tests.support.stage import FOUR, StageApp, live_kitchen, seen

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="home folders and pipes are named otherwise there")

REFUSED = {
    "~no-such-baker/loaf.md": "no home folder is known",
    "/" + "x" * 300 + "/loaf.md": "too long",
    "a\0b.md": "no file name can have",
    "/dev/full": "is a device, not a file",
}


@pytest.fixture
async def live(tmp_path: Path) -> AsyncIterator[Live]:
    """A bench with one bake, kept in a journal."""
    keeper = JournalKeeper(tmp_path / "journal.sqlite")
    live, clock = live_kitchen(keeper=keeper)
    await at_first_proof(live, clock)
    yield live
    keeper.close()


async def type_in(pilot: Pilot[int], screen: Screen[str | None], key: str, line: str, typed: str) -> str:
    """Open a line with a key, enter something, and read the screen."""
    await pilot.press(key)
    await settled(pilot)
    screen.query_one(line, Input).value = typed
    await pilot.press("enter")
    await settled(pilot)
    return seen(pilot.app)


@pytest.mark.parametrize(("typed", "words"), REFUSED.items())
@pytest.mark.parametrize(("key", "line"), [("e", "#export"), ("B", "#backup")])
async def test_bakes_are_taken_to_no_such_place(live: Live, key: str, line: str, typed: str, words: str) -> None:
    app = StageApp(screen := JournalScreen(live))
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        shown = await type_in(pilot, screen, key, line, typed)
        assert words in shown
        assert screen.query_one(line, Input).value == typed
        assert app.screen is screen


async def test_what_is_written_from_the_screen_is_for_its_owner_alone(live: Live, tmp_path: Path) -> None:
    app = StageApp(screen := JournalScreen(live))
    before = os.umask(0)
    try:
        async with app.run_test(size=(100, 30)) as pilot:
            await settled(pilot)
            for key, line, name in (("e", "#export", "all.json"), ("B", "#backup", "copy.sqlite")):
                await type_in(pilot, screen, key, line, str(tmp_path / name))
                assert stat.S_IMODE((tmp_path / name).stat().st_mode) == 0o600
    finally:
        os.umask(before)


async def test_a_formula_goes_from_the_journal_among_ones_own_and_replaces_none(live: Live, tmp_path: Path) -> None:
    app = StageApp(screen := JournalScreen(live))
    app.kitchen_file = tmp_path / "etc" / "kitchen.toml"
    (state,) = live.states
    own = tmp_path / "etc" / "formulas" / f"{file_stem(state.formula.name, '')}.toml"
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await pilot.press("w", "enter")
        await settled(pilot)
        assert own.read_bytes() == state.formula.text.encode()
        own.write_bytes(b"mine")
        await pilot.press("enter")
        await settled(pilot)
        await pilot.press("w", "enter", "enter")
        await settled(pilot)
        assert "nothing is replaced" in seen(app)
        assert screen.query_one("#formula", Input).value == str(own)
    assert own.read_bytes() == b"mine"


@pytest.mark.parametrize("typed", ["pipe", *REFUSED])
async def test_a_formula_is_opened_from_no_such_place(live: Live, typed: str, tmp_path: Path) -> None:
    words = REFUSED.get(typed, "it is a pipe, not a file")
    if typed == "pipe":
        os.mkfifo(tmp_path / "pipe.toml")
        typed = str(tmp_path / "pipe.toml")
    app = StageApp(screen := StartScreen(live, FOUR))
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        shown = await type_in(pilot, screen, "o", "#path", typed)
        assert words in shown
        assert app.screen is screen


def test_the_chooser_tells_what_is_no_file_and_reads_no_large_one_to_its_end(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    with (tmp_path / "large").open("wb") as file:
        file.truncate(200 * 1024**3)  # 200 GB that take no room; nobody has so much memory
    told = {
        tmp_path / "pipe": "a pipe", Path("/dev/zero"): "a device", tmp_path: "a folder",
        tmp_path / "large": "more than 262 144 bytes", tmp_path / ("x" * 300): "too long",
        tmp_path / "a\0b": "name cannot be used",
    }  # fmt: skip
    for path, words in told.items():
        (fault,) = read_file(path).errors
        assert words in fault.message
