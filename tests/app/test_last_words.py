"""What only memory knows when the program ends is written somewhere, said, and found again at the next start."""

from __future__ import annotations

from pathlib import Path

import pytest

from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.app.session.saving.last_words import left_behind, say_last_words
from proofbell.bake import intents
from proofbell.bake.fold import fold
from proofbell.journal.storage.store import Journal
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, app_on, put_on, say
from tests.support.stage import HandClock


async def unplugged(folder: Path) -> tuple[Live, JournalKeeper]:
    """A bench whose disk was unplugged with a note on the way."""
    keeper = JournalKeeper(folder / "disk" / "journal.sqlite")
    live = Live(HandClock(), keeper, GUESTHOUSE)
    await live.take_up()
    bake = await put_on(live, KNOTS)
    (folder / "disk").rename(folder / "away")
    await say(live, bake, intents.AddNote("unplugged"))
    return live, keeper


async def test_they_go_into_a_journal_of_their_own_where_there_is_room(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    live, keeper = await unplugged(tmp_path)
    path = say_last_words(live, keeper.path)
    keeper.close()
    assert path is not None
    assert path.parent == tmp_path, "a folder that is gone is not made again"
    assert {file.name for file in tmp_path.iterdir()} == {"away", path.name}, "and nothing lies beside it"
    assert say_last_words(live, keeper.path) == path, "said once"
    with Journal.open(path) as journal:
        assert [note.text for note in fold(journal.events_of("bake-1")).notes] == ["unplugged"]
    assert list(left_behind(keeper.path)) == [path]
    assert not left_behind(tmp_path / "another" / "journal.sqlite"), "it is not that one's"


async def test_with_all_saved_there_is_nothing_to_say(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    keeper = JournalKeeper(tmp_path / "journal.sqlite")
    live = Live(HandClock(), keeper, GUESTHOUSE)
    await live.take_up()
    await put_on(live, KNOTS)
    keeper.close()
    assert say_last_words(live, keeper.path) is None
    assert not left_behind(keeper.path)


async def test_the_next_start_names_what_was_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("HOME", str(tmp_path))
    live, keeper = await unplugged(tmp_path)
    path = say_last_words(live, keeper.path)
    keeper.close()
    (tmp_path / "away").rename(tmp_path / "disk")
    keeper = JournalKeeper(tmp_path / "disk" / "journal.sqlite")
    app = app_on(Live(HandClock(), keeper, GUESTHOUSE), journal=keeper.path)
    async with app.run_test(size=(100, 30)) as pilot:
        await app.workers.wait_for_complete()
        app.tick()
        await pilot.pause()
        assert any(f"journal restore {path}" in trouble.text for trouble in app.troubles.all)
    keeper.close()
