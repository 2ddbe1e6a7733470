"""The journal keeps every event, once, in order, and the database itself refuses to change or lose one."""

from __future__ import annotations

import sqlite3
import stat
import sys
import threading
from functools import partial
from pathlib import Path

import pytest

from proofbell.bake import events as kinds
from proofbell.bake.events import Body, Event
from proofbell.journal.faults import Damaged, DiskFull, NotSaved, SavingUnknown, StaleDecision
from proofbell.journal.files import ballast
from proofbell.journal.files.lock import Lead
from proofbell.journal.storage.store import Journal
from proofbell.journal.storage.writer import JournalThread
from tests.support.making import chain, first_events, opened, stamp
from tests.support.meddled_disk import meddled_disk, reports


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "own" / "journal.db"


def test_what_was_appended_is_read_back_by_another_program(path: Path) -> None:
    events = first_events("one")
    with Journal.open(path) as journal:
        journal.append(events[:1], 0)
        journal.append(events[1:], 1)
    with Journal.open(path) as other:
        assert list(other.events_of("one")) == events
        assert other.bake_ids() == ["one"]


def test_the_settings_that_survive_a_power_cut_are_on(path: Path) -> None:
    """Meanings: "PRAGMA Statements", sqlite.org/pragma.html; synchronous 3 is EXTRA."""
    with Journal.open(path) as journal:
        asked = ("journal_mode", "synchronous", "fullfsync", "recursive_triggers", "foreign_keys")
        found = [journal.connection.execute(f"PRAGMA {name}").fetchone()[0] for name in asked]
    assert found == ["truncate", 3, 1, 1, 1]


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE events SET body = '{}'",
        "DELETE FROM events",
        "DELETE FROM events WHERE number = 3",
        "INSERT OR REPLACE INTO events SELECT seq, id, bake, number, 1, 0, 0, '', 0, name, 1, '', '' FROM events",
        "REPLACE INTO events SELECT NULL, id, bake, number + 3, decision, 0, 0, '', 0, name, 1, '', '' FROM events",
        "INSERT INTO events SELECT NULL, id || 'x', bake, number + 9, 1, 0, 0, '', 0, name, 1, '', '' FROM events",
        "INSERT INTO events SELECT * FROM events WHERE true ON CONFLICT (id) DO UPDATE SET body = ''",
    ],
)
@pytest.mark.parametrize("triggers", ["ON", "OFF"])
def test_the_database_refuses_every_change_even_from_another_tool(path: Path, statement: str, triggers: str) -> None:
    """REPLACE removes rows without asking the triggers unless recursive triggers are on (sqlite.org/lang_conflict)."""
    with Journal.open(path) as journal:
        journal.append(first_events("one"), 0)
        before = journal.rows_of("one")
    tool = sqlite3.connect(path, isolation_level=None)
    tool.execute(f"PRAGMA recursive_triggers = {triggers}")
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        tool.execute(statement)
    tool.close()
    with Journal.open(path) as journal:
        assert journal.rows_of("one") == before


def test_a_decision_made_on_an_older_state_is_refused(path: Path) -> None:
    events = first_events("one", notes=1)
    one = chain("one", [(9.0, kinds.NoteAdded("from this window"))], events)
    other = chain("one", [(9.0, kinds.NoteAdded("from the other window"))], events)
    with Journal.open(path) as journal, Journal.open(path) as window:
        journal.append(events, 0)
        window.append(other, 2)
        with pytest.raises(StaleDecision) as caught:
            journal.append(one, 2)
        assert (caught.value.expected, caught.value.found) == (2, 3)
        assert list(journal.events_of("one")) == [*events, *other]


def test_the_same_decision_handed_in_twice_is_stored_once(path: Path) -> None:
    events = first_events("one")
    with Journal.open(path) as journal:
        journal.append(events, 0)
        journal.append(events, 0)
        assert list(journal.events_of("one")) == events


def test_a_decision_is_stored_whole_or_not_at_all(path: Path) -> None:
    events = first_events("one")
    with Journal.open(path) as journal:
        journal.append(events[:1], 0)
        journal.connection.execute(
            "CREATE TEMP TRIGGER half_way BEFORE INSERT ON main.events WHEN NEW.number = 3 "
            "BEGIN SELECT RAISE(ABORT, 'the cable is out'); END"
        )
        with pytest.raises(NotSaved, match="the cable is out"):
            journal.append(events[1:], 1)
        assert list(journal.events_of("one")) == events[:1]


@pytest.mark.parametrize("keeps", [True, False])
def test_a_failed_commit_means_unknown_and_is_looked_up(
    path: Path,
    monkeypatch: pytest.MonkeyPatch,
    keeps: bool,  # noqa: FBT001
) -> None:
    """Disks do report a failed sync of what they have."""
    events = first_events("one")
    disk = meddled_disk(monkeypatch)
    journal = Journal.open(path)
    disk.commits_by(reports(sqlite3.SQLITE_IOERR_FSYNC, having_done="COMMIT" if keeps else "ROLLBACK"))
    if keeps:
        journal.append(events, 0)
    else:
        with pytest.raises(NotSaved):
            journal.append(events, 0)
    assert list(journal.events_of("one")) == (events if keeps else [])
    assert "fault while saving" in journal.warning
    journal.append(events, 0)
    assert list(journal.events_of("one")) == events
    journal.close()


