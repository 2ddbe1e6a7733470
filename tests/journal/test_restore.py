"""Bringing back a backup: nothing is lost by it, whatever lies there already."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

import pytest

from proofbell.bake import events as kinds
from proofbell.bake.events import Event
from proofbell.bake.fold import fold
from proofbell.bake.record import Row
from proofbell.journal.files.lock import Lead
from proofbell.journal.recovery.backup import back_up
from proofbell.journal.recovery.image import InUse
from proofbell.journal.recovery.restore import restore
from proofbell.journal.recovery.soundness import is_sound
from proofbell.journal.recovery.verify import verify
from proofbell.journal.storage.faults import CannotOpen, NotAJournal
from proofbell.journal.storage.store import Journal
from tests.support.making import chain, first_events, stamp

NOW = stamp(40_000.0)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "journal.sqlite"
    with Journal.open(path) as journal:
        for bake, letter in (("quay", "A"), ("mole", "B"), ("jetty", "C")):
            journal.append(first_events(bake, 4, letter), 0)
    return path


@pytest.fixture
def backup(path: Path, tmp_path: Path) -> Path:
    backup = tmp_path / "backup.sqlite"
    with Journal.open(path) as journal:
        back_up(journal, backup)
    return backup


def go_on(path: Path, bake: str, *notes: str) -> None:
    with Journal.open(path) as journal:
        before = journal.events_of(bake)
        later: Sequence[Event] = chain(
            bake, [(100.0 + at, kinds.NoteAdded(note)) for at, note in enumerate(notes)], before
        )
        journal.append(later, before[-1].number)


def rows_in(path: Path) -> dict[str, list[Row]]:
    with Journal.open(path, read_only=True) as journal:
        return {bake: journal.rows_of(bake) for bake in journal.bake_ids()}


def ruin(path: Path) -> bytes:
    """Overwrite the beginning of the file, and one page of events."""
    data = bytearray(path.read_bytes())
    data[:60] = b"z" * 60
    path.write_bytes(data)
    return bytes(data)


def leftovers(folder: Path) -> list[str]:
    return [one.name for one in folder.iterdir() if one.name.startswith(".")]


def test_into_a_sound_journal_bakes_are_added_completed_skipped_or_left_out(path: Path, backup: Path) -> None:
    with Journal.open(backup) as journal:
        journal.append(first_events("light", 2, "D"), 0)
    go_on(backup, "quay", "there", "and more")
    go_on(path, "mole", "here")
    go_on(path, "jetty", "here")
    go_on(backup, "jetty", "there")
    before, there = rows_in(path), rows_in(backup)
    done = restore(backup, path, NOW)
    assert (done.merged.added, done.merged.completed) == (["light"], ["quay"])
    assert (done.merged.same, done.merged.apart) == (["mole"], ["jetty"])
    assert not done.complete
    now = rows_in(path)
    assert now == {**before, "light": there["light"], "quay": there["quay"]}
    assert rows_in(backup) == there
    # As it was before, to undo it with.
    assert done.before is not None
    assert rows_in(done.before) == before
    assert leftovers(path.parent) == []
    again = restore(backup, path, NOW)
    assert again.merged.added == again.merged.completed == []
    assert again.before is None


def test_in_the_place_of_a_damaged_journal_comes_the_backup_with_what_can_be_rescued(path: Path, backup: Path) -> None:
    go_on(path, "quay", "since the backup")
    with Journal.open(path) as journal:
        journal.append(first_events("light", 2, "D"), 0)
    before = rows_in(path)
    damaged = ruin(path)
    done = restore(backup, path, NOW)
    assert done.complete
    assert rows_in(path) == before
    assert done.moved_aside is not None
    assert done.moved_aside.name == "journal-damaged-2026-03-14.sqlite"
    assert done.moved_aside.read_bytes() == damaged
    with Journal.open(path) as journal:
        assert verify(journal).problems == ()
    assert leftovers(path.parent) == []


def test_what_the_damaged_journal_lost_the_backup_has_and_the_other_way_round(path: Path, backup: Path) -> None:
    go_on(path, "quay", "since the backup")
    before = rows_in(path)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("DROP TRIGGER events_are_never_removed")
        connection.execute("DELETE FROM events WHERE bake = 'mole' AND number = 2")
    assert not is_sound(path)
    done = restore(backup, path, NOW)
    assert rows_in(path) == before
    assert (done.made_good, done.complete) == (("mole",), True)


def test_a_bake_that_neither_has_whole_says_so_at_its_end(path: Path, backup: Path) -> None:
    with Journal.open(path) as journal:
        journal.append(first_events("light", 6, "D"), 0)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.execute("DROP TRIGGER events_are_never_removed")
        connection.execute("DELETE FROM events WHERE bake = 'light' AND number = 4")
    done = restore(backup, path, NOW)
    assert (done.made_good, done.complete) == ((), False)
    with Journal.open(path) as journal:
        state = fold(journal.events_of("light"))
    assert "Lost: event 4." in state.notes[-1].text
    assert "note 6" in state.notes[-1].text
    assert not state.typical


def test_where_there_is_no_journal_the_backup_becomes_it(path: Path, backup: Path) -> None:
    before = rows_in(path)
    path.unlink()
    assert restore(backup, path, NOW).new
    assert rows_in(path) == before
    elsewhere = path.parent / "new" / "journal.sqlite"
    restore(backup, elsewhere, NOW)
    assert rows_in(elsewhere) == before
    assert elsewhere.parent.stat().st_mode & 0o777 == 0o700


def test_a_damaged_backup_brings_back_what_can_be_read_of_it(path: Path, backup: Path) -> None:
    before = rows_in(path)
    ruin(backup)
    path.unlink()
    done = restore(backup, path, NOW)
    assert done.source is not None
    assert done.source.nothing_lost
    assert rows_in(path) == before


def test_while_proofbell_is_open_a_damaged_journal_is_not_moved(path: Path, backup: Path) -> None:
    damaged = ruin(path)
    lead = Lead(path)
    assert lead.take()
    try:
        with pytest.raises(InUse, match="Proofbell is open"):
            restore(backup, path, NOW)
    finally:
        lead.let_go()
    assert path.read_bytes() == damaged
    assert leftovers(path.parent) == []


def test_a_sound_journal_takes_bakes_in_while_proofbell_is_open(path: Path, backup: Path) -> None:
    go_on(backup, "quay", "there")
    lead = Lead(path)
    assert lead.take()
    try:
        assert restore(backup, path, NOW).merged.completed == ["quay"]
    finally:
        lead.let_go()


def test_what_a_crash_left_half_written_goes_with_the_damaged_file(path: Path, backup: Path) -> None:
    """Beside the new file SQLite would take it for that one's, and spoil it."""
    before = rows_in(path)
    ruin(path)
    half = path.with_name(path.name + "-journal")
    # With a zero in front SQLite does not take it back of itself.
    half.write_bytes(b"\x00half a transaction")
    done = restore(backup, path, NOW)
    assert done.moved_aside is not None
    assert done.moved_aside.with_name(done.moved_aside.name + "-journal").read_bytes() == b"\x00half a transaction"
    assert not half.exists() or half.read_bytes() == b""
    assert rows_in(path) == before


