"""The kitchen's quiet hours as spans of time, by the rules of the clock on each day."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, datetime

import pytest

from proofbell.kitchen.file import read_kitchen
from proofbell.kitchen.model import Kitchen
from proofbell.nights import is_quiet, nights

QUIET = Kitchen(quiet=("22:30", "06:00"))


@pytest.fixture(autouse=True)
def _berlin(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


def us(month: int, day: int, hour: int, minute: int = 0) -> int:
    return round(datetime(2026, month, day, hour, minute, tzinfo=UTC).timestamp() * 1_000_000)


def test_a_moment_is_quiet_from_the_first_hour_until_the_last() -> None:
    """In Berlin it is an hour later than UTC in November: quiet from 21:30 to 05:00."""
    told = {(21, 29): False, (21, 30): True, (23, 59): True, (3, 0): True, (4, 59): True, (5, 0): False, (12, 0): False}
    assert {at: is_quiet(QUIET, us(11, 12, *at)) for at in told} == told
    assert not is_quiet(Kitchen(), us(11, 12, 3))


@pytest.mark.parametrize(("month", "day", "hours"), [(3, 28, 6.5), (10, 24, 8.5), (6, 1, 7.5)])
def test_a_night_in_which_the_clocks_change_is_an_hour_shorter_or_longer(month: int, day: int, hours: float) -> None:
    """Central European clocks change on 29 March and 25 October 2026, at 01:00 UTC (Directive 2000/84/EC)."""
    (begin_us, end_us), *_ = nights(QUIET, us(month, day, 12))

    assert (end_us - begin_us) / 3_600_000_000 == hours


def test_the_night_that_one_is_in_counts_and_the_days_after_what_is_wanted_too() -> None:
    found = nights(QUIET, us(6, 1, 22), us(6, 3, 8))

    assert found[0] == (us(6, 1, 20, 30), us(6, 2, 4))
    assert found[-1][0] > us(6, 3, 8) + 10 * 24 * 3_600_000_000
    assert nights(Kitchen(), us(6, 1, 22)) == ()


@pytest.mark.parametrize(
    "written", ['quiet = ["22:30"]', 'quiet = ["half past ten", "06:00"]', 'quiet = ["24:30", "6:00"]']
)
def test_quiet_hours_that_are_none_are_refused(written: str) -> None:
    _, faults = read_kitchen(written, "kitchen.toml")

    assert [fault.line for fault in faults if fault.is_error] == [1]


def test_names_say_how_many_work_here() -> None:
    assert read_kitchen('names = ["Ola", "Tir"]\nquiet = ["9:00", "17.30"]', "")[0] == Kitchen(
        hands=2, names=("Ola", "Tir"), quiet=("09:00", "17:30")
    )
