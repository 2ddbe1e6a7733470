"""A bake that is over and put away is off the bench in every window; it is a line of its log, and can be taken back."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

import pytest

from proofbell.app.bench.log_lines import log_lines
from proofbell.app.session.bench_states import MOST_AWAY
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.bake import intents
from proofbell.bake.intents import Refused
from proofbell.cli import main
from proofbell.errors import Failure
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, LOAF, app_on, empty_bench, of, proofing, put_on, say
from tests.support.settling import settle
from tests.support.stage import FullDisk, HandClock


@asynccontextmanager
async def two_windows(folder: Path) -> AsyncIterator[tuple[Live, Live, HandClock, str]]:
    """Two windows on one journal, with a bake that was given up; its id."""
    clock = HandClock()
    keepers = [JournalKeeper(folder / "journal.sqlite") for _ in range(2)]
    first, second = (Live(clock, keeper, GUESTHOUSE) for keeper in keepers)
    await first.take_up()
    bake = await put_on(first, KNOTS)
    await second.take_up()
    await say(first, bake, intents.Begin(), intents.GiveUp("dropped"))
    await second.look_again()
    try:
        yield first, second, clock, bake
    finally:
        for keeper in keepers:
            keeper.close()


def letters(live: Live) -> str:
    return "".join(state.letter for state in live.states)


async def test_what_one_window_puts_away_is_gone_from_the_other_as_soon_as_that_looks(tmp_path: Path) -> None:
    async with two_windows(tmp_path) as (first, second, _, bake):
        assert (letters(first), letters(second)) == ("A", "A")

        assert await first.put_away(bake) is None
        await second.look_again()

        assert (letters(first), letters(second)) == ("", "")


async def test_the_row_goes_from_the_other_window_s_screen_and_its_open_log_stays(tmp_path: Path) -> None:
    async with two_windows(tmp_path) as (first, second, _, bake):
        await put_on(first, LOAF)
        await second.look_again()
        app = app_on(second)
        async with app.run_test(size=(80, 24)) as pilot:
            await settle(pilot, app)
            app.bench.take(bake)
            await pilot.press("b")
            assert "Bake given up (dropped)" in await settle(pilot, app)
            await first.put_away(bake)
            await second.look_again()
            app.tick()
            log = await settle(pilot, app)
            await pilot.press("escape")
            shown = await settle(pilot, app)

    assert "Put away" in log
    assert "Bake given up (dropped)" in log
    assert "Given up" not in shown
    assert "quay pan loaf" in shown.lower()


async def test_a_note_written_in_the_other_window_meanwhile_is_not_lost(tmp_path: Path) -> None:
    async with two_windows(tmp_path) as (first, second, _, bake):
        await first.put_away(bake)
        await second.look_again()

        await say(second, bake, intents.AddNote("the tray slipped"))
        await first.look_again()

        assert [note.text for note in of(first, bake).notes] == ["the tray slipped"]
        assert (letters(first), letters(second)) == ("", "")


async def test_undone_it_is_back_in_every_window(tmp_path: Path) -> None:
    async with two_windows(tmp_path) as (first, second, _, bake):
        await first.put_away(bake)
        await second.look_again()
        await say(first, bake, intents.Undo())
        await second.look_again()

        assert (letters(first), letters(second)) == ("A", "A")
        assert of(second, bake).closed is not None


async def test_a_log_that_cannot_be_read_any_more_is_no_trouble_of_a_bake_that_was_put_away(tmp_path: Path) -> None:
    async with two_windows(tmp_path) as (first, second, _, bake):
        second.keeper.unread = {bake: Failure("its log is damaged")}  # type: ignore[misc]
        seen = second.unread
        await first.put_away(bake)
        first.keeper.unread = {bake: Failure("its log is damaged")}  # type: ignore[misc]

        assert list(seen) == [bake]
        assert first.unread == {}


async def test_two_windows_that_put_it_away_at_once_do_it_once(tmp_path: Path) -> None:
    async with two_windows(tmp_path) as (first, second, clock, bake):
        assert await first.put_away(bake) is None
        clock.forward(1)
        assert await second.put_away(bake) == Refused("It is put away already.")

        assert letters(second) == ""
        assert of(second, bake).last.number == of(first, bake).last.number


async def test_after_a_restart_it_is_not_shown(tmp_path: Path) -> None:
    async with two_windows(tmp_path) as (first, _, clock, bake):
        await first.put_away(bake)
        keeper = JournalKeeper(tmp_path / "journal.sqlite")
        again = Live(clock, keeper, GUESTHOUSE)
        await again.take_up()
        await again.look_again()
        keeper.close()

        assert letters(again) == ""


async def test_a_new_bake_with_its_letter_puts_it_away_in_every_window(tmp_path: Path) -> None:
    async with two_windows(tmp_path) as (first, second, _, bake):
        await put_on(first, LOAF)
        await second.look_again()

        assert [(state.letter, state.closed) for state in second.states] == [("A", None)]
        assert of(first, bake).away
        assert [state.formula.name for state in second.states] == [state.formula.name for state in first.states]


async def given_up(keeper: FullDisk | None = None) -> tuple[Live, str]:
    """A bench with one bake, which was given up in its proof."""
    live, clock = empty_bench(keeper)
    bake = await proofing(live, clock)
    await say(live, bake, intents.GiveUp("enough"))
    return live, bake


async def test_u_right_after_c_brings_it_back() -> None:
    live, bake = await given_up()
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("c")
        gone = await settle(pilot, app)
        await pilot.press("u")
        back = await settle(pilot, app)

    assert "Given up" not in gone
    assert "Given up" in back
    assert "Undone: Put away." in back or "Undone: A: Put away." in back
    assert of(live, bake).closed is not None, "its end stands"


async def test_the_key_twice_puts_away_one_and_scolds_nobody() -> None:
    live, _ = await given_up()
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        app.bench.action_put_away()
        app.bench.action_put_away()
        shown = await settle(pilot, app)

    assert "Put away; it is in the journal." in shown
    assert "✗" not in shown


async def test_what_could_not_be_saved_as_it_was_put_away_stays_until_it_is() -> None:
    keeper = FullDisk()
    live, bake = await given_up(keeper)
    keeper.full = True

    await live.put_away(bake)
    there = letters(live)
    assert isinstance(await live.put_away(bake), Refused)
    keeper.full = False
    await live.look_again()

    assert there == "A", "one who leaves now is told what is not saved"
    assert letters(live) == ""


async def test_one_that_is_on_is_not_put_away() -> None:
    live, clock = empty_bench()
    bake = await proofing(live, clock)

    assert await live.put_away(bake) == Refused("Only a bake that is over can be put away.")


async def test_no_more_than_so_many_that_were_put_away_are_kept_in_mind() -> None:
    live, clock = empty_bench()
    bake = await put_on(live, KNOTS)
    one = of(live, bake)
    others = [f"later-{number}" for number in range(MOST_AWAY)]
    for each in (bake, *others):
        if each != bake:
            assert not isinstance(await live.open(each, one.formula, one.batch), Refused)
        await say(live, each, intents.GiveUp(), intents.PutAway())
        clock.forward(60)
    await live.look_again()

    assert live.state(bake) is None
    assert [live.state(each) is not None for each in others] == [True] * MOST_AWAY


async def test_the_log_says_it_last(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    async with two_windows(tmp_path) as (first, _, clock, bake):
        await first.put_away(bake)
        lines = [line.words for line in log_lines(of(first, bake), clock.stamp())]

    assert lines[-2:] == ["Bake given up (dropped)", "Put away"]
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "journal.sqlite"))
    assert main(["journal", "show", bake]) == 0
    told = capsys.readouterr().out
    assert told.splitlines()[-1].endswith("  Put away")
