"""The commands on a damaged journal, and on places that cannot be written to: plain words, and nothing half-written."""

from __future__ import annotations

import json
import os
import resource
import sqlite3
import stat
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from proofbell.cli import main
from proofbell.journal.index import bakes
from proofbell.journal.storage.store import Journal
from tests.support.making import first_events

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="folders and devices of Unix")

Out = pytest.CaptureFixture[str]
RUN = "import sys; from proofbell.cli import main; sys.exit(main())"
BIG = 40_000
"""Bytes that a journal of these tests is longer than."""


@pytest.fixture
def filled(path: Path) -> Path:
    with Journal.open(path) as journal:
        for bake, letter in (("quay", "A"), ("mole", "B"), ("jetty", "C")):
            journal.append(first_events(bake, 40, letter), 0)
        # With its list made, nothing has to be written to look at it.
        bakes(journal)
    assert path.stat().st_size > BIG
    return path


@pytest.fixture
def unopenable(filled: Path) -> Path:
    """SQLite does not know it for a database any more, and of one bake an event is gone."""
    with closing(sqlite3.connect(filled, isolation_level=None)) as connection:
        connection.execute("DROP TRIGGER events_are_never_removed")
        connection.execute("DELETE FROM events WHERE bake = 'mole' AND number = 30")
    data = bytearray(filled.read_bytes())
    data[:60] = b"z" * 60
    filled.write_bytes(data)
    return filled


def test_a_damaged_journal_is_listed_shown_and_exported_as_far_as_it_reads(unopenable: Path, capsys: Out) -> None:
    assert main(["journal", "--json"]) == 1
    told = capsys.readouterr()
    assert {bake["bake"]: bool(bake["fault"]) for bake in json.loads(told.out)["bakes"]} == {
        "quay": False, "mole": True, "jetty": False,
    }  # fmt: skip
    assert "the journal is damaged" in told.err
    assert "proofbell journal rescue FILE" in told.err
    assert main(["journal", "show", "mole"]) == 1
    assert (
        "The log is damaged: event 30 cannot be read; 11 later events cannot be joined on." in capsys.readouterr().out
    )
    for form in ("markdown", "csv", "json"):
        assert main(["journal", "export", "--format", form]) == 1
        out = capsys.readouterr().out
        assert "note 28" in out
        assert "event 30 cannot be read" in out


def test_rescue_says_what_is_saved_and_what_is_lost(unopenable: Path, capsys: Out, tmp_path: Path) -> None:
    before = unopenable.read_bytes()
    assert main(["journal", "rescue", str(tmp_path / "new.db")]) == 1
    out = capsys.readouterr().out
    assert "3 bakes, 111 events written to" in out
    assert (
        "- Harbour knots, bake B of Sat 14 Mar 2026 08:00 (mole): "
        "events 1–29 saved, event 30 lost, 11 later events could not be joined on\n"
        "  event 31, 2026-03-14 08:00:30: Note: note 30\n"
    ) in out
    assert "proofbell journal restore" in out
    assert unopenable.read_bytes() == before
    assert main(["journal", "rescue", "--json", str(tmp_path / "other.db")]) == 1
    document = json.loads(capsys.readouterr().out)
    assert document["nothing_lost"] is False
    assert next(bake for bake in document["bakes"] if bake["bake"] == "mole")["events_lost"] == [30]
    assert main(["journal", "rescue", str(tmp_path / "new.db")]) == 1
    assert "already there" in capsys.readouterr().err
    assert stat.S_IMODE((tmp_path / "new.db").stat().st_mode) == 0o600


def test_a_backup_of_a_damaged_journal_is_not_called_sound(filled: Path, capsys: Out, tmp_path: Path) -> None:
    with closing(sqlite3.connect(filled, isolation_level=None)) as connection:
        connection.execute("DROP TRIGGER events_are_never_changed")
        connection.execute("UPDATE events SET body = '{}' WHERE bake = 'mole' AND number = 30")
    copy = tmp_path / "copy.db"
    assert main(["journal", "backup", str(copy)]) == 1
    assert "--as-far-as-it-reads" in capsys.readouterr().err
    assert not copy.exists()
    assert main(["journal", "backup", str(copy), "--as-far-as-it-reads"]) == 1
    assert "events 1–29 saved" in capsys.readouterr().out
    with Journal.open(copy) as journal:
        assert len(journal.rows_of("quay")) == 41


