"""Damage stays where it is: one bake that cannot be read keeps no other from being read, listed, or gone on with."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from proofbell.bake import events as kinds
from proofbell.bake.events import Event
from proofbell.journal import index
from proofbell.journal.export.exports import reviews
from proofbell.journal.faults import BusyReading, JournalFault
from proofbell.journal.learning.recall import habits
from proofbell.journal.recovery.verify import verify
from proofbell.journal.storage.lines import openings
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.model import Kitchen
from tests.support.damaging import INDEXES, PAGES, ROWS, Damage, put
from tests.support.making import chain, first_events, opened

LIVE = ("alder", "birch", "cedar")
OVER = "done"


def long_bake(bake: str, letter: str, *last: kinds.Body) -> list[Event]:
    """A bake that lies on pages of its own: each line but the first fills one, and no other fits beside it."""
    fill = "the tide was out and the flour was cold " * 88
    notes = ["begun", fill, fill, "middle", fill, fill, "end"]
    bodies = [kinds.NoteAdded(f"{note} of {bake} {fill if len(note) < 9 else ''}") for note in notes]
    return chain(bake, [(0.0, opened(letter=letter)), *((1.0 + n, body) for n, body in enumerate([*bodies, *last]))])


BAKES = {
    # Its last line is short, so that it comes first: those that are hurt come behind others.
    OVER: long_bake(OVER, "D", kinds.BakeClosed("finished")),
    **{bake: long_bake(bake, letter) for bake, letter in zip(LIVE, "ABC", strict=True)},
    "back": long_bake("back", "E", kinds.BakeClosed("given up"), kinds.Corrected((9,), undone=True)),
}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    with Journal.open(tmp_path / "journal.db") as journal:
        for events in BAKES.values():
            journal.append(events, 0)
    return tmp_path / "journal.db"


def looked_at_whole(journal: Journal, hurt: str) -> None:
    """Every way to look into the journal goes on past the bake that is hurt, and leaves no other out."""
    sound = [bake for bake in BAKES if bake != hurt]
    live = [bake for bake in journal.live_bakes() if bake in BAKES]
    assert live == [*LIVE, "back"]
    assert [bake for bake in journal.bake_ids() if bake in sound] == sound
    assert set(sound) <= set(journal.matching(""))
    assert journal.count() >= len(sound)
    assert all(list(journal.events_of(bake)) == BAKES[bake] for bake in sound)
    events, problems = journal.read(hurt)
    assert list(events) == BAKES[hurt][: len(events)]
    assert len(events) < len(BAKES[hurt])
    assert problems
    with pytest.raises(JournalFault, match=hurt):
        journal.events_of(hurt)
    listed = {summary.bake: summary.fault for summary in index.bakes(journal)}
    assert {bake for bake, fault in listed.items() if not fault} == set(sound)
    verdict = verify(journal)
    assert any(hurt in problem for problem in verdict.problems)
    assert not any(bake in problem for problem in verdict.problems for bake in sound)
    assert verdict.events >= sum(len(BAKES[bake]) for bake in sound)
    habits(journal, Kitchen(name="Guesthouse"))
    told = [looked_at.state.id for looked_at in reviews(journal, journal.bake_ids())]
    assert set(sound) <= set(told)


@pytest.mark.parametrize("hurt", ["birch", "back"])
@pytest.mark.parametrize("how", [*ROWS, *PAGES])
def test_one_damaged_bake_hides_no_other(path: Path, how: str, hurt: str) -> None:
    {**ROWS, **PAGES}[how](path, hurt)
    with Journal.open(path) as journal:
        looked_at_whole(journal, hurt)
        if how in PAGES and hurt == "back":
            # New lines would come onto the page after it.
            return
        journal.append(chain("cedar", [(99.0, kinds.NoteAdded("still at it"))], BAKES["cedar"]), 8)
        assert len(journal.events_of("cedar")) == 9


@pytest.mark.parametrize("how", [*ROWS, *PAGES])
def test_the_list_that_was_made_before_the_damage_stays(path: Path, how: str) -> None:
    with Journal.open(path) as journal:
        before = index.bakes(journal)
    {**ROWS, **PAGES}[how](path, "birch")
    with Journal.open(path) as journal:
        sound = [line for line in index.bakes(journal) if line.bake != "birch"]
        assert sound == [line for line in before if line.bake != "birch"]


@pytest.mark.parametrize("damage", INDEXES.values(), ids=INDEXES)
def test_without_an_index_every_bake_is_read_from_the_table(path: Path, damage: Damage) -> None:
    damage(path, "")
    with Journal.open(path) as journal:
        assert journal.live_bakes() == [*LIVE, "back"]
        assert {bake: list(events) for bake, events, _ in journal.each()} == BAKES
        assert not any(summary.fault for summary in index.bakes(journal))
        assert any("the file is damaged" in problem for problem in verify(journal).problems)


def test_with_an_index_and_a_page_gone_every_line_beside_the_page_is_still_read(path: Path) -> None:
    PAGES["a page in the middle"](path, "birch")
    INDEXES["sqlite_autoindex_events_2"](path, "")
    with Journal.open(path) as journal:
        assert journal.live_bakes() == [*LIVE, "back"]
        for bake, whole in BAKES.items():
            events, problems = journal.read(bake)
            # Nothing tells any more whether a bake had lines on that page.
            assert problems
            assert list(events) == whole or bake == "birch"
        assert {summary.bake for summary in index.bakes(journal)} == set(BAKES)
        assert any("birch" in problem for problem in verify(journal).problems)


@pytest.mark.parametrize("value", ["CAST(x'62ff' AS TEXT)", "NULL", "x'62'"])
def test_a_line_that_lost_the_name_of_its_bake_is_told_of(path: Path, value: str) -> None:
    put("bake", value, 1)(path, "birch")
    with Journal.open(path) as journal:
        assert set(journal.live_bakes()) >= {*LIVE, "back"}
        assert "first event is missing" in str(journal.read("birch")[1][0])
        problems = verify(journal).problems
        assert any("birch" in problem for problem in problems)
        assert any("whose bake" in problem or "b\\xff" in problem for problem in problems)
        assert all(list(journal.events_of(bake)) == BAKES[bake] for bake in BAKES if bake != "birch")
        listed = {summary.bake: summary.fault for summary in index.bakes(journal)}
        assert listed["birch"]
        assert not listed["alder"]


def test_a_bake_whose_very_name_is_damaged_can_still_be_asked_for(path: Path) -> None:
    put("bake", "CAST(x'62ff' AS TEXT)", 1)(path, "birch")
    with Journal.open(path) as journal:
        assert "b\\xff" in journal.bake_ids()
        assert "was changed" in str(journal.read("b\\xff")[1][0])


def test_waiting_for_another_program_is_no_damage(path: Path) -> None:
    with Journal.open(path, wait_s=0.0) as journal, closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        for look in (journal.live_bakes, journal.bake_ids, journal.last_seen, lambda: journal.read("alder")):
            with pytest.raises(BusyReading, match="keeps it busy"):
                look()
        with pytest.raises(BusyReading):
            index.bakes(journal)
        other.execute("ROLLBACK")
        assert journal.live_bakes() == [*LIVE, "back"]


CACHES = {
    "no json": "UPDATE summaries SET body = '{' WHERE bake = 'birch'",
    "another shape": "UPDATE summaries SET body = '{}' WHERE bake = 'birch'",
    "too few": "UPDATE summaries SET body = '[\"birch\"]' WHERE bake = 'birch'",
    "another's": "UPDATE summaries SET body = (SELECT body FROM summaries WHERE bake = 'alder') WHERE bake = 'birch'",
    "two in one": "UPDATE summaries SET body = body || ',' || body WHERE bake = 'birch'",
    "words for numbers": "UPDATE summaries SET body = json_set(body, '$[3]', 'noon')",
    "a moment beyond all clocks": "UPDATE summaries SET body = json_set(body, '$[3]', 9223372036854775807)",
    "no number": "UPDATE summaries SET body = replace(body, '918.0', 'NaN')",
    "no text": "UPDATE summaries SET body = CAST(x'ff' AS TEXT)",
    "gone": "DELETE FROM summaries WHERE bake = 'birch'",
    "of no bake": "INSERT INTO summaries SELECT 'nobody', upto, made_by, opened_us, body, '' FROM summaries LIMIT 1",
    "ahead of all": "UPDATE summaries SET upto = 99999999 WHERE bake = 'alder'",
    "evidence of nothing": "UPDATE summaries SET evidence = '[1, 2, 3, [[4]]]'",
    "evidence that is no json": "UPDATE summaries SET evidence = 'x'",
    "evidence of no habit": """UPDATE summaries SET evidence = '["a", "Guesthouse", "b", [["luck", "", 1, 1, 0]]]'""",
    "endless evidence": """UPDATE summaries SET evidence = '["a", "Guesthouse", "b", [["pace", "", 1, 1, null]]]'""",
    "no table": "DROP TABLE summaries",
    "another table": "DROP TABLE summaries; CREATE TABLE summaries (bake TEXT, words TEXT)",
    "a view": "DROP TABLE summaries; CREATE VIEW summaries AS SELECT bake, 'x' AS body FROM events",
    "no letters": "DROP TABLE letters",
    "other letters": "DROP TABLE letters; CREATE TABLE letters (sign TEXT)",
    "letters of nobody": "DELETE FROM letters; INSERT INTO letters VALUES ('A', 'nobody')",
    "no last look": "DROP TABLE liveness",
    "another last look": "DROP TABLE liveness; CREATE TABLE liveness (one INTEGER)",
}


@pytest.mark.parametrize("while_open", [False, True])
@pytest.mark.parametrize("statements", CACHES.values(), ids=CACHES)
def test_what_follows_from_the_events_is_made_again(path: Path, statements: str, *, while_open: bool) -> None:
    """Whatever somebody did to the tables beside the events, the next look is as if they had never been there."""
    with Journal.open(path) as journal:
        listed = index.bakes(journal)
        letters = journal.letters()
        known = habits(journal, Kitchen(name="Guesthouse")).all()
        with closing(sqlite3.connect(path)) as other:
            other.executescript(statements)
        if while_open:
            assert habits(journal, Kitchen(name="Guesthouse")).all() == known
            assert index.bakes(journal) == listed
            journal.last_seen()
    with Journal.open(path) as journal:
        assert habits(journal, Kitchen(name="Guesthouse")).all() == known
        assert index.bakes(journal) == listed
        journal.append(first_events("new", letter="F"), 0)
        journal.append(chain("alder", [(99.0, kinds.NoteAdded("sleet outside"))], BAKES["alder"]), 8)
        lines = {line.bake: line for line in index.bakes(journal)}
        assert "new" in lines
        assert "sleet" in lines["alder"].words
        assert verify(journal).problems == ()
        assert journal.letters() == {**letters, "F": "new"}
        assert journal.last_seen() is None
        again = verify(journal)
        assert (again.problems, again.mended) == ((), ())
    assert letters == {"A": "alder", "B": "birch", "C": "cedar", "E": "back"}


def test_the_check_makes_a_list_again_that_does_not_say_what_the_logs_say(path: Path) -> None:
    with Journal.open(path) as journal:
        listed = index.bakes(journal)
        journal.connection.execute("UPDATE summaries SET body = replace(body, '918.0', '981.0') WHERE bake = 'birch'")
        journal.connection.execute("UPDATE letters SET letter = 'L' WHERE bake = 'birch'")
        verdict = verify(journal)
        assert verdict.problems == ()
        assert verdict.mended == (
            "the list's cache was out of date for 1 bake",
            "the letters of the live bakes were out of date",
        )
        assert index.bakes(journal) == listed
        assert journal.letters()["B"] == "birch"
        assert verify(journal).mended == ()


def test_a_bake_whose_first_line_lost_its_place_hides_no_other() -> None:
    """A page that is lost may leave an index without its line: the place of it is nothing then."""
    with closing(sqlite3.connect(":memory:")) as connection:
        connection.execute("CREATE TABLE events (bake, number, seq)")
        connection.executemany("INSERT INTO events VALUES (?, 1, ?)", [("knots", 7), ("lost", None), ("plait", 3)])
        assert openings(connection) == [("plait", 3), ("knots", 7)]
