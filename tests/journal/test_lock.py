"""The right to ring: who has it stands in the file, and one who has fallen silent keeps nobody else quiet."""

from __future__ import annotations

import os
import stat
import threading
from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest

from proofbell.bake.stamp import Stamp
from proofbell.journal.files.lock import SAYS_EVERY_S, SILENT_S, Lead, lock_path

NINE_US = 1_773_477_000_000_000


@dataclass
class Clocks:
    """The wall's clock and the one that only goes forward, both set by hand."""

    now: Stamp = field(default_factory=lambda: Stamp(NINE_US, 0, "boot-1", 60))
    running: float = 100.0

    def stamp(self) -> Stamp:
        return self.now

    def pass_s(self, seconds: float) -> None:
        """Time goes by."""
        self.running += seconds
        self.now = replace(self.now, wall_us=self.now.wall_us + round(seconds * 1_000_000))


@pytest.fixture
def clocks() -> Clocks:
    return Clocks()


def lead(path: Path, clocks: Clocks) -> Lead:
    return Lead(path / "journal.sqlite", clock=clocks, running_s=lambda: clocks.running)


def test_who_may_not_ring_learns_who_does_and_since_when(tmp_path: Path, clocks: Clocks) -> None:
    first, second = lead(tmp_path, clocks), lead(tmp_path, clocks)
    assert first.take()
    assert first.holder() is None
    clocks.pass_s(60)
    assert first.take()
    assert not second.take()
    found = second.holder()

    assert found is not None
    assert (found.pid, found.since_us, found.ran_us) == (os.getpid(), NINE_US, NINE_US + 60_000_000)
    assert found.answers
    first.let_go()
    assert second.take()
    assert second.holder() is None
    second.let_go()


def test_the_file_is_plain_text_for_its_owner_alone(tmp_path: Path, clocks: Clocks) -> None:
    one = lead(tmp_path, clocks)
    one.take()
    file = lock_path(tmp_path / "journal.sqlite")

    assert f"process {os.getpid()}\n" in file.read_text(encoding="utf-8")
    assert "since 2026-03-14T08:30:00" in file.read_text(encoding="utf-8")
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    one.let_go()
    assert file.read_text(encoding="utf-8") == ""


def test_a_holder_that_has_fallen_silent_keeps_nobody_quiet_until_it_speaks_again(
    tmp_path: Path, clocks: Clocks
) -> None:
    first, second = lead(tmp_path, clocks), lead(tmp_path, clocks)
    first.take()
    assert not second.take()
    clocks.pass_s(SILENT_S - 1)
    assert not second.take()
    clocks.pass_s(1)
    assert second.take()
    assert not second.held
    found = second.holder()
    assert found is not None
    assert (found.answers, found.ran_us) == (False, NINE_US)

    first.take()
    assert not second.take()
    first.let_go()


def test_one_that_runs_is_never_taken_for_silent_not_after_a_night_of_sleep_or_a_clock_that_was_set(
    tmp_path: Path, clocks: Clocks
) -> None:
    first, second = lead(tmp_path, clocks), lead(tmp_path, clocks)
    first.take()
    for wall_s in (0, 9 * 3600, -365 * 86400, 60):
        clocks.now = replace(clocks.now, wall_us=clocks.now.wall_us + wall_s * 1_000_000)
        for _ in range(20):
            assert not second.take()
            clocks.pass_s(SAYS_EVERY_S)
            assert first.take()
    first.let_go()


@pytest.mark.parametrize("there", [b"", b"\xff\x00", b"process x\n", b"process 1\nterminal \nsince 9\nran 9\n"])
def test_what_makes_no_sense_in_the_file_is_nobody(tmp_path: Path, clocks: Clocks, there: bytes) -> None:
    first, second = lead(tmp_path, clocks), lead(tmp_path, clocks)
    first.take()
    lock_path(tmp_path / "journal.sqlite").write_bytes(there)

    assert not second.take()
    assert second.holder() is None
    first.let_go()


def test_whoever_has_given_it_up_for_good_never_takes_it_again(tmp_path: Path, clocks: Clocks) -> None:
    first, second = lead(tmp_path, clocks), lead(tmp_path, clocks)
    first.take()
    away = threading.Thread(target=first.resign)
    away.start()
    away.join()

    assert second.take()
    second.let_go()
    assert not first.take()
    assert second.take()
    second.let_go()


def test_where_no_lock_file_can_be_made_the_program_rings(tmp_path: Path, clocks: Clocks) -> None:
    alone = lead(tmp_path / "no such folder", clocks)
    assert alone.take()
    assert not alone.held
    assert alone.holder() is None