def test_when_the_disk_cannot_even_be_asked_nothing_is_claimed(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    disk = meddled_disk(monkeypatch)
    journal = Journal.open(path)
    disk.commits_by(reports(sqlite3.SQLITE_IOERR_FSYNC, having_done="COMMIT"))

    def gone(*_: object, **__: object) -> None:
        raise sqlite3.OperationalError("unable to open database file")

    monkeypatch.setattr("proofbell.journal.storage.store.open_file", gone)
    with pytest.raises(SavingUnknown, match="cannot be told"):
        journal.append(first_events("one"), 0)


def append_each(journal: Journal, events: list[Event]) -> None:
    for event in events:
        journal.append([event], event.number - 1)


def test_a_full_disk_frees_the_reserve_and_then_says_so(path: Path) -> None:
    """max_page_count makes SQLite report SQLITE_FULL for real (sqlite.org/pragma.html#pragma_max_page_count)."""
    long = "it was a long night in the harbour. " * 100
    events = chain("one", [(0.0, opened()), *((float(n), kinds.NoteAdded(f"{n} {long}")) for n in range(1, 40))])
    with Journal.open(path) as journal:
        assert ballast.ballast_path(path).stat().st_size == ballast.BALLAST_BYTES
        pages = journal.connection.execute("PRAGMA page_count").fetchone()[0]
        journal.connection.execute(f"PRAGMA max_page_count = {pages + 8}")
        with pytest.raises(DiskFull, match="not saved"):
            append_each(journal, events)
        stored = len(journal.events_of("one"))
        assert stored > 3
        assert not ballast.ballast_path(path).exists()
        assert "nearly full" in journal.warning
        assert list(journal.events_of("one")) == events[:stored]
        journal.connection.execute(f"PRAGMA max_page_count = {pages + 800}")
        journal.append(events[stored:], stored)
        assert list(journal.events_of("one")) == events


def test_files_are_readable_by_their_owner_only(path: Path) -> None:
    if sys.platform == "win32":
        pytest.skip("file modes mean nothing there")
    with Journal.open(path) as journal:
        journal.append(first_events("one"), 0)
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert {stat.S_IMODE(file.stat().st_mode) for file in path.parent.iterdir()} == {0o600}


def test_a_changed_event_is_noticed_by_its_digest(path: Path) -> None:
    with Journal.open(path) as journal:
        journal.append(first_events("one", notes=3), 0)
        journal.connection.execute("DROP TRIGGER events_are_never_changed")
        journal.connection.execute("UPDATE events SET body = replace(body, 'note 2', 'note 7')")
    with Journal.open(path) as journal:
        assert "safeguards" in journal.reading_only
        with pytest.raises(Damaged, match="event 3 was changed"):
            journal.events_of("one")
        events, problems = journal.read("one")
        assert [event.number for event in events] == [1, 2]
        assert len(problems) == 1


def test_a_bake_is_live_until_closed_and_again_when_the_closing_is_taken_back(path: Path) -> None:
    with Journal.open(path) as journal:
        bakes: dict[str, list[Body]] = {
            "running": [],
            "closed": [kinds.BakeClosed("finished")],
            "reopened": [kinds.BakeClosed("finished"), kinds.Corrected((2,), undone=True)],
            "closed again": [
                kinds.BakeClosed("finished"), kinds.Corrected((2,), undone=True), kinds.BakeClosed("given up"),
            ],
        }  # fmt: skip
        for letter, (bake, bodies) in zip("ABCD", bakes.items(), strict=True):
            journal.append(
                chain(bake, [(0.0, opened(letter=letter)), *((float(n), body) for n, body in enumerate(bodies))]), 0
            )
        assert journal.live_bakes() == ["running", "reopened"]


def test_another_programs_writing_shows_in_the_data_version(path: Path) -> None:
    with Journal.open(path) as journal, Journal.open(path) as other:
        before = journal.data_version()
        assert journal.data_version() == before
        other.append(first_events("one"), 0)
        assert journal.data_version() != before


def test_the_last_look_is_one_row_that_is_overwritten(path: Path) -> None:
    with Journal.open(path) as journal:
        assert journal.last_seen() is None
        journal.saw(stamp(60.0))
        journal.saw(stamp(120.0))
        assert journal.last_seen() == stamp(120.0)


def test_events_that_do_not_follow_are_a_fault_of_the_program(path: Path) -> None:
    events = first_events("one")
    with Journal.open(path) as journal:
        with pytest.raises(ValueError, match="does not follow"):
            journal.append(events[1:], 0)
        journal.append(events[:1], 0)
        forged = [Event(**{f: getattr(events[1], f) for f in Event.__slots__} | {"digest": "0" * 32})]
        with pytest.raises(ValueError, match="not chained"):
            journal.append(forged, 1)


def test_one_program_leads_and_the_other_takes_over(path: Path) -> None:
    path.parent.mkdir()
    first, second = Lead(path), Lead(path)
    assert first.take()
    assert first.take()
    assert not second.take()
    first.let_go()
    assert second.take()
    second.let_go()


def store_one(event: Event, journal: Journal) -> None:
    journal.append([event], event.number - 1)


def test_the_journals_thread_saves_in_order_and_finishes_before_it_ends(path: Path) -> None:
    events = first_events("one", notes=30)
    thread = JournalThread(path)
    saved = [thread.submit(partial(store_one, event)) for event in events]
    name = thread.submit(lambda _: threading.current_thread().name)
    thread.close()
    thread.close()
    assert all(future.exception() is None for future in saved)
    assert name.result().startswith("journal")
    with Journal.open(path) as journal:
        assert list(journal.events_of("one")) == events


def test_the_journals_thread_hands_a_fault_to_whoever_waits(tmp_path: Path) -> None:
    thread = JournalThread(tmp_path / "no folder" / "file.txt" / "journal.db")
    (tmp_path / "no folder").mkdir()
    (tmp_path / "no folder" / "file.txt").write_text("in the way")
    with pytest.raises(Exception, match="cannot be at"):
        thread.submit(lambda journal: journal.count()).result()
    thread.close()
