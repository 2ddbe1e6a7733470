"""When an event cannot be stored it is said why, in a class and in words; and what was kept in memory comes in later.

Causes are made for real: another program's lock, a folder without the right to write, a file that is gone.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import sqlite3
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.bake import events as kinds
from proofbell.bake.events import Event
from proofbell.journal import index
from proofbell.journal.faults import (
    Busy,
    CannotOpen,
    DiskFault,
    DiskFull,
    FileGone,
    KeptBusy,
    LetterTaken,
    NotAJournal,
    NotSaved,
    ReadingOnly,
    SavingUnknown,
    StaleDecision,
    WriteProtected,
)
from proofbell.journal.files import ballast
from proofbell.journal.learning.recall import recalled
from proofbell.journal.storage.saving import not_saved
from proofbell.journal.storage.store import Journal
from proofbell.kitchen.model import Kitchen
from tests.support.making import KNOTS, chain, first_events, opened, stamp
from tests.support.meddled_disk import meddled_disk, reports

EVENTS = first_events("one", notes=9)
NOBODY = 65534
unix = pytest.mark.skipif(sys.platform == "win32", reason="an open file cannot be removed there")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    (tmp_path / "data").mkdir()
    return tmp_path / "data" / "journal.db"


# -- handing in what was kept in memory -----------------------------------------------------------------------------


def test_what_is_missing_is_stored_and_saying_it_again_changes_nothing(path: Path) -> None:
    with Journal.open(path) as journal:
        assert journal.complete(EVENTS[:2]) == 2
        assert journal.complete(EVENTS) == 10
        assert journal.complete(EVENTS) == 10
        assert list(journal.events_of("one")) == EVENTS
        assert journal.complete([]) == 0
        with pytest.raises(LetterTaken):
            journal.complete(first_events("two"))
        assert journal.bake_ids() == ["one"]


def test_a_log_that_went_another_way_or_further_is_not_touched(path: Path) -> None:
    other = chain("one", [(99.0, kinds.NoteAdded("said in the other window"))], EVENTS[:3])
    with Journal.open(path) as journal:
        journal.append([*EVENTS[:3], *other], 0)
        with pytest.raises(StaleDecision) as caught:
            journal.complete(EVENTS)
        assert caught.value.found == 4
        with pytest.raises(StaleDecision) as caught:
            journal.complete(EVENTS[:3])
        assert (caught.value.expected, caught.value.found) == (3, 4)
        assert list(journal.events_of("one")) == [*EVENTS[:3], *other]


def test_events_that_are_not_one_log_are_a_fault_of_the_program(path: Path) -> None:
    with Journal.open(path) as journal:
        with pytest.raises(ValueError, match="does not follow"):
            journal.complete(EVENTS[1:])
        with pytest.raises(ValueError, match="not chained"):
            journal.complete([*EVENTS[:2], *chain("one", [(1.0, kinds.NoteAdded("x"))], EVENTS[:1] * 2)])
        assert journal.bake_ids() == []


@settings(max_examples=40)
@given(st.lists(st.integers(1, len(EVENTS)), min_size=1, max_size=8))
def test_in_whatever_pieces_it_comes_the_file_has_the_longest(
    tmp_path_factory: pytest.TempPathFactory, lengths: list[int]
) -> None:
    with Journal.open(tmp_path_factory.mktemp("any") / "journal.db") as journal:
        journal.connection.execute("PRAGMA synchronous = OFF")
        longest = 0
        for length in lengths:
            if length >= longest:
                assert journal.complete(EVENTS[:length]) == length
                longest = length
            else:
                with pytest.raises(StaleDecision):
                    journal.complete(EVENTS[:length])
        assert list(journal.events_of("one")) == EVENTS[:longest]


# -- the file is not there any more ---------------------------------------------------------------------------------


def removed(path: Path) -> None:
    path.unlink()


def replaced(path: Path) -> None:
    shutil.copy(path, path.with_name("copy"))
    path.with_name("copy").replace(path)


def folder_gone(path: Path) -> None:
    shutil.rmtree(path.parent)


def folder_moved(path: Path) -> None:
    path.parent.rename(path.parent.with_name("elsewhere"))


GONE: dict[str, Callable[[Path], None]] = {
    "it was removed": removed,
    "another file has taken its place": replaced,
    "its folder is gone": folder_gone,
    "folder is gone": folder_moved,
}


@unix
@pytest.mark.parametrize("words", GONE)
def test_a_file_that_is_gone_is_noticed_and_a_new_one_takes_the_whole_bake(path: Path, words: str) -> None:
    with Journal.open(path) as journal:
        journal.append(EVENTS[:3], 0)
        assert journal.is_where_it_was()
        GONE[words](path)
        there = path.exists()
        assert not journal.is_where_it_was()
        for save in (lambda: journal.append(EVENTS[3:4], 3), lambda: journal.complete(EVENTS[:4])):
            with pytest.raises(FileGone, match=words):
                save()
        # Nothing was made in its place behind anybody's back.
        assert path.exists() == there
    with Journal.open(path) as again:
        assert again.complete(EVENTS) == len(EVENTS)
        assert list(again.events_of("one")) == EVENTS


@unix
def test_a_file_that_is_put_back_goes_on_as_if_nothing_had_been(path: Path) -> None:
    with Journal.open(path) as journal:
        journal.append(EVENTS[:3], 0)
        path.rename(path.with_name("away"))
        with pytest.raises(FileGone):
            journal.append(EVENTS[3:4], 3)
        path.with_name("away").rename(path)
        assert journal.complete(EVENTS) == len(EVENTS)


@unix
def test_what_went_into_a_file_that_was_removed_meanwhile_is_not_called_saved(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def removed_first(connection: sqlite3.Connection) -> None:
        path.unlink()
        connection.execute("COMMIT")

    disk = meddled_disk(monkeypatch)
    with Journal.open(path) as journal:
        journal.append(EVENTS[:3], 0)
        disk.commits_by(removed_first)
        with pytest.raises(FileGone):
            journal.append(EVENTS[3:4], 3)


# -- write-protected, busy, full, faulty ----------------------------------------------------------------------------


@contextlib.contextmanager
def as_anybody() -> Iterator[None]:
    """Without the right to write to everything, which some who run tests have."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(0)


