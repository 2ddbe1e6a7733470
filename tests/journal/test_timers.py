"""Timers of the baker's own in the journal: there after a restart, over once, and beside all bakes."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from proofbell.bake.asking.timer import Timer
from proofbell.journal.faults import DiskFull, ReadingOnly
from proofbell.journal.recovery.verify import verify
from proofbell.journal.storage.store import Journal
from proofbell.journal.storage.timers import end, keep, running
from tests.support.making import first_events, stamp
from tests.support.version_1 import DUMP_2, events_in, version_in, write_version_1

RICE = Timer("t1", "rinse rice", 720.0, stamp(0.0))
EGGS = Timer("t2", "eggs", 60.5, stamp(5.0), "one")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "journal.db"


def test_they_are_there_when_the_journal_is_opened_again(path: Path) -> None:
    with Journal.open(path) as journal:
        keep(journal, EGGS)
        keep(journal, RICE)
        keep(journal, RICE)
    with Journal.open(path) as journal, Journal.open(path) as other:
        assert running(journal) == (RICE, EGGS)
        assert end(journal, RICE, "answered", stamp(730.0))
        assert not end(other, RICE, "stopped", stamp(731.0))
        # Who hands it in again late brings it back to nobody.
        keep(other, RICE)
        assert running(other) == (EGGS,)
        assert journal.connection.execute("SELECT over FROM timers ORDER BY id").fetchall() == [("answered",), ("",)]


def test_its_countdown_follows_no_clock_that_is_set_and_counts_a_power_cut() -> None:
    later = stamp(120.0)
    assert RICE.left_s(later) == 600.0
    assert RICE.left_s(replace(later, wall_us=later.wall_us + 3_600_000_000)) == 600.0
    assert RICE.due_us(later) == later.wall_us + 600_000_000
    assert RICE.left_s(replace(later, boot_id="the next", boot_us=20_000_000)) == 600.0


def test_what_cannot_be_written_is_said(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with Journal.open(path) as journal:
        pages = journal.connection.execute("PRAGMA page_count").fetchone()[0]
        journal.connection.execute(f"PRAGMA max_page_count = {pages}")
        with pytest.raises(DiskFull):
            keep(journal, replace(RICE, name="x" * 9000))
    with Journal.open(path, read_only=True) as journal, pytest.raises(ReadingOnly):
        keep(journal, RICE)


def test_a_damaged_line_or_table_costs_no_bake(path: Path) -> None:
    with Journal.open(path) as journal:
        journal.append(first_events("one"), 0)
        keep(journal, RICE)
        keep(journal, EGGS)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("UPDATE timers SET name = CAST(x'ff' AS TEXT) WHERE id = 't1'")
    with Journal.open(path) as journal:
        assert EGGS in running(journal)
        assert verify(journal).problems == ()
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("DROP TABLE timers")
        connection.execute("CREATE TABLE timers (sung TEXT)")
    with Journal.open(path) as journal:
        assert running(journal) == ()
        keep(journal, RICE)
        assert running(journal) == (RICE,)
        assert journal.live_bakes() == ["one"]


def test_a_journal_of_version_2_is_only_read_as_it_is_and_else_brought_up_to_date(path: Path) -> None:
    before = write_version_1(path, DUMP_2)
    with Journal.open(path, read_only=True) as journal:
        assert running(journal) == ()
    assert version_in(path) == 2
    with Journal.open(path) as journal:
        keep(journal, RICE)
        assert running(journal) == (RICE,)
        assert journal.letters() == {"B": "20260314-0800-rolls-live"}
        assert verify(journal).problems == ()
    assert (events_in(path), version_in(path)) == (before, 3)
    assert version_in(path.with_name("journal-before-version-3.db")) == 2
