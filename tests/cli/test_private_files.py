"""What is written is for its owner alone, whatever the umask says: POSIX permission bits."""

from __future__ import annotations

import os
import stat
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from proofbell.cli import main
from proofbell.journal.storage.store import Journal
from proofbell.private_folder import make_private_folder
from tests.support.making import first_events

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="rights are kept otherwise there")


@pytest.fixture(params=[0o000, 0o022, 0o077])
def home(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Nothing is there yet, and the umask is one of three."""
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "config" / "proofbell" / "kitchen.toml"))
    monkeypatch.setenv("PROOFBELL_JOURNAL", str(tmp_path / "data" / "proofbell" / "journal.sqlite"))
    before = os.umask(request.param)
    try:
        yield tmp_path
    finally:
        os.umask(before)


def rights(top: Path) -> dict[str, int]:
    """The permission bits of everything below."""
    return {str(path.relative_to(top)): stat.S_IMODE(path.stat().st_mode) for path in top.rglob("*")}


def test_whatever_the_commands_write_is_for_its_owner_alone(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    journal = home / "data" / "proofbell" / "journal.sqlite"
    with Journal.open(journal) as opened:
        opened.append(first_events("2026-03-14-harbour-knots-3f2a"), 0)
    exports = home / "exports" / "march"
    assert main(["kitchen", "set", "room", "20 °C"]) == 0
    assert main(["plan", "harbour-knots", "--ics", str(home / "day.ics")]) == 0
    assert main(["journal", "export", "--folder", str(exports)]) == 0
    assert main(["journal", "export", "--to", str(home / "all.json"), "--format", "json"]) == 0
    assert main(["journal", "backup", str(home / "copy.sqlite")]) == 0
    capsys.readouterr()

    found = rights(home)
    assert {name for name in found if (home / name).is_dir()} == {
        "config", "config/proofbell", "data", "data/proofbell", "exports", "exports/march",
    }  # fmt: skip
    assert {
        name: oct(mode) for name, mode in found.items() if mode != (0o700 if (home / name).is_dir() else 0o600)
    } == {}


def test_a_calendar_that_is_replaced_is_private_from_then_on(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = home / "day.ics"
    path.write_text("old", encoding="utf-8")
    path.chmod(0o644)
    assert main(["plan", "harbour-knots", "--ics", str(path), "--overwrite"]) == 0
    capsys.readouterr()
    assert rights(home) == {"day.ics": 0o600}


def test_a_folder_that_is_there_keeps_its_rights(home: Path) -> None:
    shared = home / "shared"
    shared.mkdir()
    shared.chmod(0o755)
    make_private_folder(shared / "mine" / "deeper")
    assert rights(home) == {"shared": 0o755, "shared/mine": 0o700, "shared/mine/deeper": 0o700}


def test_a_file_in_the_way_of_a_folder_is_told(home: Path) -> None:
    (home / "way").write_text("", encoding="utf-8")
    for path in (home / "way", home / "way" / "deeper"):
        with pytest.raises(OSError, match=r"[Nn]ot? a? ?(folder|directory)"):
            make_private_folder(path)