def test_other_files_are_refused_in_plain_words(path: Path, tmp_path: Path) -> None:
    before = path.read_bytes()
    with pytest.raises(CannotOpen, match="there is no file"):
        restore(tmp_path / "none.sqlite", path, NOW)
    with pytest.raises(CannotOpen, match="is the journal itself"):
        restore(path, path, NOW)
    page = tmp_path / "page.md"
    page.write_text("# Rye")
    with pytest.raises(NotAJournal):
        restore(page, path, NOW)
    assert path.read_bytes() == before


def test_another_programs_file_is_never_moved_aside(backup: Path, tmp_path: Path) -> None:
    foreign = tmp_path / "foreign.sqlite"
    with closing(sqlite3.connect(foreign)) as connection:
        connection.execute("PRAGMA application_id = 77")
        connection.execute("CREATE TABLE recipes (name TEXT)")
    with pytest.raises(NotAJournal, match="another program"):
        restore(backup, foreign, NOW)
    assert foreign.exists()


def test_a_live_bake_whose_letter_was_taken_meanwhile_gets_a_free_one(path: Path, tmp_path: Path) -> None:
    """As with a file that the bench wrote from memory while nothing could be saved."""
    written = tmp_path / "what-i-know.sqlite"
    with Journal.open(written) as journal:
        journal.append(first_events("light", 2, "A"), 0)
    there = rows_in(written)["light"]
    done = restore(written, path, NOW)
    assert (done.merged.added, done.merged.letters, done.complete) == (["light"], {"light": "D"}, True)
    with Journal.open(path) as journal:
        assert journal.letters() == {"A": "quay", "B": "mole", "C": "jetty", "D": "light"}
        assert journal.rows_of("light")[: len(there)] == there
        state = fold(journal.events_of("light"))
        assert state.letter == "D"
        assert state.last.stamp == NOW
        assert verify(journal).problems == ()
    assert restore(written, path, NOW).merged.same == ["light"]


def test_where_no_letter_is_free_a_live_bake_is_left_out_and_said(path: Path, tmp_path: Path) -> None:
    written = tmp_path / "what-i-know.sqlite"
    with Journal.open(written) as journal:
        journal.append(first_events("light", 2, "A"), 0)
    with Journal.open(path) as journal:
        for letter in "DEFGHIJKL":
            journal.append(first_events(f"bake-{letter}", 1, letter), 0)
    before = rows_in(path)
    done = restore(written, path, NOW)
    assert (done.merged.without_letter, done.complete) == (["light"], False)
    assert rows_in(path) == before


def test_where_files_have_one_name_only_they_change_places_one_after_the_other(
    path: Path, backup: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_: object) -> None:
        raise OSError

    before, damaged = rows_in(path), ruin(path)
    monkeypatch.setattr(Path, "hardlink_to", no_links)
    done = restore(backup, path, NOW)
    assert done.moved_aside is not None
    assert done.moved_aside.read_bytes() == damaged
    assert rows_in(path) == before
