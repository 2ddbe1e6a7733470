"""Two programs that decide about the same bakes at the same time lose nothing and tear nothing apart."""

from __future__ import annotations

from pathlib import Path

from tests.faults.two_programs import both, check


def test_decisions_of_two_programs_are_all_there_once_and_in_order(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite"
    told = both(path, 100, "harbour")

    assert [one.stored for one in told] == [50, 50]
    check(path, told)
