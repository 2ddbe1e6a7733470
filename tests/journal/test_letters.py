"""No two live bakes have one letter: it is settled in the transaction that stores them, and by the file itself."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.bake import events as kinds
from proofbell.bake.events import Body, Event
from proofbell.bake.fold import fold
from proofbell.journal.faults import LetterTaken
from proofbell.journal.reviews.wording import event_words
from proofbell.journal.storage.letters import worked_out
from proofbell.journal.storage.store import Journal
from tests.support.making import KNOTS, chain, first_events, opened
from tests.support.version_1 import MORNING, NIGHT, WINDOW, write_version_1


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "journal.db"


def after(events: list[Event], *bodies: Body) -> list[Event]:
    return chain(events[0].bake, [(10.0 + number, body) for number, body in enumerate(bodies)], events)


def test_a_second_bake_of_one_letter_is_refused_and_nothing_of_it_is_stored(path: Path) -> None:
    with Journal.open(path) as journal, Journal.open(path) as window:
        journal.append(first_events("one"), 0)
        window.append(first_events("two", letter="C"), 0)
        with pytest.raises(LetterTaken) as caught:
            window.append(first_events("three"), 0)
        assert (caught.value.bake, caught.value.letter) == ("three", "A")
        assert caught.value.taken == {"A", "C"}
        assert window.bake_ids() == ["one", "two"]
        assert window.letters() == {"A": "one", "C": "two"}


def test_a_letter_is_free_again_when_its_bake_is_over(path: Path) -> None:
    one = first_events("one")
    with Journal.open(path) as journal:
        journal.append(one, 0)
        journal.append(after(one, kinds.BakeClosed("finished")), len(one))
        assert journal.letters() == {}
        journal.append(first_events("two"), 0)
        assert journal.letters() == {"A": "two"}


def test_a_closing_taken_back_needs_a_letter_that_is_free(path: Path) -> None:
    one = first_events("one")
    closing = after(one, kinds.BakeClosed("given up"))
    back = after(one + closing, kinds.Corrected((closing[0].number,), undone=True))
    other = after(
        one + closing, kinds.Corrected((closing[0].number,), undone=True), kinds.LetterGiven("B", "A was taken")
    )
    with Journal.open(path) as journal:
        journal.append(one, 0)
        journal.append(closing, 3)
        journal.append(first_events("two"), 0)
        with pytest.raises(LetterTaken):
            journal.append(back, 4)
        assert len(journal.events_of("one")) == 4
        journal.append(other, 4)
        assert journal.letters() == {"A": "two", "B": "one"}


def test_a_closing_taken_back_takes_its_letter_again(path: Path) -> None:
    one = first_events("one")
    closing = after(one, kinds.BakeClosed("given up"))
    with Journal.open(path) as journal:
        journal.append(one + closing, 0)
        assert journal.letters() == {}
        journal.append(after(one + closing, kinds.Corrected((4,), undone=True)), 4)
        assert journal.letters() == {"A": "one"}
        with pytest.raises(LetterTaken):
            journal.append(first_events("two"), 0)


def test_a_whole_bake_handed_in_at_once_takes_the_letter_that_it_has_in_the_end(path: Path) -> None:
    over = first_events("over")
    moved = first_events("moved")
    with Journal.open(path) as journal:
        journal.append(first_events("one"), 0)
        journal.append(over + after(over, kinds.BakeClosed("finished")), 0)
        journal.append(moved + after(moved, kinds.LetterGiven("F")), 0)
        assert journal.letters() == {"A": "one", "F": "moved"}


def test_the_file_itself_holds_no_letter_twice_and_none_beyond_the_bench(path: Path) -> None:
    with Journal.open(path) as journal:
        journal.append(first_events("one"), 0)
    tool = sqlite3.connect(path)
    for row in (("A", "two"), ("M", "two"), ("B", "one")):
        with pytest.raises(sqlite3.IntegrityError):
            tool.execute("INSERT INTO letters VALUES (?, ?)", row)
    tool.close()


def test_the_log_says_by_what_letter_it_goes() -> None:
    assert event_words(kinds.LetterGiven("C", "A was taken"), KNOTS) == "Letter changed to C (A was taken)"


def test_of_two_that_an_older_journal_gave_one_letter_the_earlier_keeps_it(path: Path) -> None:
    write_version_1(path)
    with Journal.open(path) as journal:
        assert journal.live_bakes() == [NIGHT, MORNING, WINDOW]
        assert journal.letters() == {"A": MORNING, "B": NIGHT}
        events = list(journal.events_of(WINDOW))
        # What is said to the other is stored all the same, a taking back among it.
        noted = after(events, kinds.NoteAdded("sticky"), kinds.NoteAdded("no, it is not"))
        journal.append(noted, len(events))
        events += noted
        back = after(events, kinds.Corrected((events[-1].number,), undone=True))
        journal.append(back, len(events))
        events += back
        assert journal.letters() == {"A": MORNING, "B": NIGHT}
        with pytest.raises(LetterTaken):
            journal.append(after(events, kinds.LetterGiven("B")), len(events))
        journal.append(after(events, kinds.LetterGiven("C")), len(events))
        assert journal.letters() == {"A": MORNING, "B": NIGHT, "C": WINDOW}


def test_a_letter_that_was_shared_is_the_others_when_one_gives_it_back(path: Path) -> None:
    write_version_1(path)
    with Journal.open(path) as journal:
        events = list(journal.events_of(MORNING))
        journal.append(after(events, kinds.BakeClosed("finished")), len(events))
        assert journal.letters() == {"A": WINDOW, "B": NIGHT}
        with pytest.raises(LetterTaken):
            journal.append(first_events("new"), 0)


def test_letters_that_somebody_took_out_of_the_file_are_put_back(path: Path) -> None:
    with Journal.open(path) as journal:
        journal.append(first_events("one"), 0)
        journal.connection.execute("DROP TABLE letters")
        assert journal.letters() == {"A": "one"}
    with Journal.open(path) as journal:
        with pytest.raises(LetterTaken):
            journal.append(first_events("two"), 0)
        journal.append(first_events("two", letter="B"), 0)
        assert journal.letters() == {"A": "one", "B": "two"}


DEEDS = st.lists(st.tuples(st.integers(0, 3), st.sampled_from("obcl"), st.sampled_from("ABC")), max_size=25)


@settings(max_examples=60)
@given(DEEDS)
def test_whatever_is_done_each_live_bake_has_a_letter_of_its_own(
    tmp_path_factory: pytest.TempPathFactory, deeds: list[tuple[int, str, str]]
) -> None:
    """Open, close, take a closing back, take another letter, at random: the table is what the logs say."""
    logs: dict[str, list[Event]] = {}
    with Journal.open(tmp_path_factory.mktemp("any") / "journal.db") as journal:
        journal.connection.execute("PRAGMA synchronous = OFF")
        for which, deed, letter in deeds:
            bake = f"bake {which}"
            events = logs.get(bake, [])
            more = _deed(bake, events, deed, letter)
            if not more:
                continue
            try:
                journal.append(more, len(events))
            except LetterTaken as fault:
                holder = journal.letters()[fault.letter]
                assert holder != bake
                assert fold(logs[holder]).closed is None
            else:
                logs[bake] = events + more
            live = [fold(log) for log in logs.values() if fold(log).closed is None]
            assert journal.letters() == {state.letter: state.id for state in sorted(live, key=lambda s: s.letter)}
            assert len(journal.letters()) == len(live)
        assert journal.letters() == worked_out(journal.connection)


def _deed(bake: str, events: list[Event], deed: str, letter: str) -> list[Event]:
    if not events:
        return chain(bake, [(0.0, opened(letter=letter))]) if deed == "o" else []
    closed = fold(events).closed is not None
    closing = next((e for e in reversed(events) if isinstance(e.body, kinds.BakeClosed)), None)
    if deed == "c" and not closed:
        return after(events, kinds.BakeClosed("finished"))
    if deed == "b" and closed and closing is not None:
        return after(events, kinds.Corrected((closing.number,), undone=True))
    if deed == "l":
        return after(events, kinds.LetterGiven(letter))
    return []
