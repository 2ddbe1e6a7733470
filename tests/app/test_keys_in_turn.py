"""Keys that come in one breath, as from somebody who types ahead, do what they would do one at a time."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from pathlib import Path

import pytest
from textual import events
from textual.message_pump import MessagePump
from textual.pilot import Pilot

from proofbell.app.app import ProofbellApp
from proofbell.app.session.live import Live
from proofbell.app.session.saving.journal_access import look_back
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.app.terminal import keys_in_turn
from tests.support.bakes import baked
from tests.support.kitchen_scene import app_on, empty_bench, of, proofing
from tests.support.settling import settled
from tests.support.stage import HandClock, live_kitchen, seen


@pytest.fixture
async def kept(tmp_path: Path) -> AsyncIterator[tuple[Live, HandClock]]:
    """A bench with one finished bake in its journal."""
    keeper = JournalKeeper(tmp_path / "journal.sqlite")
    live, clock = live_kitchen(keeper=keeper)
    await baked(live, clock)
    yield live, clock
    keeper.close()


Kept = tuple[Live, HandClock]


async def in_one_breath(pilot: Pilot[int], *keys: str) -> None:
    """Hand all keys to the app before it has looked at the first."""
    for key in keys:
        character = key if len(key) == 1 else None
        pilot.app.post_message(events.Key("full_stop" if key == "." else "slash" if key == "/" else key, character))
    for _ in range(3 * len(keys)):
        await pilot.pause()
    await settled(pilot)


async def test_a_file_name_typed_right_behind_the_key_that_asks_for_it_is_the_name(kept: Kept, tmp_path: Path) -> None:
    live, _ = kept
    path = tmp_path / "a.md"
    app = ProofbellApp(live, loud=True)
    async with app.run_test(size=(120, 36)) as pilot:
        await settled(pilot)
        await pilot.press("escape", "J")
        await settled(pilot)
        await in_one_breath(pilot, "e", "ctrl+u", *str(path), "enter")
        shown = " ".join(seen(app).split())

    assert path.is_file()
    assert "Written" in shown


async def test_a_note_typed_right_behind_its_key_does_not_mark_the_bake(kept: Kept) -> None:
    live, _ = kept
    app = ProofbellApp(live, loud=True)
    async with app.run_test(size=(120, 36)) as pilot:
        await settled(pilot)
        await pilot.press("escape", "J")
        await settled(pilot)
        await in_one_breath(pilot, "enter")
        await in_one_breath(pilot, "n", *"warm", "enter")

    state = (await look_back(live, "knots")).state
    assert [note.text for note in state.notes] == ["warm"]
    assert state.typical


async def test_a_key_whose_end_is_never_heard_of_holds_no_other_up(kept: Kept, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(keys_in_turn, "LONGEST_S", 0.001)
    app = ProofbellApp(kept[0], loud=True)
    later = MessagePump.call_later

    def forgotten(pump: MessagePump, callback: Callable[..., object], *args: object) -> bool:
        """What the app asks of a widget is taken on and never done."""
        if pump is app or getattr(callback, "__self__", None) is not app:
            return later(pump, callback, *args)
        asked.append(pump)
        return True

    asked: list[MessagePump] = []
    monkeypatch.setattr(MessagePump, "call_later", forgotten)
    async with app.run_test(size=(120, 36)) as pilot:
        await settled(pilot)
        await in_one_breath(pilot, "escape", "J")
        for _ in range(50):
            await pilot.pause(0.002)
        await settled(pilot)
        shown = seen(app)

    assert asked
    assert "Journal" in shown


async def test_a_number_typed_as_its_dialog_opens_by_itself_is_taken_whole() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await in_one_breath(pilot, *"25.5", "enter")

    assert [reading.value for reading in of(live, bake).readings] == [25.5]
