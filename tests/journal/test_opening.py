"""The journal opens what is its own, and only that; an older one is copied before it is changed."""

from __future__ import annotations

import contextlib
import sqlite3
import sys
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

import pytest

from proofbell.bake.events import Event
from proofbell.journal.faults import BusyOpening, CannotOpen, NotAJournal, ReadingOnly
from proofbell.journal.files.place import place_warning
from proofbell.journal.storage import schema
from proofbell.journal.storage.store import Journal
from tests.support.making import first_events


def made(path: Path) -> Sequence[Event]:
    events = first_events("one")
    with Journal.open(path) as journal:
        journal.append(events, 0)
    return events


def colour(connection: sqlite3.Connection) -> None:
    """A step to a version that does not exist yet."""
    connection.execute("CREATE TABLE colours (name TEXT NOT NULL) STRICT")


def interrupted(connection: sqlite3.Connection) -> None:
    """A step that is cut off half-way."""
    colour(connection)
    raise KeyboardInterrupt


def test_a_newer_journal_is_read_but_not_written(tmp_path: Path) -> None:
    path = tmp_path / "journal.db"
    with Journal.open(path, steps=(*schema.STEPS, colour)) as newer:
        newer.append(first_events("one"), 0)
    with Journal.open(path) as journal:
        assert "newer" in journal.reading_only
        assert list(journal.events_of("one")) == first_events("one")
        with pytest.raises(ReadingOnly, match="newer"):
            journal.append(first_events("two"), 0)
        journal.saw(first_events("one")[0].stamp)
        assert journal.last_seen() is None
    with closing(sqlite3.connect(path)) as connection:
        assert schema.version_of(connection) == len(schema.STEPS) + 1


def test_an_older_journal_is_copied_and_brought_up_to_date(tmp_path: Path) -> None:
    path = tmp_path / "journal.db"
    events = made(path)
    with Journal.open(path, steps=(*schema.STEPS, colour)) as journal:
        assert list(journal.events_of("one")) == list(events)
        assert schema.version_of(journal.connection) == len(schema.STEPS) + 1
        assert journal.backup_made is not None
        with Journal.open(journal.backup_made) as backup:
            assert list(backup.events_of("one")) == list(events)
            assert schema.version_of(backup.connection) == len(schema.STEPS)


def test_an_update_cut_off_half_way_leaves_the_old_version(tmp_path: Path) -> None:
    path = tmp_path / "journal.db"
    events = made(path)
    with pytest.raises(KeyboardInterrupt):
        Journal.open(path, steps=(*schema.STEPS, interrupted))
    with Journal.open(path) as journal:
        assert schema.version_of(journal.connection) == len(schema.STEPS)
        assert journal.connection.execute("SELECT * FROM sqlite_master WHERE name = 'colours'").fetchall() == []
        assert list(journal.events_of("one")) == list(events)


@pytest.mark.parametrize("mark", [0, 1234])
def test_another_programs_database_is_left_as_it_is(tmp_path: Path, mark: int) -> None:
    path = tmp_path / "other.db"
    other = sqlite3.connect(path)
    other.execute("PRAGMA journal_mode = WAL")
    other.execute(f"PRAGMA application_id = {mark}")
    other.execute("CREATE TABLE invoices (total REAL)")
    other.commit()
    other.close()
    before = path.read_bytes()
    with pytest.raises(NotAJournal, match="another program"):
        Journal.open(path)
    assert path.read_bytes() == before


def test_a_file_that_is_no_database_is_refused_in_plain_words(tmp_path: Path) -> None:
    path = tmp_path / "shopping.txt"
    path.write_text("flour, milk, butter and a good deal more than a hundred characters " * 9)
    with pytest.raises(NotAJournal, match="is not a journal"):
        Journal.open(path)
    assert path.read_text().startswith("flour")


def test_a_setting_that_does_not_take_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("proofbell.journal.storage.opening.SETTINGS", (("journal_mode", "DELETE", "truncate"),))
    with pytest.raises(CannotOpen, match="journal_mode stays delete"):
        Journal.open(tmp_path / "journal.db")


def test_two_programs_making_the_journal_at_once_agree(tmp_path: Path) -> None:
    path = tmp_path / "journal.db"
    with Journal.open(path, steps=()), Journal.open(path) as second:
        second.append(first_events("one"), 0)
        schema.migrate(second.connection)
        assert second.count() == 1


def test_a_network_folder_is_warned_of_by_its_innermost_mount(tmp_path: Path) -> None:
    mounts = tmp_path / "mounts"
    mounts.write_text(
        "disk / ext4 rw 0 0\nshare /home/pier\\040house nfs4 rw 0 0\ndisk /home/pier\\040house/own ext4 rw 0 0\n"
    )
    warned = place_warning(Path("/home/pier house/data/journal.db"), mounts)
    assert ("network folder (nfs4 at /home/pier house)" in warned) == (sys.platform == "linux")
    assert place_warning(Path("/home/pier house/own/journal.db"), mounts) == ""
    assert place_warning(Path("/home/journal.db"), mounts) == ""
    assert place_warning(Path("/home/journal.db"), tmp_path / "none") == ""


def test_a_journal_that_another_program_makes_at_the_same_moment_is_no_strangers(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path, looked = tmp_path / "new.sqlite", []
    application_of = schema.application_of

    def meanwhile(connection: sqlite3.Connection) -> int:
        found = application_of(connection)
        looked.append(found)
        if len(looked) == 1:
            with contextlib.suppress(BusyOpening), Journal.open(path, wait_s=0.0):
                pass
        return found

    monkeypatch.setattr(schema, "application_of", meanwhile)
    with Journal.open(path) as journal:
        assert journal.warning == ""
    assert len(looked) > 1
