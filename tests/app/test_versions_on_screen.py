"""Every screen of the journal on bakes of an older and of a newer version, and the bench that takes them up."""

from __future__ import annotations

from collections.abc import AsyncIterator
from dataclasses import replace
from pathlib import Path

import pytest

from proofbell.app.app import ProofbellApp
from proofbell.app.fields.export_line import BackupLine, ExportLine
from proofbell.app.journal.bake_lines import VIEWS
from proofbell.app.journal.bake_screen import BakeScreen
from proofbell.app.journal.compare_screen import CompareScreen
from proofbell.app.journal.journal_screen import JournalScreen
from proofbell.app.journal.learned_screen import LearnedScreen
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.record import to_row
from proofbell.errors import Failure
from proofbell.journal.storage.store import Journal
from tests.journal.generate import Truth, simulated_bakes
from tests.support.making import chain, first_events, opened
from tests.support.settling import settled
from tests.support.stage import HandClock, StageApp, live_kitchen, seen
from tests.support.versions import as_older, chain_again, moved_on, newer, put, rechained, stored

SOUND, LIVE = "00a10000", "00a10001"


@pytest.fixture
async def bench(tmp_path: Path) -> AsyncIterator[tuple[Live, HandClock, Path]]:
    """A bench with a journal that nobody has written to."""
    path = tmp_path / "journal.sqlite"
    keeper = JournalKeeper(path)
    yield *live_kitchen(keeper=keeper), path
    keeper.close()


Bench = tuple[Live, HandClock, Path]


def newer_ones(path: Path) -> None:
    """A sound bake; a live one with a newer event; one that is newer from its beginning."""
    with Journal.open(path) as journal:
        (sound,) = simulated_bakes(0xA1, Truth(), 1)
        journal.append(sound.events, 0)
        live = [to_row(event) for event in first_events(LIVE, notes=1)]
        put(journal, rechained([*live, newer(live[-1], "dough folded")]))
        (begun,) = [to_row(event) for event in chain("begun", [(200.0, opened())])]
        put(journal, rechained([replace(begun, schema=4)]))


