"""A check of the whole journal finds what was changed; a backup is checked before it counts."""

from __future__ import annotations

import random
import stat
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from proofbell.journal.faults import CannotOpen, Damaged, JournalFault
from proofbell.journal.files.copying import AlreadyThere, whole_file
from proofbell.journal.recovery.backup import back_up
from proofbell.journal.recovery.verify import verify
from proofbell.journal.storage.store import Journal
from tests.journal.generate import fill
from tests.support.making import KNOTS, chain, first_events, opened


@pytest.fixture
def path(tmp_path: Path) -> Path:
    fill(tmp_path / "journal.db", 12)
    return tmp_path / "journal.db"


def test_a_sound_journal_has_no_problems(path: Path) -> None:
    with Journal.open(path) as journal:
        verdict = verify(journal)
    assert verdict.problems == ()
    assert verdict.bakes == 12
    assert verdict.events > 300


def test_a_letter_changed_behind_the_journals_back_is_found(path: Path) -> None:
    """SQLite's own check does not look at what a text says; the digests do."""
    with Journal.open(path) as journal:
        bake = journal.bake_ids()[5]
        journal.connection.execute("DROP TRIGGER events_are_never_changed")
        journal.connection.execute(
            "UPDATE events SET body = replace(body, '\"typed\":\"', '\"typed\":\"1') "
            "WHERE bake = ? AND name = 'reading taken'", (bake,),
        )  # fmt: skip
        problems = verify(journal).problems
    assert any("safeguard" in problem for problem in problems)
    assert any(bake[:8] in problem and "was changed" in problem for problem in problems)
    assert len(problems) == 2


def test_a_lost_or_headless_log_is_found(path: Path) -> None:
    with Journal.open(path) as journal:
        one, two = journal.bake_ids()[:2]
        journal.connection.execute("DROP TRIGGER events_are_never_removed")
        journal.connection.execute("DELETE FROM events WHERE bake = ? AND number = 1", (one,))
        journal.connection.execute("DELETE FROM events WHERE bake = ? AND number = 9", (two,))
        problems = verify(journal).problems
    assert any(one[:8] in problem and "first event is missing" in problem for problem in problems)
    assert any(two[:8] in problem and "event 9 is missing" in problem for problem in problems)


def test_a_formula_text_that_is_not_the_digests_is_found(tmp_path: Path) -> None:
    other = opened(replace(KNOTS, text=KNOTS.text + "# changed"))
    with Journal.open(tmp_path / "journal.db") as journal:
        journal.append(chain("one", [(0.0, other)]), 0)
        journal.append(first_events("two", letter="B"), 0)
        assert verify(journal).problems == ("bake one: the formula's text does not agree with its digest",)


def test_bits_flipped_anywhere_are_noticed_or_do_no_harm(path: Path) -> None:
    with Journal.open(path) as journal:
        journal.connection.execute("PRAGMA wal_checkpoint")
        before = {bake: journal.rows_of(bake) for bake in journal.bake_ids()}
    sound = path.read_bytes()
    flipped = path.with_name("flipped.db")
    dice = random.Random(4)
    noticed = 0
    for _ in range(40):
        data = bytearray(sound)
        place = dice.randrange(100, len(data))
        data[place] ^= 1 << dice.randrange(8)
        flipped.write_bytes(data)
        try:
            with Journal.open(flipped, read_only=True) as journal:
                fault = bool(verify(journal).problems) or bool(journal.reading_only.startswith("the safeguards"))
                same = fault or {bake: journal.rows_of(bake) for bake in journal.bake_ids()} == before
        except JournalFault:
            fault = same = True
        noticed += fault
        assert fault or same
    assert noticed > 20


def test_a_backup_is_whole_private_and_opens(path: Path) -> None:
    copy = path.with_name("copy.db")
    with Journal.open(path) as journal:
        assert back_up(journal, copy).bakes == 12
        rows = {bake: journal.rows_of(bake) for bake in journal.bake_ids()}
    with Journal.open(copy) as journal:
        assert {bake: journal.rows_of(bake) for bake in journal.bake_ids()} == rows
    if sys.platform != "win32":
        assert stat.S_IMODE(copy.stat().st_mode) == 0o600


def test_a_backup_replaces_nothing_unless_told(path: Path) -> None:
    copy = path.with_name("copy.db")
    copy.write_text("something dear")
    with Journal.open(path) as journal:
        with pytest.raises(AlreadyThere, match="already there"):
            back_up(journal, copy)
        assert copy.read_text() == "something dear"
        back_up(journal, copy, overwrite=True)
    with Journal.open(copy) as journal:
        assert journal.count() == 12


def test_a_damaged_journal_makes_no_backup_and_leaves_the_older_one(path: Path) -> None:
    copy = path.with_name("copy.db")
    copy.write_text("the older backup")
    with Journal.open(path) as journal:
        journal.connection.execute("DROP TRIGGER events_are_never_changed")
        journal.connection.execute("UPDATE events SET wall_us = wall_us + 1 WHERE number = 4")
        with pytest.raises(Damaged):
            back_up(journal, copy, overwrite=True)
    assert copy.read_text() == "the older backup"
    assert [file.name for file in path.parent.iterdir() if file.name.endswith(".part")] == []


def test_a_backup_into_no_folder_is_refused_in_plain_words(path: Path) -> None:
    with Journal.open(path) as journal, pytest.raises(CannotOpen, match="no backup"):
        back_up(journal, path / "nowhere" / "copy.db")


def write_and_stop(target: Path) -> None:
    with whole_file(target, overwrite=True) as file:
        file.write(b"half of the n")
        raise KeyboardInterrupt


def test_a_file_cut_off_while_being_written_leaves_the_old_one(tmp_path: Path) -> None:
    target = tmp_path / "page.md"
    target.write_text("old")
    with pytest.raises(KeyboardInterrupt):
        write_and_stop(target)
    assert target.read_text() == "old"
    assert list(tmp_path.iterdir()) == [target]
    with pytest.raises(AlreadyThere), whole_file(target, overwrite=False) as file:
        file.write(b"new")
    with whole_file(target, overwrite=True) as file:
        file.write(b"new")
    assert target.read_text() == "new"
