"""No power cut takes what was acknowledged, and the cuts are cruel enough to find settings that would lose it."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tests.faults.disk import SECTOR_BYTES, Disk, Made, Removed, Shortened, Synced, Wrote
from tests.faults.power_cuts import campaign, settings

CUTS = 200


def test_nothing_acknowledged_is_lost_in_a_power_cut(tmp_path: Path) -> None:
    seed = random.randrange(10**6)
    tally = campaign(tmp_path, CUTS, seed)

    assert not tally.faults, f"seed {seed}: {tally}"
    assert tally.cuts >= CUTS
    assert tally.acknowledged > CUTS


@pytest.mark.parametrize(
    "weaker",
    [
        {"synchronous": ("NORMAL", 1)},
        {"journal_mode": ("DELETE", "delete"), "synchronous": ("FULL", 2)},
    ],
    ids=["one sync less", "as SQLite is without our settings"],
)
def test_weaker_settings_are_caught_losing_what_was_acknowledged(
    tmp_path: Path, weaker: dict[str, tuple[str, object]]
) -> None:
    """As the meaning of NORMAL, FULL and EXTRA has it: "PRAGMA synchronous", sqlite.org/pragma.html."""
    with settings(**weaker):
        tally = campaign(tmp_path, 120, seed=1)

    assert tally.faults["acknowledged events are lost"] > 5, str(tally)


def found(disk: Disk, tries: int = 200) -> set[tuple[tuple[str, bytes], ...]]:
    return {tuple(sorted(disk.after_cut(random.Random(seed)).items())) for seed in range(tries)}


def test_what_was_synced_is_found_again_and_what_was_not_may_be_either() -> None:
    disk = Disk.holding({"a": b"old"})
    disk.take(Wrote(0, 0, b"new"))
    contents = {dict(files)["a"] for files in found(disk)}
    assert {b"old", b"new"} < contents, "kept, lost, and garbage"
    assert {len(content) for content in contents} == {3}

    disk.take(Synced(0, folder=False))
    assert found(disk) == {(("a", b"new"),)}


def test_each_sector_has_a_fate_of_its_own() -> None:
    disk = Disk.holding({"a": bytes(2 * SECTOR_BYTES)})
    disk.take(Wrote(0, SECTOR_BYTES - 1, b"xy"))
    borders = {dict(files)["a"][SECTOR_BYTES - 1 : SECTOR_BYTES + 1] for files in found(disk)}
    assert {b"\0\0", b"x\0", b"\0y", b"xy"} < borders


def test_a_file_may_have_its_old_length_and_a_name_may_come_back() -> None:
    disk = Disk.holding({"a": b"whole"})
    disk.take(Shortened(0, 0))
    assert found(disk) == {(("a", b"whole"),), (("a", b""),)}

    disk.take(Synced(0, folder=False))
    disk.take(Removed("a", folder=False))
    disk.take(Made("b", 1))
    assert found(disk) == {(("a", b""),), (), (("b", b""),)}, "names are written in their order"

    disk.take(Synced(1, folder=True))
    assert found(disk) == {(("b", b""),)}
