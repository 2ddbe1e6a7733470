"""Memory is the second copy: where the journal cannot be written the bench goes on, and all of it is stored later."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import AsyncIterator
from dataclasses import replace
from pathlib import Path

import pytest

from proofbell.app.session.bench_states import BenchStates
from proofbell.app.session.live import Live
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.app.session.troubles import JOURNAL
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide
from proofbell.bake.fold import fold
from proofbell.bake.intents import Intent, Refused
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.errors import Failure
from proofbell.journal.recovery.rotation import backup_path
from proofbell.journal.recovery.verify import verify
from proofbell.journal.storage.store import Journal
from tests.support.kitchen_scene import GUESTHOUSE, KNOTS, LOAF, app_on, formula, of, put_on, say
from tests.support.stage import HandClock

Kept = tuple[Live, HandClock, Path]


@pytest.fixture
async def kept(tmp_path: Path) -> AsyncIterator[Kept]:
    """A bench on a journal of its own, with the harbour knots begun."""
    path = tmp_path / "kept" / "journal.sqlite"
    keeper, clock = JournalKeeper(path), HandClock()
    live = Live(clock, keeper, GUESTHOUSE)
    await live.take_up()
    await say(live, await put_on(live, KNOTS), intents.Begin())
    yield live, clock, path
    keeper.close()


def stored(path: Path, bake: str) -> tuple[str, ...]:
    """The notes of a bake as they are in a journal that is sound."""
    with Journal.open(path) as journal:
        assert not verify(journal).problems
        return tuple(note.text for note in fold(journal.events_of(bake)).notes)


def elsewhere(path: Path, bake: str, intent: Intent, clock: HandClock) -> None:
    """Say something in another program."""
    with Journal.open(path) as journal:
        state = fold(journal.events_of(bake))
        decision = decide(state, intent, clock.stamp())
        assert not isinstance(decision, Refused), decision
        journal.append(decision, state.last.number)


async def until_saved(live: Live) -> None:
    """Look again, as the app does each second, until all is saved."""
    for _ in range(5):
        await live.save()
        if not live.unsaved:
            return
    raise AssertionError(f"still unsaved: {live.unsaved.fault}")


async def test_a_file_that_was_removed_is_made_again_with_all_that_is_known(kept: Kept) -> None:
    live, clock, path = kept
    path.unlink()
    clock.forward(60)
    await say(live, "bake-1", intents.AddNote("the file is gone"))
    assert live.unsaved
    assert of(live, "bake-1").notes, "the bench goes on"
    await until_saved(live)
    assert stored(path, "bake-1") == ("the file is gone",)


async def test_a_folder_that_is_gone_is_waited_for_and_not_made_again(kept: Kept) -> None:
    live, clock, path = kept
    away = path.parent.with_name("unplugged")
    path.parent.rename(away)
    await say(live, "bake-1", intents.AddNote("unplugged"))
    clock.forward(60)
    await say(live, "bake-1", intents.AddNote("still unplugged"))
    for _ in range(3):
        await live.save()
    assert live.unsaved
    assert not path.parent.exists()
    away.rename(path.parent)
    await until_saved(live)
    assert stored(path, "bake-1") == ("unplugged", "still unplugged")


async def test_a_file_that_was_replaced_by_another_journal_takes_the_doughs_in(kept: Kept, tmp_path: Path) -> None:
    live, clock, path = kept
    with Journal.open(tmp_path / "other.sqlite") as other:
        chosen = formula(LOAF)
        opening = intents.Open("theirs", "A", chosen, weigh_out(chosen, GUESTHOUSE).batch, GUESTHOUSE, "0")
        decision = decide(None, opening, clock.stamp())
        assert not isinstance(decision, Refused)
        other.append(decision, 0)
    path.unlink()
    (tmp_path / "other.sqlite").rename(path)
    await say(live, "bake-1", intents.AddNote("onto another file"))
    await until_saved(live)
    assert stored(path, "bake-1") == ("onto another file",)
    await live.look_again()
    assert sorted(state.letter for state in live.states) == ["A", "B"], "each live bake has a letter of its own"
    assert any("now has the letter B" in words for words in live.new_letters().values())


async def test_what_two_programs_said_while_one_could_not_save_stands_one_after_the_other(kept: Kept) -> None:
    live, clock, path = kept
    away = path.parent.with_name("unplugged")
    path.parent.rename(away)
    for text in ("mine, first", "mine, second"):
        clock.forward(10)
        await say(live, "bake-1", intents.AddNote(text))
    await say(live, "bake-1", intents.Done())
    elsewhere(away / path.name, "bake-1", intents.AddNote("theirs"), clock)
    away.rename(path.parent)
    await until_saved(live)
    assert stored(path, "bake-1") == ("theirs", "mine, first", "mine, second")
    assert of(live, "bake-1").current == 1


async def test_what_is_no_longer_possible_is_kept_as_a_note(kept: Kept) -> None:
    live, clock, path = kept
    away = path.parent.with_name("unplugged")
    path.parent.rename(away)
    await say(live, "bake-1", intents.Done())
    elsewhere(away / path.name, "bake-1", intents.GiveUp("dropped"), clock)
    away.rename(path.parent)
    await until_saved(live)
    assert of(live, "bake-1").closed is not None
    assert any("no longer possible" in text and "ended" in text for text in stored(path, "bake-1"))


async def test_what_is_known_can_be_written_to_another_file_and_that_is_a_sound_journal(
    kept: Kept, tmp_path: Path
) -> None:
    live, _clock, path = kept
    path.parent.rename(path.parent.with_name("unplugged"))
    await say(live, "bake-1", intents.AddNote("for the other file"))
    words = await live.write_known(tmp_path / "known.sqlite")
    assert "1 bake written" in words
    assert stored(tmp_path / "known.sqlite", "bake-1") == ("for the other file",)


@pytest.mark.parametrize(
    ("mine", "theirs", "taken"),
    [
        (intents.Done(), intents.AddNote("a note"), True),
        (intents.Done(), intents.Read("dough temperature", "26", raw=26.0, source="command"), True),
        (intents.Done(), intents.Done(), False),
        (intents.Longer(300), intents.Done(), False),
        (intents.Undo(), intents.AddNote("a note"), False),
        (intents.AddNote("mine"), intents.Done(), True),
        (intents.GiveUp(), intents.GiveUp(), False),
    ],
)
async def test_a_key_is_refused_only_when_what_came_between_changed_what_it_would_do(
    kept: Kept, mine: Intent, theirs: Intent, taken: object
) -> None:
    live, clock, path = kept
    elsewhere(path, "bake-1", theirs, clock)
    clock.forward(1)
    assert (await live.say("bake-1", mine) is None) is taken


async def test_two_windows_that_begin_a_bake_at_once_give_it_two_letters(kept: Kept) -> None:
    live, clock, path = kept
    second = Live(clock, JournalKeeper(path), GUESTHOUSE)
    await put_in(live, "mine")
    try:
        await put_in(second, "theirs")
        await second.look_again()
        assert {state.id: state.letter for state in second.states} == {"bake-1": "A", "mine": "B", "theirs": "C"}
    finally:
        second.keeper.close()


async def put_in(live: Live, bake: str) -> None:
    """Open a pan loaf under this id."""
    chosen = formula(LOAF)
    opened = await live.open(bake, chosen, weigh_out(chosen, live.kitchen).batch)
    assert not isinstance(opened, Refused), opened


async def test_a_bake_taken_up_again_gets_another_letter_when_its_own_is_taken(kept: Kept) -> None:
    live, clock, path = kept
    other = Live(clock, JournalKeeper(path), GUESTHOUSE)
    try:
        await other.take_up()
        await live.look_again()
        await say(live, "bake-1", intents.GiveUp("too cold"))
        await put_in(live, "next")
        assert of(live, "next").letter == "A"
        # It was put away for the next one: that is taken back first, then its end.
        await other.look_again()
        clock.forward(1)
        await say(other, "bake-1", intents.Undo(), intents.Undo())
        assert of(other, "bake-1").closed is None
        assert of(other, "bake-1").letter == "B"
        assert other.new_letters() == {"bake-1": "Harbour knots now has the letter B: A is taken."}
    finally:
        other.keeper.close()


async def test_letters_stay_apart_also_while_no_journal_can_settle_them(kept: Kept) -> None:
    live, _clock, path = kept
    await put_in(live, "second")
    path.parent.rename(path.parent.with_name("unplugged"))
    await say(live, "bake-1", intents.GiveUp("too cold"))
    await put_in(live, "third")
    await say(live, "bake-1", intents.Undo())
    assert {state.id: state.letter for state in live.states} == {"bake-1": "C", "second": "B", "third": "A"}


async def test_a_disk_that_never_answers_holds_up_no_key(tmp_path: Path) -> None:
    class Silent(JournalKeeper):
        """Answers when it is let."""

        silent = False

        async def append(self, events: object, expected_last: int) -> None:
            if not self.silent:
                await super().append(events, expected_last)  # type: ignore[arg-type]
                return
            await self.ask_in_vain()
            await super().append(events, expected_last)  # type: ignore[arg-type]

        async def ask_in_vain(self) -> None:
            """Something that the disk is busy with."""
            self.waiting = asyncio.ensure_future(self.ask(lambda _journal: go.wait(30)))
            await asyncio.sleep(0)

    go = threading.Event()
    keeper, clock = Silent(tmp_path / "journal.sqlite", patience_s=0.05), HandClock()
    live = Live(clock, keeper, replace(GUESTHOUSE))
    keeper.patience_s = 5.0
    await live.take_up()
    bake = await put_on(live, KNOTS)
    keeper.patience_s, keeper.silent = 0.05, True
    await say(live, bake, intents.Begin())
    assert of(live, bake).begun
    assert "has not answered" in str(live.unsaved.fault)
    go.set()
    keeper.patience_s = 5.0
    await until_saved(live)
    assert (await keeper.read(bake)).begun
    await keeper.waiting
    keeper.close()


async def test_when_a_bake_is_over_the_journal_is_copied_by_itself(kept: Kept) -> None:
    live, clock, path = kept
    app = app_on(live)
    async with app.run_test(size=(80, 24)):
        assert await app.say("bake-1", intents.AddNote("still on")) is None
        await app.workers.wait_for_complete()
        assert not backup_path(path, 1).exists(), "only when a bake is over"
        clock.forward(60)
        assert await app.say("bake-1", intents.GiveUp("dropped")) is None
        await app.workers.wait_for_complete()
    assert stored(backup_path(path, 1), "bake-1") == ("still on",)


async def test_a_backup_that_cannot_be_made_is_told(kept: Kept) -> None:
    live, _clock, path = kept
    (path.parent / "backups").write_text("in the way", encoding="utf-8")
    app = app_on(live)
    async with app.run_test(size=(80, 24)):
        assert await app.say("bake-1", intents.GiveUp("dropped")) is None
        await app.workers.wait_for_complete()
        assert any("backup" in trouble.text for trouble in app.troubles.all)


async def test_a_journal_begun_anew_says_what_is_not_in_it(kept: Kept) -> None:
    live, _clock, path = kept
    app = app_on(live)
    async with app.run_test(size=(80, 24)):
        app.troubles.tell("damaged", JOURNAL, "the file is damaged")
        path.unlink()
        for _ in range(20):  # A disk that is slow to answer is asked again.
            app.tick()
            await app.upkeep.looked_round()
            if not app.troubles.has("damaged"):
                break
        app.tick()
        assert not app.troubles.has("damaged"), "that was another file"
        assert any("Earlier bakes are not in it" in trouble.text for trouble in app.troubles.all)
    assert stored(path, "bake-1") == ()


async def test_a_file_is_written_only_into_a_folder_that_is_there(kept: Kept, tmp_path: Path) -> None:
    live, _clock, _path = kept
    with pytest.raises(Failure, match="there is no folder"):
        await live.write_known(tmp_path / "mistyped" / "known.sqlite")
    assert not (tmp_path / "mistyped").exists()


async def test_what_was_brought_back_is_spoken_of_no_more(kept: Kept, tmp_path: Path) -> None:
    live, _clock, _path = kept
    await live.write_known(tmp_path / "known.sqlite")
    assert await live.keeper.holds(tmp_path / "known.sqlite")
    with Journal.open(tmp_path / "known.sqlite") as journal:
        state = fold(journal.events_of("bake-1"))
        more = decide(state, intents.AddNote("only there"), HandClock().stamp())
        assert not isinstance(more, Refused)
        journal.append(more, state.last.number)
    assert not await live.keeper.holds(tmp_path / "known.sqlite")


async def test_what_is_stored_but_could_not_be_taken_into_memory_is_read_with_the_next_key(
    kept: Kept, monkeypatch: pytest.MonkeyPatch
) -> None:
    live, _clock, path = kept

    def fails(_self: BenchStates, _state: BakeState) -> None:
        raise RuntimeError("a fault that nobody foresaw")

    with monkeypatch.context() as broken:
        broken.setattr(BenchStates, "put", fails)
        with pytest.raises(RuntimeError):
            await live.say("bake-1", intents.AddNote("stored, not shown"))
    await say(live, "bake-1", intents.AddNote("after it"))
    assert [note.text for note in of(live, "bake-1").notes] == ["stored, not shown", "after it"]
    assert stored(path, "bake-1") == ("stored, not shown", "after it")
