"""The megabyte in reserve: there, not there, and no room for it."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from proofbell.journal.files.ballast import BALLAST_BYTES, ballast_path, give_up, lay_down


def test_it_is_laid_down_once_and_given_up_once(tmp_path: Path) -> None:
    journal = tmp_path / "journal.sqlite"
    assert lay_down(journal)
    assert ballast_path(journal).stat().st_size == BALLAST_BYTES
    assert lay_down(journal), "it is there already"
    assert give_up(journal)
    assert not give_up(journal)


def test_on_a_full_disk_no_part_of_it_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """POSIX: a write that finds no room fails with ENOSPC, at the latest when it is synced."""

    def full(_descriptor: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    assert not lay_down(tmp_path / "journal.sqlite")
    assert list(tmp_path.iterdir()) == [], "half a reserve would take the last room and be taken for a whole one"


def test_where_nothing_may_be_written_there_is_none(tmp_path: Path) -> None:
    assert not lay_down(tmp_path / "no such folder" / "journal.sqlite")