def _leave_alone(path: Path) -> None:
    """Take away what lies beside the journal: an empty file for taking back, left there, may still be written to."""
    for file in path.parent.iterdir():
        if file != path:
            file.unlink()


@pytest.fixture
def shared() -> Iterator[Path]:
    """A journal in a folder that anybody may read, with one bake and its list."""
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "journal.db"
        with Journal.open(path) as journal:
            journal.append(EVENTS[:3], 0)
            index.bakes(journal)
        _leave_alone(path)
        path.chmod(0o666)
        path.parent.chmod(0o777)
        yield path
        path.parent.chmod(0o777)


@unix
@pytest.mark.parametrize(("file", "folder"), [(0o444, 0o555), (0o444, 0o777), (0o666, 0o555)])
def test_a_write_protected_journal_is_noticed_at_opening_and_read(shared: Path, file: int, folder: int) -> None:
    shared.chmod(file)
    shared.parent.chmod(folder)
    with as_anybody(), Journal.open(shared) as journal:
        assert "write-protected" in journal.reading_only
        assert journal.warning == journal.reading_only
        assert list(journal.events_of("one")) == EVENTS[:3]
        assert journal.live_bakes() == ["one"]
        assert len(index.bakes(journal)) == 1
        with pytest.raises(WriteProtected, match="write-protected"):
            journal.append(EVENTS[3:4], 3)


@unix
@pytest.mark.parametrize(("file", "folder"), [(0o444, 0o777), (0o666, 0o555)])
def test_once_it_may_be_written_to_it_is_without_a_restart(shared: Path, file: int, folder: int) -> None:
    shared.chmod(file)
    shared.parent.chmod(folder)
    with contextlib.ExitStack() as stack:
        with as_anybody():
            journal = stack.enter_context(Journal.open(shared))
            with pytest.raises(WriteProtected):
                journal.append(EVENTS[3:4], 3)
        shared.chmod(0o666)
        shared.parent.chmod(0o777)
        with as_anybody():
            assert journal.complete(EVENTS) == len(EVENTS)
            assert (journal.reading_only, journal.warning) == ("", "")


@unix
def test_a_journal_that_becomes_write_protected_is_noticed_at_the_next_event(shared: Path) -> None:
    with contextlib.ExitStack() as stack:
        with as_anybody():
            journal = stack.enter_context(Journal.open(shared))
            journal.append(EVENTS[3:4], 3)
        _leave_alone(shared)
        shared.parent.chmod(0o555)
        with as_anybody(), pytest.raises(WriteProtected):
            journal.append(EVENTS[4:5], 4)
        shared.parent.chmod(0o777)
        with as_anybody():
            journal.append(EVENTS[4:5], 4)
            assert list(journal.events_of("one")) == EVENTS[:5]


def test_what_sqlite_itself_may_not_write_is_write_protected(path: Path) -> None:
    with Journal.open(path) as journal:
        journal.connection.execute("PRAGMA query_only = ON")
        with pytest.raises(WriteProtected):
            journal.append(EVENTS, 0)


@pytest.mark.parametrize("lock", ["BEGIN IMMEDIATE", "BEGIN EXCLUSIVE"])
def test_a_journal_kept_busy_by_another_program_is_busy_and_no_more(path: Path, lock: str) -> None:
    with (
        Journal.open(path, wait_s=0.0) as journal,
        closing(sqlite3.connect(path, isolation_level=None)) as other,
    ):
        other.execute(lock)
        with pytest.raises(Busy) as caught:
            journal.append(EVENTS, 0)
        assert isinstance(caught.value, KeptBusy)
        other.execute("ROLLBACK")
        journal.append(EVENTS, 0)


