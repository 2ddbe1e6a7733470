"""``proofbell`` itself, from its arguments to its exit status, with a session in place of a terminal."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path

import pytest

from proofbell.app.app import ProofbellApp
from proofbell.bake import intents
from proofbell.cli import main
from proofbell.journal.storage.store import Journal
from tests.support.kitchen_scene import KNOTS, put_on, say
from tests.support.settling import settle
from tests.support.stage import FullDisk, seen

Session = Callable[[ProofbellApp], int]


@pytest.fixture(name="bench")
def _bench(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., int]:
    """Runs the command; what a person would do at the screens is done by ``session``."""
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.sqlite"))
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    (tmp_path / "kitchen.toml").touch()  # without one the kitchen is asked about first
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setattr("proofbell.cli.bench.need_terminal", lambda *_: None)

    def run(session: Session, *arguments: str) -> int:
        monkeypatch.setattr("proofbell.app.terminal.hang_up.run_to_the_end", lambda app, **_: session(app))
        return main(list(arguments))

    return run


def test_a_formula_that_is_named_stands_first_and_what_is_put_on_is_in_the_journal(
    bench: Callable[..., int], tmp_path: Path
) -> None:
    """First also where another was baked of late, which would begin in its place."""
    shown = []

    async def baked_of_late(app: ProofbellApp) -> int:
        await say(app.live, await put_on(app.live, KNOTS), intents.Begin())
        return 0

    async def at_the_screens(app: ProofbellApp) -> int:
        async with app.run_test(size=(100, 30)) as pilot:
            while app.live.phase != "ready":
                await pilot.pause(0.01)
            shown.append(await settle(pilot, app))
            await pilot.press("b")
            await settle(pilot, app)
            assert [state.formula.name for state in app.live.states] == ["Harbour knots", "Quay pan loaf"], seen(app)
        return 0

    assert bench(lambda app: asyncio.run(baked_of_late(app))) == 0
    assert bench(lambda app: asyncio.run(at_the_screens(app)), "quay-pan-loaf") == 0
    assert "▸Quay pan loaf" in shown[0].replace("▸ ", "▸")
    with Journal.open(tmp_path / "journal.sqlite") as journal:
        assert journal.count() == 2


def test_the_exit_status_is_the_sessions(bench: Callable[..., int]) -> None:
    assert bench(lambda _: 3) == 3


def test_what_could_not_be_saved_is_said_with_where_it_is_and_how_to_bring_it_back(
    bench: Callable[..., int], capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    async def on_a_full_disk(app: ProofbellApp) -> int:
        disk = FullDisk()
        app.live.keeper = disk
        bake = await put_on(app.live, KNOTS)
        disk.full = True
        await say(app.live, bake, intents.AddNote("The yard door was open."))
        return 0

    assert bench(lambda app: asyncio.run(on_a_full_disk(app))) == 1
    told = capsys.readouterr().err
    assert "of the log could not be saved" in told
    assert "proofbell journal restore" in told
    written = told.split("restore ")[1].strip()
    assert Path(written).exists(), told
