"""The list of bakes says what their logs say, finds what is typed, and never goes stale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.bake import events as kinds
from proofbell.bake.events import Event
from proofbell.bake.fold import fold
from proofbell.journal import index
from proofbell.journal.reviews.search import COLUMNS, Column, Query, ordered, search
from proofbell.journal.reviews.summary import Summary, made_by, summarise
from proofbell.journal.storage.store import Journal
from tests.journal.generate import Truth, fill, simulated_bakes
from tests.support.making import MORNING_US, chain, first_events, opened


def a_bake(bake: str, *more: tuple[float, kinds.Body]) -> list[Event]:
    return chain(bake, [(0.0, opened()), (60.0, kinds.StageBegun(0)), *more])


def test_a_summary_says_what_happened() -> None:
    state = simulated_bakes(7, Truth(), 1)[0]
    summary = summarise(state)
    proofs = [state.stages[1], state.stages[3]]
    assert summary.formula == "Pier loaf"
    assert summary.proof_planned_s == 5400.0 + 3600.0
    assert summary.proof_actual_s == sum((run.ended_s or 0) - (run.begun_s or 0) for run in proofs)
    assert summary.dough_c == state.readings[0].value
    assert summary.outcome == "finished"
    assert summary.wants_score
    assert not summary.corrected
    assert summary.ended_us == state.last.stamp.wall_us


def test_a_bake_without_any_reading_or_end_has_gaps_not_noughts() -> None:
    summary = summarise(fold(a_bake("one")))
    assert (summary.dough_c, summary.proof_actual_s, summary.ended_us, summary.score) == (None, None, None, None)
    assert summary.outcome == ""
    assert not summary.wants_score
    assert summary.began_us == MORNING_US + 60_000_000


def test_the_list_follows_what_is_appended_and_corrected(tmp_path: Path) -> None:
    events = a_bake("one")
    with Journal.open(tmp_path / "journal.db") as journal:
        journal.append(events, 0)
        journal.append(first_events("two", letter="B"), 0)
        assert [summary.dough_c for summary in index.bakes(journal)] == [None, None]
        more = chain(
            "one",
            [
                (70.0, kinds.ReadingTaken("dough temperature", 35.0, "35", stage=0)),
                (80.0, kinds.Corrected((3,), undone=False, value=25.0, typed="25")),
            ],
            events,
        )
        journal.append(more, 2)
        listed = {summary.bake: summary for summary in index.bakes(journal)}
        assert listed["one"].dough_c == 25.0
        assert listed["one"].corrected
        assert not listed["two"].corrected


def test_a_kept_list_is_the_same_as_one_made_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(index, "AT_ONCE", 20)
    fill(tmp_path / "journal.db", 45)
    with Journal.open(tmp_path / "journal.db") as journal:
        told: list[tuple[int, int, int]] = []

        def tell(fresh: Sequence[Summary], read: int, of: int) -> None:
            told.append((len(fresh), read, of))

        first = index.bakes(journal, tell)
        assert told == [(0, 0, 45), (20, 20, 45), (20, 40, 45), (5, 45, 45)]
        told.clear()
        kept = index.bakes(journal, tell)
        assert told == [(45, 45, 45)]
        assert kept == first
        assert {s.bake: s for s in kept} == {b: summarise(fold(events)) for b, events, _ in journal.each()}


def test_a_list_of_another_version_is_made_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with Journal.open(tmp_path / "journal.db") as journal:
        journal.append(first_events("one"), 0)
        with monkeypatch.context() as patch:
            patch.setattr("proofbell.journal.index.made_by", lambda: 99)
            index.bakes(journal)
        assert [summary.bake for summary in index.bakes(journal)] == ["one"]
        assert journal.connection.execute("SELECT DISTINCT made_by FROM summaries").fetchall() == [(made_by(),)]


def test_a_journal_for_reading_only_is_listed_too(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "journal.db") as journal:
        journal.append(first_events("one"), 0)
    with Journal.open(tmp_path / "journal.db", read_only=True) as journal:
        assert [summary.bake for summary in index.bakes(journal)] == ["one"]
        assert journal.connection.execute("SELECT count(*) FROM summaries").fetchone() == (0,)


def test_a_damaged_bake_is_listed_with_its_fault(tmp_path: Path) -> None:
    with Journal.open(tmp_path / "journal.db") as journal:
        journal.append(first_events("one"), 0)
        journal.append(first_events("two", letter="B"), 0)
        journal.connection.execute("DROP TRIGGER events_are_never_changed")
        journal.connection.execute("UPDATE events SET body = replace(body, 'Harbour', 'Barbour') WHERE bake = 'one'")
        listed = {summary.bake: summary for summary in index.bakes(journal)}
    assert "event 1 was changed" in listed["one"].fault
    assert listed["two"].fault == ""


@pytest.fixture(scope="module")
def some() -> list[Summary]:
    states = simulated_bakes(3, Truth(), 6)
    made = [summarise(state) for state in states]
    made[0] = replace(made[0], score=8.5, words="pier loaf the oven door stood open")
    made[1] = replace(made[1], score=4.0, outcome="given up")
    made[2] = replace(made[2], formula="Harbour knots", dough_c=None)
    return made


def test_every_word_typed_must_be_there(some: list[Summary]) -> None:
    assert search(some, Query(text="OVEN  loaf")) == [some[0]]
    assert search(some, Query(text="oven knots")) == []
    assert search(some, Query(text="given up")) == [some[1]]
    assert len(search(some, Query())) == 6


def test_filters_by_formula_time_and_score(some: list[Summary]) -> None:
    assert search(some, Query(formula="knot")) == [some[2]]
    assert search(some, Query(score_at_least=5.0)) == [some[0]]
    assert search(some, Query(score_at_most=5.0)) == [some[1]]
    assert search(some, Query(since_us=some[3].began_us, until_us=some[4].began_us)) == some[3:5]
    assert search(some, Query(without_score=True)) == [s for s in some if s.wants_score]


@given(st.sampled_from(COLUMNS), st.booleans())
def test_sorting_by_any_column_keeps_every_bake(column: Column, descending: bool) -> None:  # noqa: FBT001
    listed = [summarise(state) for state in simulated_bakes(5, Truth(), 3)]
    assert sorted(s.bake for s in ordered(listed, column, descending=descending)) == [s.bake for s in listed]


@pytest.mark.parametrize("descending", [True, False])
def test_bakes_with_nothing_in_the_column_come_last_either_way(some: list[Summary], *, descending: bool) -> None:
    found = ordered(some, "dough", descending=descending)
    assert found[-1] is some[2]
    temperatures = [summary.dough_c or 0.0 for summary in found[:-1]]
    assert temperatures == sorted(temperatures, reverse=descending)
