"""What is said to a bake from outside is decided anew for as long as others are first, and never refused for it."""

from __future__ import annotations

import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest

from proofbell.bake import events as kinds
from proofbell.bake import intents
from proofbell.bake.decisions.decide import decide
from proofbell.bake.fold import fold
from proofbell.bake.intents import Refused
from proofbell.bake.stamp import Stamp
from proofbell.clock import Patience
from proofbell.journal.faults import BusyOpening, DiskFull, KeptBusy, StaleDecision
from proofbell.journal.storage.deciding import Said, opened, patiently, say
from proofbell.journal.storage.store import Journal
from tests.support.making import chain, first_events, stamp


class Times:
    """Says yes so many times, and waits for nothing."""

    def __init__(self, left: int) -> None:
        self.left = left
        self.asked = 0

    def again(self) -> bool:
        self.asked += 1
        self.left -= 1
        return self.left >= 0


class Clocks:
    """A moment later whenever it is asked; between two, somebody else may add a note."""

    def __init__(self, path: Path, others: int) -> None:
        self._path, self._others, self.asked = path, others, 0

    def stamp(self) -> Stamp:
        self.asked += 1
        now = stamp(100.0 + self.asked)
        if self.asked <= self._others:
            with Journal.open(self._path) as other:
                events = other.events_of("one")
                note = chain("one", [(90.0 + self.asked, kinds.NoteAdded(f"other {self.asked}"))], events)
                other.append(note, len(events))
        return now


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "journal.db"
    with Journal.open(path) as journal:
        journal.append(first_events("one"), 0)
    return path


def test_it_is_decided_anew_on_what_is_there_and_at_the_moment_of_then(path: Path) -> None:
    clocks, retry = Clocks(path, 9), Times(20)
    with Journal.open(path) as journal:
        said = say(journal, "one", intents.AddNote("at last"), clocks.stamp, retry)
        assert isinstance(said, Said)
        assert said.state == fold(journal.events_of("one"))
    assert said.events[0].number == 3 + 9 + 1
    assert said.events[0].stamp == stamp(100.0 + 10)
    assert retry.asked == 9


def test_when_there_is_no_time_left_it_says_so_and_nothing_is_stored(path: Path) -> None:
    with Journal.open(path) as journal:
        with pytest.raises(StaleDecision):
            say(journal, "one", intents.AddNote("never"), Clocks(path, 9).stamp, Times(3))
        assert [note.text for note in fold(journal.events_of("one")).notes][2:] == [f"other {n}" for n in (1, 2, 3, 4)]


def test_what_the_bake_refuses_is_not_tried_again(path: Path) -> None:
    retry = Times(5)
    with Journal.open(path) as journal:
        assert isinstance(say(journal, "one", intents.Begin(), Clocks(path, 0).stamp, retry), Said)
        assert isinstance(say(journal, "one", intents.Begin(), Clocks(path, 0).stamp, retry), Refused)
    assert retry.asked == 0


def test_a_disk_that_is_full_is_not_tried_again() -> None:
    def job() -> None:
        raise DiskFull("full")

    retry = Times(5)
    with pytest.raises(DiskFull):
        patiently(job, retry)
    assert retry.asked == 0


def test_a_journal_that_another_program_keeps_busy_is_opened_when_it_is_free(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("proofbell.journal.storage.deciding.WAIT_S", 0.0)
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")

        class UntilFree(Times):
            def again(self) -> bool:
                if self.asked == 2:
                    other.execute("ROLLBACK")
                return super().again()

        with pytest.raises(BusyOpening, match="another program"):
            opened(path, Times(0))
        with opened(path, UntilFree(9)) as journal:
            assert len(journal.events_of("one")) == 3


def test_twenty_at_once_are_all_taken(path: Path) -> None:
    """Each from a thread with a connection of its own, as twenty programs would have."""
    refused: list[BaseException] = []
    begin = threading.Barrier(20)

    def hand_in(number: int) -> None:
        try:
            begin.wait()
            retry = Patience(600.0)
            with opened(path, retry) as journal:
                said = say(journal, "one", intents.AddNote(f"note of {number}"), lambda: stamp(60.0 + number), retry)
            assert isinstance(said, Said)
        except (KeptBusy, StaleDecision, AssertionError) as error:
            refused.append(error)

    threads = [threading.Thread(target=hand_in, args=(number,)) for number in range(20)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert refused == []
    with Journal.open(path) as journal:
        notes = [note.text for note in fold(journal.events_of("one")).notes][2:]
    assert sorted(notes) == sorted(f"note of {number}" for number in range(20))


def test_waits_grow_are_of_chance_length_and_end_in_time() -> None:
    waited: list[float] = []
    chances = iter([0.0, 1.0] * 50)
    patience = Patience(3.0, running_s=lambda: sum(waited), sleep=waited.append, chance=lambda: next(chances))
    while patience.again():
        assert len(waited) < 50
    assert waited[:4] == pytest.approx([0.01, 0.04, 0.04, 0.16])
    assert max(waited) <= Patience.LONGEST_S
    assert sum(waited) == pytest.approx(3.0)


def test_nothing_is_waited_for_when_the_time_is_over() -> None:
    waited: list[float] = []
    assert not Patience(0.0, running_s=lambda: 5.0, sleep=waited.append).again()
    assert waited == []


def test_a_decision_made_here_is_the_one_the_app_would_make(path: Path) -> None:
    with Journal.open(path) as journal:
        state = fold(journal.events_of("one"))
        expected = decide(state, intents.Begin(), stamp(200.0))
        said = say(journal, "one", intents.Begin(), lambda: stamp(200.0), Times(0))
    assert isinstance(said, Said)
    assert said.events == expected
