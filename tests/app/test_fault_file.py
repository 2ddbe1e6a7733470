"""A fault is written down with its place and without anybody's text."""

from __future__ import annotations

import stat
import sys
from pathlib import Path

import pytest

from proofbell.app.terminal.fault_file import MOST_BYTES, Fault, FaultFile, fault_of, text_of
from tests.support.stage import HandClock


def failing(secret: str) -> None:
    """Fail with somebody's words in the exception."""
    raise ValueError(f"no such bread: {secret}")


def met(secret: str) -> Fault:
    """The fault that ``failing`` makes."""
    with pytest.raises(ValueError, match="no such bread") as found:
        failing(secret)
    return fault_of(found.value, "start")


def test_it_names_kind_place_page_and_versions_and_nothing_personal() -> None:
    text = text_of(met("Aunt Maren's secret loaf"), HandClock().now)
    assert "ValueError on page start" in text
    assert "test_fault_file.py" in text
    assert f"python {sys.version_info.major}.{sys.version_info.minor}" in text
    assert "Maren" not in text
    assert str(Path.home()) not in text
    assert str(Path(__file__).parent) not in text


def test_only_its_owner_may_read_it_and_it_does_not_grow_for_ever(tmp_path: Path) -> None:
    path = tmp_path / "faults.txt"
    faults = FaultFile(path)
    assert faults.write(met("rye"), HandClock().now)
    if sys.platform != "win32":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    path.write_text("x" * (MOST_BYTES + 1), encoding="utf-8")
    assert faults.write(met("rye"), HandClock().now)
    assert path.stat().st_size < MOST_BYTES


def test_where_it_cannot_be_written_nothing_else_fails(tmp_path: Path) -> None:
    assert not FaultFile(tmp_path / "no folder" / "faults.txt").write(met("rye"), HandClock().now)
    assert not FaultFile(None).write(met("rye"), HandClock().now)