def test_backups_are_listed_by_age_and_brought_back(filled: Path, capsys: Out) -> None:
    assert main(["journal", "restore"]) == 0
    assert "No backups" in capsys.readouterr().out
    assert main(["journal", "backup"]) == 0
    assert main(["journal", "backup"]) == 0
    assert "Nothing was added" in capsys.readouterr().out
    assert main(["journal", "restore"]) == 0
    listed = capsys.readouterr().out
    assert (
        "3 bakes, 123 events, the newest of Sat 14 Mar 2026 08:00" in listed.replace("UTC", "") or "3 bakes" in listed
    )
    assert main(["journal", "restore", "--json"]) == 0
    (backup,) = json.loads(capsys.readouterr().out)["backups"]
    assert (backup["bakes"], backup["events"]) == (3, 123)
    filled.write_bytes(b"z" * 60 + filled.read_bytes()[60:])
    assert main(["journal", "restore", backup["file"]]) == 0
    said = capsys.readouterr().out
    assert "The journal was damaged." in said
    assert "To undo this: close Proofbell and give that file the name" in said
    assert main(["journal", "verify"]) == 0


PLACES = {
    "a device": ("/dev/full", "a device, not a file"),
    "a folder": (".", "a folder, not a file"),
    "no folder": ("nowhere/copy.db", "there is no such folder"),
    "a file for a folder": ("page.md/copy.db", "a part of its path is a file"),
    "too long a name": ("x" * 300, "too long"),
    "nobody's home": ("~nobody-of-that-name/copy.db", "no home folder is known"),
}


def names_in(folder: Path) -> set[str]:
    """Everything in a folder but the journal, what stands beside it, and the kitchen file."""
    return {one.name for one in folder.iterdir() if not one.name.startswith(("journal.db", "kitchen"))}


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("command", ["backup", "backup --overwrite", "rescue", "export --format csv --to"])
def test_a_place_that_cannot_be_written_is_told_in_plain_words(
    filled: Path, capsys: Out, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, place: str, command: str
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "page.md").write_text("# Rye")
    before = names_in(tmp_path)
    typed, words = PLACES[place]
    assert main(["journal", *command.split(), typed]) in {1, 2}
    said = capsys.readouterr().err
    assert words in said
    assert "internal error" not in said
    assert names_in(tmp_path) == before
    assert Path("/dev/full").is_char_device()


def _small_files() -> None:
    resource.setrlimit(resource.RLIMIT_FSIZE, (BIG // 2, BIG // 2))


@pytest.mark.parametrize(
    "command", ["backup copy.db", "rescue copy.db", "export --to copy.json --format json", "backup"]
)
def test_a_disk_without_room_is_told_and_nothing_half_written_stays(filled: Path, tmp_path: Path, command: str) -> None:
    """A limit on the size of files stands for the disk: to write beyond it fails as on one that is full."""
    ended = subprocess.run(
        [sys.executable, "-c", RUN, "journal", *command.split()],
        cwd=tmp_path, preexec_fn=_small_files,
        # What is compiled under that limit is cut off, and breaks whoever reads it next.
        env={**os.environ, "PROOFBELL_JOURNAL": str(filled), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ended.returncode == 1, ended
    assert any(words in ended.stderr for words in ("the disk is full", "larger than a file may be", "too little room"))
    assert "internal error" not in ended.stderr
    assert names_in(tmp_path) <= {"backups"}
    assert [one.name for one in tmp_path.glob("backups/*") if one.suffix != ".lead"] == []


_FULL_DISK = """
set -e
mount -t tmpfs -o size=64k full "$1/full"
set +e
"$2" -c "$4" journal $3 "$1/full/copy.db"
echo "status $?"
ls -A "$1/full"
"""


@pytest.mark.parametrize("command", ["backup", "rescue", "export --format json --to"])
def test_a_full_disk_is_called_full(filled: Path, tmp_path: Path, command: str) -> None:
    (tmp_path / "full").mkdir()
    asked = ["unshare", "-Urm", "sh", "-c", _FULL_DISK, "sh", str(tmp_path), sys.executable, command, RUN]
    try:
        ended = subprocess.run(
            asked, env={**os.environ, "PROOFBELL_JOURNAL": str(filled)}, capture_output=True, text=True, check=False
        )
    except FileNotFoundError:
        pytest.skip("no way to mount a small disk here")
    if "status" not in ended.stdout:
        pytest.skip(f"no small disk can be mounted here: {ended.stderr.strip()}")
    assert ended.stdout == "status 1\n", ended
    assert "the disk is full" in ended.stderr


def test_what_is_written_is_for_its_owner_only(filled: Path, tmp_path: Path) -> None:
    os.umask(os.umask(0o022))
    assert main(["journal", "export", "--to", str(tmp_path / "all.md")]) == 0
    assert main(["journal", "export", "--folder", str(tmp_path / "much" / "more")]) == 0
    assert main(["journal", "backup"]) == 0
    made = [tmp_path / "all.md", *(tmp_path / "much").rglob("*.md"), *(tmp_path / "backups").glob("*.sqlite")]
    assert len(made) == 5
    assert {stat.S_IMODE(one.stat().st_mode) for one in made} == {0o600}
    folders = [tmp_path / "much", tmp_path / "much" / "more", tmp_path / "backups"]
    assert {stat.S_IMODE(one.stat().st_mode) for one in folders} == {0o700}
