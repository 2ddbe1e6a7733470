"""A command that stands still because another program has the journal to itself says so, once, on standard error."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from proofbell.cli import main
from proofbell.cli.printed.journal_waiting import SAY_AFTER_S, say_if_busy
from proofbell.clock import Patience
from proofbell.journal.storage.opening import is_busy
from proofbell.journal.storage.store import Journal
from tests.support.making import first_events

WAITS = "proofbell: another program is writing to the journal; waiting for it …\n"

Out = pytest.CaptureFixture[str]


@pytest.fixture
def other(path: Path) -> Iterator[sqlite3.Connection]:
    """Another program, with a journal of one bake open."""
    with Journal.open(path) as journal:
        journal.append(first_events("one"), 0)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        yield connection


class Lets:
    """Time that passes without waiting: ``over`` says after how many waits it is up; the other lets go then."""

    def __init__(self, other: sqlite3.Connection, *, over: bool) -> None:
        self._other, self._over = other, over
        self.asked = 0

    def again(self) -> bool:
        self.asked += 1
        if self.asked < 4:
            return True
        self._other.execute("ROLLBACK")
        return not self._over


@pytest.mark.parametrize("lock", ["BEGIN EXCLUSIVE", "BEGIN IMMEDIATE"])
def test_a_lock_that_lasts_is_told_once_and_one_that_does_not_is_not(
    path: Path, other: sqlite3.Connection, lock: str, capsys: Out
) -> None:
    for over in (True, False):
        other.execute(lock)
        say_if_busy(path, lets := Lets(other, over=over))
        assert lets.asked == 4
        assert capsys.readouterr().err == (WAITS if over else "")


def test_a_second_passes_before_it_is_told(path: Path, other: sqlite3.Connection, capsys: Out) -> None:
    waited: list[float] = []
    other.execute("BEGIN EXCLUSIVE")
    say_if_busy(path, Patience(SAY_AFTER_S, running_s=lambda: sum(waited), sleep=waited.append, chance=lambda: 1.0))
    assert sum(waited) == pytest.approx(1.0)
    assert capsys.readouterr().err == WAITS


@pytest.mark.parametrize(
    "command",
    [
        ["journal", "--json"],
        ["journal", "show", "one", "--json"],
        ["journal", "verify", "--json"],
        ["journal", "learned", "--json"],
        ["journal", "backup", "--json"],
        ["read", "26", "--what", "room temperature", "--json"],
        ["weigh", "harbour-knots", "--json"],
    ],
)
def test_what_is_printed_stays_one_document(
    path: Path, other: sqlite3.Connection, command: list[str], capsys: Out, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert path.exists()
    monkeypatch.setattr("proofbell.cli.printed.journal_waiting.Patience", lambda _most_s: Lets(other, over=True))
    other.execute("BEGIN EXCLUSIVE")
    assert main(command) == 0
    told = capsys.readouterr()
    assert told.err == WAITS
    json.loads(told.out)


def test_rescue_and_restore_say_it_too(
    path: Path, other: sqlite3.Connection, tmp_path: Path, capsys: Out, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("proofbell.cli.printed.journal_waiting.Patience", lambda _most_s: Lets(other, over=True))
    for job in ("rescue", "restore"):
        other.execute("BEGIN EXCLUSIVE")
        assert main(["journal", job, str(tmp_path / "saved.sqlite")]) == 0
        assert capsys.readouterr().err == WAITS
    assert path.exists()


def test_looking_makes_nothing_and_calls_nothing_else_busy(path: Path, tmp_path: Path) -> None:
    assert not is_busy(path)
    assert not path.exists()
    assert not is_busy(tmp_path)
    path.write_bytes(b"no database at all" * 99)
    assert not is_busy(path)
