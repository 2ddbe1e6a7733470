"""The clocks themselves: the machine's, a rehearsal's, the zone's two hours in one, and patience."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from proofbell import clock
from proofbell.bake.stamp import UNKNOWN_BOOT
from proofbell.clock import FastClock, Patience, WallClock, comes_twice, offset_min, utc_us
from tests.support.stage import HandClock

TWICE = datetime(2026, 10, 25, 0, 30, tzinfo=UTC)
"""02:30 of summer time in Central Europe, an hour before 02:30 of winter time: Directive 2000/84/EC, last Sunday of
October, 01:00 UTC."""


@pytest.fixture(name="_berlin")
def _set_berlin(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    if not hasattr(time, "tzset"):
        pytest.skip("this system keeps its zone elsewhere")
    with monkeypatch.context() as patch:
        patch.setenv("TZ", "Europe/Berlin")
        time.tzset()
        yield
    time.tzset()


def us(moment: datetime, seconds: float = 0) -> int:
    """Microseconds of UTC."""
    return round((moment.timestamp() + seconds) * 1e6)


@pytest.mark.usefixtures("_berlin")
def test_an_hour_that_comes_twice_is_known_and_read_as_the_one_that_is_still_ahead() -> None:
    assert [comes_twice(us(TWICE, hours * 3600)) for hours in (-2, 0, 1, 2)] == [False, True, True, False]
    assert [offset_min(us(TWICE, hours * 3600)) for hours in (0, 1)] == [120, 60]
    typed = datetime(2026, 10, 25, 2, 30)  # noqa: DTZ001 - as a baker types it
    assert utc_us(typed) == us(TWICE)
    assert utc_us(typed, after_us=us(TWICE, -60)) == us(TWICE)
    assert utc_us(typed, after_us=us(TWICE, 60)) == us(TWICE, 3600)
    assert utc_us(typed, after_us=us(TWICE, 7200)) == us(TWICE), "both are over: as without a bound"


def test_a_moment_that_no_calendar_holds_does_not_come_twice() -> None:
    assert not comes_twice(10**30)


def test_a_rehearsal_runs_at_its_speed_is_held_and_goes_forward_only() -> None:
    real = HandClock()
    fast = FastClock(real.stamp(), 60.0, real)

    def passed_s() -> float:
        return (fast.stamp().wall_us - real.stamp().wall_us) / 1e6

    real.forward(10)
    assert passed_s() == 10 * 59
    fast.hold(on=True)
    real.forward(10)
    assert passed_s() == 10 * 58
    fast.hold(on=False)
    real.forward(1)
    assert passed_s() == 11 * 60 - 21
    before_s = passed_s()
    fast.skip(-100)
    assert passed_s() == before_s
    fast.skip(100)
    assert passed_s() == before_s + 100
    assert fast.stamp().boot_id == "rehearsal", "never to be taken for a real bake"


def test_the_machines_clock_tells_one_boot_and_goes_forward() -> None:
    first, second = (WallClock().stamp() for _ in range(2))
    assert second.boot_us >= first.boot_us
    assert first.boot_id == second.boot_id
    assert abs(first.wall_us - us(datetime.now(UTC))) < 3600 * 1e6


def test_where_the_system_does_not_tell_its_boot_each_process_is_one(monkeypatch: pytest.MonkeyPatch) -> None:
    def nothing(*_: object, **__: object) -> str:
        raise OSError

    clock.boot_id.cache_clear()
    with monkeypatch.context() as patch:
        patch.setattr(Path, "read_text", nothing)
        patch.setattr("subprocess.run", nothing)
        told = clock.boot_id()
        assert told.startswith(UNKNOWN_BOOT)
        assert clock.boot_id() == told
    clock.boot_id.cache_clear()


def test_patience_waits_longer_each_time_and_has_an_end() -> None:
    now_s, waits = [0.0], []

    def sleep(seconds: float) -> None:
        waits.append(seconds)
        now_s[0] += seconds

    patience = Patience(3.0, running_s=lambda: now_s[0], sleep=sleep, chance=lambda: 1.0)
    while patience.again():
        assert len(waits) < 100
    assert waits[:4] == [0.02, 0.04, 0.08, 0.16]
    assert max(waits) == Patience.LONGEST_S
    assert sum(waits) == pytest.approx(3.0), "not beyond the end"
