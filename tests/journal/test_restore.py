"""Bringing back a backup: nothing is lost by it, whatever lies there already."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from proofbell.bake import events as kinds
from proofbell.bake.events import Event
from proofbell.bake.fold import fold
from proofbell.bake.record import Row, chained_digest
from proofbell.cli.printed.journal_restored import restored_lines
from proofbell.journal.faults import CannotOpen, NotAJournal
from proofbell.journal.files.lock import Lead
from proofbell.journal.recovery.backup import back_up
from proofbell.journal.recovery.image import InUse
from proofbell.journal.recovery.known import holds_all_of
from proofbell.journal.recovery.restore import restore
from proofbell.journal.recovery.soundness import is_sound
from proofbell.journal.recovery.verify import verify
from proofbell.journal.storage.rows import INSERT, values_of
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


def notes_in(path: Path, bake: str) -> tuple[str, ...]:
    with Journal.open(path, read_only=True) as journal:
        return tuple(note.text for note in fold(journal.events_of(bake)).notes)


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
    assert (done.merged.same, done.merged.joined, done.merged.apart) == (["mole"], ["jetty"], [])
    assert done.complete
    now = rows_in(path)
    assert now == {**before, "light": there["light"], "quay": there["quay"], "jetty": now["jetty"]}
    assert now["jetty"][:-1] == before["jetty"], "nothing that is here is changed"
    assert notes_in(path, "jetty")[-2:] == ("here", "there")
    assert rows_in(backup) == there
    # As it was before, to undo it with.
    assert done.before is not None
    assert rows_in(done.before) == before
    assert leftovers(path.parent) == []
    again = restore(backup, path, NOW)
    assert again.merged.added == again.merged.completed == again.merged.joined == again.merged.apart == []
    assert again.before is None, "what was joined once is not joined again"
    assert rows_in(path) == now
    with Journal.open(path) as journal:
        assert verify(journal).problems == ()
        assert holds_all_of(journal, backup)


def test_what_is_joined_can_be_gone_on_with_and_is_still_not_joined_twice(path: Path, backup: Path) -> None:
    go_on(path, "jetty", "here", "and here")
    go_on(backup, "jetty", "there", "and there")
    assert restore(backup, path, NOW).merged.joined == ["jetty"]
    go_on(path, "jetty", "later")
    again = restore(backup, path, NOW).merged
    assert (again.joined, again.apart) == ([], [])
    assert notes_in(path, "jetty")[-5:] == ("here", "and here", "there", "and there", "later")
    # Of a log that grew after it was joined, its beginning would be said twice.
    go_on(backup, "jetty", "too late")
    assert restore(backup, path, NOW).merged.apart == ["jetty"]


def test_what_is_not_possible_any_more_becomes_a_note(path: Path, backup: Path) -> None:
    begins: kinds.Body = kinds.StageBegun(0)
    for file, body in ((path, kinds.BakeClosed("given up")), (backup, begins)):
        with Journal.open(file) as journal:
            before = journal.events_of("jetty")
            assert not fold(before).begun
            journal.append(chain("jetty", [(900.0, body)], before), len(before))
    done = restore(backup, path, NOW)
    assert done.merged.joined == ["jetty"]
    assert notes_in(path, "jetty")[-1].startswith("Entered in another log of this bake, and no longer possible: ")
    with Journal.open(path) as journal:
        assert fold(journal.events_of("jetty")).closed is not None


@pytest.mark.parametrize("where", ["here", "there"])
def test_what_cannot_be_joined_is_left_as_it_is_and_told(path: Path, backup: Path, where: str) -> None:
    """A newer Proofbell has written to one of the two: this one does not know what that means."""
    go_on(path, "jetty", "here")
    go_on(backup, "jetty", "there")
    newer = path if where == "here" else backup
    with Journal.open(newer) as journal:
        last = journal.rows_of("jetty")[-1]
        row = replace(last, id="0" * 24, number=last.number + 1, decision=last.number + 1, name="dough sung to")
        row = replace(row, digest=chained_digest(last.digest, row))
        journal.connection.execute(INSERT, values_of(row))
    before = rows_in(path)
    done = restore(backup, path, NOW)
    assert done.merged.apart == ["jetty"]
    assert rows_in(path) == before
    assert done.before is None, "nothing is to be undone"
    assert not done.complete
    (line,) = [line for line in restored_lines(done, backup, path) if "differently" in line]
    assert line.endswith("differs here and there and cannot be joined; left as it is here")


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
