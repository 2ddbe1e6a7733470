"""Two programs that decide about the same bakes at the same time lose nothing and tear nothing apart."""

from __future__ import annotations

from pathlib import Path

from proofbell.bake.events import LETTERS
from proofbell.journal.storage.store import Journal
from tests.faults.baker import live_states
from tests.faults.two_programs import both, check


def test_decisions_of_two_programs_are_all_there_once_and_in_order(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite"
    told = both(path, 100, "harbour")

    assert [one.stored for one in told] == [50, 50]
    check(path, told)


def test_doughs_put_on_by_two_programs_in_the_same_second_have_letters_of_their_own(tmp_path: Path) -> None:
    path = tmp_path / "journal.sqlite"
    check(path, both(path, len(LETTERS), "harbour", only_open=True))

    with Journal.open(path) as journal:
        assert sorted(state.letter for state in live_states(journal)) == list(LETTERS)