def append_each(journal: Journal, events: list[Event]) -> None:
    for event in events:
        journal.append([event], event.number - 1)


def test_a_warning_of_a_full_disk_goes_when_there_is_room_again(path: Path) -> None:
    long = "it was a long night in the harbour. " * 100
    events = chain("one", [(0.0, opened()), *((float(n), kinds.NoteAdded(f"{n} {long}")) for n in range(1, 40))])
    with Journal.open(path) as journal:
        pages = journal.connection.execute("PRAGMA page_count").fetchone()[0]
        journal.connection.execute(f"PRAGMA max_page_count = {pages + 8}")
        with pytest.raises(DiskFull):
            append_each(journal, events)
        assert "nearly full" in journal.warning
        assert not ballast.ballast_path(path).exists()
        journal.connection.execute(f"PRAGMA max_page_count = {pages + 800}")
        assert journal.complete(events) == len(events)
        journal.saw(stamp(60.0))
        assert journal.warning == ""
        assert ballast.ballast_path(path).exists()


def test_a_fault_of_the_disk_is_called_so(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    disk = meddled_disk(monkeypatch)
    with Journal.open(path) as journal:
        disk.commits_by(reports(sqlite3.SQLITE_IOERR_WRITE))
        with pytest.raises(DiskFault, match="the disk failed"):
            journal.append(EVENTS, 0)
        assert journal.complete(EVENTS) == len(EVENTS)


def test_after_a_disk_that_could_not_be_asked_the_next_event_tries_again(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def away(*_: object, **__: object) -> None:
        raise CannotOpen("the disk is away")

    disk = meddled_disk(monkeypatch)
    with Journal.open(path) as journal:
        journal.append(EVENTS[:3], 0)
        disk.commits_by(reports(sqlite3.SQLITE_IOERR_FSYNC))
        with monkeypatch.context() as patch:
            patch.setattr("proofbell.journal.storage.store.open_file", away)
            with pytest.raises(SavingUnknown):
                journal.append(EVENTS[3:4], 3)
            with pytest.raises(DiskFault, match="the disk is away"):
                journal.append(EVENTS[3:4], 3)
        assert journal.complete(EVENTS) == len(EVENTS)
        assert list(journal.events_of("one")) == EVENTS


CODES = {
    sqlite3.SQLITE_FULL: DiskFull,
    sqlite3.SQLITE_BUSY: Busy,
    sqlite3.SQLITE_LOCKED: Busy,
    sqlite3.SQLITE_READONLY: WriteProtected,
    sqlite3.SQLITE_CANTOPEN: WriteProtected,
    sqlite3.SQLITE_READONLY_DBMOVED: FileGone,
    sqlite3.SQLITE_IOERR_WRITE: DiskFault,
    sqlite3.SQLITE_IOERR_FSYNC: DiskFault,
    sqlite3.SQLITE_CORRUPT: DiskFault,
}


@pytest.mark.parametrize(("code", "kind"), CODES.items())
def test_every_cause_has_its_class_and_says_once_what_to_do(path: Path, code: int, kind: type[NotSaved]) -> None:
    """Meanings of the codes: "Result and Error Codes", sqlite.org/rescode.html."""
    path.touch()
    error = sqlite3.OperationalError("as SQLite says")
    error.sqlite_errorcode = code
    fault = not_saved(error, path, None)
    assert type(fault) is kind
    assert fault.message.count("not saved") == 1
    assert fault.remedy
    assert fault.remedy not in fault.message


def test_what_may_not_be_written_for_good_is_not_saved_either(path: Path) -> None:
    Journal.open(path).close()
    with Journal.open(path, read_only=True) as journal, pytest.raises(ReadingOnly) as caught:
        journal.append(EVENTS, 0)
    assert isinstance(caught.value, NotSaved)


# -- where no journal can be ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["x" * 300, "shopping.txt/journal.db", "shopping.txt/more/journal.db", "a\0b"])
def test_where_no_journal_can_be_it_is_said_in_words(tmp_path: Path, name: str) -> None:
    (tmp_path / "shopping.txt").write_text("flour")
    with pytest.raises(CannotOpen, match="cannot be at"):
        Journal.open(tmp_path / name)
    assert recalled(tmp_path / name, Kitchen(), KNOTS).used == ()


@unix
def test_the_new_file_in_the_old_place_may_be_anothers(path: Path) -> None:
    with Journal.open(path) as journal:
        journal.append(EVENTS[:3], 0)
        path.unlink()
        path.write_text("flour, milk, butter and a good deal more than a hundred characters " * 9)
        with pytest.raises(FileGone, match="another file"):
            journal.append(EVENTS[3:4], 3)
    with pytest.raises(NotAJournal):
        Journal.open(path)