async def test_the_bench_takes_up_an_older_bake_and_goes_on_with_it(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    live, clock, path = bench
    begun = chain("here", [(0.0, opened()), (1.0, kinds.StageBegun(0)), (2.0, kinds.StageEnded(0))])
    begun += chain("here", [(3.0, kinds.StageBegun(1)), (4.0, _reading(26.0))], begun)
    moved_on(monkeypatch)
    with Journal.open(path) as journal:
        put(journal, as_older(begun))
        before = stored(journal)
    clock.now = replace(
        begun[-1].stamp, wall_us=begun[-1].stamp.wall_us + 10**7, boot_us=begun[-1].stamp.boot_us + 10**7
    )
    await live.take_up()

    assert [reading.value for state in live.states for reading in state.readings] == [26.0]
    assert await live.say("here", intents.AddNote("going on")) is None
    with Journal.open(path) as journal:
        assert stored(journal)[: len(before)] == before
        assert journal.read("here")[1] == ()


def _reading(value: float) -> kinds.ReadingTaken:
    return kinds.ReadingTaken("dough temperature", value, f"{value:g}", stage=1, raw=value)


async def test_every_screen_shows_older_bakes_as_they_were(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    live, _, path = bench
    one, two = simulated_bakes(0xA1, Truth(), 2)
    moved_on(monkeypatch)
    with Journal.open(path) as journal:
        put(journal, as_older(one.events))
        journal.append(chain_again(two), 0)
    first = next(r.value for r in one.readings if r.what == "dough temperature")
    app = StageApp(JournalScreen(live))
    async with app.run_test(size=(110, 30)) as pilot:
        await settled(pilot)
        listed = seen(app)
    app = StageApp(BakeScreen(live, one.id))
    shown = {}
    async with app.run_test(size=(110, 30)) as pilot:
        await settled(pilot)
        for name in VIEWS:
            shown[name] = seen(app)
            await pilot.press("right")
            await settled(pilot)
    app = StageApp(CompareScreen(live, one.id, two.id))
    async with app.run_test(size=(110, 36)) as pilot:
        await settled(pilot)
        compared = seen(app)

    assert "2 bakes" in listed
    assert "✗" not in listed.replace("✗ part unread", "")
    assert f"{first:.1f} °C" in listed
    assert f"{first:.1f} °C" in shown["readings"]
    assert f"{first:.1f} °C" in compared
    assert "finished" in shown["times"]
    assert all("newer Proofbell" not in view and "damaged" not in view for view in shown.values())


@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_every_screen_says_of_a_newer_bake_how_far_it_can_be_read(bench: Bench, size: tuple[int, int]) -> None:
    live, _, path = bench
    newer_ones(path)
    app = StageApp(JournalScreen(live))
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        listed = seen(app)
        await pilot.press("v")
        await settled(pilot)
        checked = seen(app)
    assert listed.count("✗") == 3  # two bakes and the legend
    assert "All is well: 3 bakes" in checked
    assert "2 bakes from a newer Proofbell" in " ".join(checked.split())

    for screen, said in (
        (BakeScreen(live, LIVE), 'event 3 "dough folded" was written by a newer Proofbell'),
        (CompareScreen(live, SOUND, LIVE), f"{LIVE}: Not all of this log can be read here"),
        (BakeScreen(live, "begun"), "wrote to it. Install that one to go on with it; nothing of it is lost"),
        (CompareScreen(live, SOUND, "begun"), "Install that one"),
        (BakeScreen(live, SOUND), "finished"),
        (LearnedScreen(live), "95 % range"),
    ):
        app = StageApp(screen)
        async with app.run_test(size=size) as pilot:
            await settled(pilot)
            shown = " ".join(seen(app).split())
            assert said in shown, screen
            assert "damaged" not in shown


async def test_a_newer_bake_is_added_to_by_no_key_and_the_file_stays_as_it_is(bench: Bench) -> None:
    live, _, path = bench
    newer_ones(path)
    with Journal.open(path) as journal:
        before = stored(journal)
    app = StageApp(BakeScreen(live, LIVE))
    async with app.run_test(size=(110, 30)) as pilot:
        await settled(pilot)
        for keys in (("n", *"soft", "enter"), ("s", "8"), ("m",)):
            await pilot.press(*keys)
            await settled(pilot)
            assert "Install that one to go on with it" in " ".join(seen(app).split())
    with Journal.open(path) as journal:
        assert stored(journal) == before


async def test_newer_bakes_are_exported_as_far_as_they_go_and_backed_up_whole(bench: Bench, tmp_path: Path) -> None:
    live, _, path = bench
    newer_ones(path)
    app = StageApp(JournalScreen(live))
    async with app.run_test(size=(140, 30)) as pilot:
        await settled(pilot)
        for key, line, name, said in (
            ("e", ExportLine, "all.md", "Left out, since its beginning cannot be read: begun."),
            ("B", BackupLine, "copy.sqlite", "3 bakes"),
        ):
            await pilot.press(key)
            app.screen.query_one(line).input.value = str(tmp_path / name)
            await pilot.press("enter")
            await settled(pilot)
            assert said in " ".join(seen(app).split())
    assert "Not all of this log can be read here" in (tmp_path / "all.md").read_text(encoding="utf-8")
    with Journal.open(tmp_path / "copy.sqlite") as copy, Journal.open(path) as journal:
        assert stored(copy) == stored(journal)


async def test_the_bench_goes_on_with_the_others_and_says_which_it_cannot_read(bench: Bench) -> None:
    live, _, path = bench
    newer_ones(path)
    with Journal.open(path) as journal:
        journal.append(chain("here", [(0.0, opened()), (1.0, kinds.StageBegun(0))]), 0)
    app = ProofbellApp(live, loud=True)
    async with app.run_test(size=(120, 36)) as pilot:
        await pilot.app.workers.wait_for_complete()
        await pilot.pause()
        shown = " ".join(seen(app).split())

    assert [state.id for state in live.states] == ["here"]
    assert f"Bake {LIVE}: a newer Proofbell wrote to it. Install that one to go on with it" in shown


async def test_a_bake_that_a_newer_program_takes_over_meanwhile_says_so_at_the_next_key(bench: Bench) -> None:
    live, _, path = bench
    begun = chain("here", [(0.0, opened()), (1.0, kinds.StageBegun(0))])
    with Journal.open(path) as journal:
        journal.append(begun, 0)
    await live.take_up()
    with Journal.open(path) as journal:
        rows = journal.rows_of("here")
        put(journal, rechained([*rows, newer(rows[-1], "dough folded")])[len(rows) :])
    with pytest.raises(Failure, match="a newer Proofbell wrote to it"):
        await live.say("here", intents.Done())
