"""While nothing can be saved no answer sounds as if it were, and the way to another file is never out of reach."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from pathlib import Path

import pytest
from textual.widgets import Input, Static

from proofbell.app.app import ProofbellApp
from proofbell.app.journal.bake_screen import BakeScreen
from proofbell.app.reading.reading_dialog import ReadingDialog
from proofbell.app.session.kept import NOT_YET, kept_words
from proofbell.app.widgets.confirm_dialog import ConfirmDialog
from proofbell.app.widgets.trouble_dialog import TroubleDialog
from proofbell.bake import intents
from proofbell.bake.events import Event
from proofbell.bake.fold import fold
from proofbell.journal.storage.store import Journal
from proofbell.visible import visible
from tests.support.kitchen_scene import KNOTS, app_on, empty_bench, of, proofing, put_on, say
from tests.support.settling import settle
from tests.support.stage import FullDisk, seen


def question(app: ProofbellApp) -> str:
    """What is asked, as one line."""
    assert isinstance(app.screen, ConfirmDialog)
    return str(app.screen.query_one("#question", Static).render())


ANSWERS = {
    "Noted.": ("n", "w", "e", "l", "l", "enter"),
    "5 min longer.": ("l",),
    "5 min shorter.": ("s",),
    "Dough temperature 25 °C: in the log.": ("r", "2", "5", "enter"),
    "Undone: ": ("u",),
}


@pytest.mark.parametrize("full", [True, False])
@pytest.mark.parametrize("answer", ANSWERS)
async def test_an_answer_says_when_what_was_said_is_only_kept(answer: str, full: object) -> None:
    keeper = FullDisk()
    live, clock = empty_bench(keeper)
    bake = await proofing(live, clock)
    await say(live, bake, intents.Read("dough temperature", "25", raw=25.0))
    await say(live, bake, intents.AddNote("by the window"))
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        keeper.full = bool(full)
        await pilot.press(*ANSWERS[answer])
        shown = await settle(pilot, app)
    assert (f"{NOT_YET} · {answer}" in shown) is full
    assert answer in shown


async def test_a_bake_looked_back_on_answers_so_too() -> None:
    keeper = FullDisk()
    live, clock = empty_bench(keeper)
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        keeper.full = True
        await app.push_screen(BakeScreen(live, bake))
        await settle(pilot, app)
        await pilot.press("m")
        assert f"{NOT_YET} · Marked as not typical" in await settle(pilot, app)


async def test_where_nothing_was_answered_nothing_is_said() -> None:
    keeper = FullDisk()
    live, _clock = empty_bench(keeper)
    bake = await put_on(live, KNOTS)
    keeper.full = True
    await say(live, bake, intents.Begin())
    assert kept_words(live, bake, "") == ""
    assert kept_words(live, "another", "Noted.") == "Noted."


async def test_a_bake_that_is_not_saved_is_not_said_to_be_in_the_journal() -> None:
    keeper = FullDisk()
    live, clock = empty_bench(keeper)
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        keeper.full = True
        await app.say(bake, intents.GiveUp("dropped"))
        await pilot.press("c")
        shown = await settle(pilot, app)
        assert "A is not saved yet; it stays here until it is." in shown
        assert of(live, bake).closed is not None
        keeper.full = False
        await live.look_again()
        await pilot.press("c")
        assert "Put away; it is in the journal." in await settle(pilot, app)


async def test_all_that_is_wrong_opens_over_a_reading_and_what_was_typed_is_still_there_then() -> None:
    keeper = FullDisk()
    live, clock = empty_bench(keeper)
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        keeper.full = True
        await app.say(bake, intents.AddNote("risen well"))
        await settle(pilot, app)
        if not isinstance(app.screen, ReadingDialog):
            await pilot.press("r")
        clock.forward(1)
        await pilot.press("2", "6", "exclamation_mark")
        shown = await settle(pilot, app)
        assert isinstance(app.screen, TroubleDialog)
        assert "w write what is known to another file" in shown
        await pilot.press("escape")
        await settle(pilot, app)
        assert isinstance(app.screen, ReadingDialog)
        assert app.screen.query_one("#number", Input).value == "26"


async def test_a_reading_taken_while_all_that_is_wrong_lies_over_it_closes_after_that() -> None:
    class Slow(FullDisk):
        """Answers when it is let."""

        async def append(self, events: Sequence[Event], expected_last: int) -> None:
            await go.wait()
            await super().append(events, expected_last)

    go = asyncio.Event()
    go.set()
    keeper = Slow()
    live, clock = empty_bench(keeper)
    bake = await proofing(live, clock)
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        go.clear()
        if not isinstance(app.screen, ReadingDialog):
            await pilot.press("r")
        clock.forward(1)
        await pilot.press("2", "6", "enter", "exclamation_mark")
        await pilot.pause()
        assert isinstance(app.screen, TroubleDialog)
        go.set()
        await settle(pilot, app)
        assert isinstance(app.screen, TroubleDialog), "it is not closed in place of the reading"
        await pilot.press("escape")
        await settle(pilot, app)
        await pilot.pause()
        assert app.screen_stack[-1] is app.bench
        assert "Dough temperature 26 °C: in the log." in seen(app)
    assert len(of(live, bake).readings) == 1


async def test_leaving_knows_of_the_file_that_all_was_written_to_until_more_is_said(tmp_path: Path) -> None:
    keeper = FullDisk()
    live, clock = empty_bench(keeper)
    bake = await proofing(live, clock)
    app = app_on(live)
    file = tmp_path / "k.sqlite"
    async with app.run_test(size=(100, 30)) as pilot:
        keeper.full = True
        await app.say(bake, intents.AddNote("risen well"))
        await settle(pilot, app)
        while app.screen is not app.bench:
            clock.forward(1)
            await pilot.press("escape")
            await settle(pilot, app)
        await pilot.press("ctrl+q")
        await settle(pilot, app)
        assert "another place is tried" in question(app)
        await pilot.press("exclamation_mark")
        await settle(pilot, app)
        assert isinstance(app.screen, TroubleDialog), "the question names the key"
        await pilot.press("w")
        app.screen.query_one("#known", Input).value = str(file)
        await pilot.press("enter")
        await settle(pilot, app)
        await pilot.press("escape", "ctrl+q")
        await settle(pilot, app)
        assert question(app) == (
            "Leave now? 1 line of the log could not be saved in the journal; "
            f"all of it is written to {visible(str(file))}."
        )
        await app.say(bake, intents.AddNote("and more"))
        await settle(pilot, app)
        assert app.screen is app.bench, "what was asked is no longer true"
        await pilot.press("ctrl+q")
        await settle(pilot, app)
        assert "2 lines of the log could not be saved. When you leave" in question(app)
        await pilot.press("escape")
        await live.write_known(tmp_path / "again.sqlite")
        await pilot.press("ctrl+q", "y")
        await settle(pilot, app)
    assert app.return_value == 1, "the journal itself still lacks them"
    with Journal.open(tmp_path / "again.sqlite") as journal:
        assert [note.text for note in fold(journal.events_of(bake)).notes] == ["risen well", "and more"]


async def test_what_is_written_aside_and_then_saved_is_no_excuse_for_what_comes_later(tmp_path: Path) -> None:
    keeper = FullDisk()
    live, clock = empty_bench(keeper)
    bake = await proofing(live, clock)
    keeper.full = True
    await say(live, bake, intents.AddNote("one"))
    await live.write_known(tmp_path / "known.sqlite")
    assert live.aside == tmp_path / "known.sqlite"
    keeper.full = False
    await live.save()
    keeper.full = True
    await say(live, bake, intents.AddNote("two"))
    assert live.aside is None
    assert {file.name for file in tmp_path.iterdir()} == {"known.sqlite"}, "nothing else is left beside it"
