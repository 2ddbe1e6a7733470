"""The nights on which the clocks change, in Central Europe: Directive 2000/84/EC, last Sundays of March and October."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, datetime

import pytest

from proofbell.clock_changes import changes, moment_us, twice_words
from proofbell.errors import Failure

MARCH = datetime(2026, 3, 28, 20, 0)  # noqa: DTZ001 - clock time on the kitchen's wall
OCTOBER = datetime(2026, 10, 24, 20, 0)  # noqa: DTZ001 - clock time on the kitchen's wall


@pytest.fixture(autouse=True)
def _berlin(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    if not hasattr(time, "tzset"):
        pytest.skip("this system keeps its zone elsewhere")
    with monkeypatch.context() as patch:
        patch.setenv("TZ", "Europe/Berlin")
        time.tzset()
        yield
    time.tzset()


def us(*parts: int) -> int:
    return round(datetime(*parts, tzinfo=UTC).timestamp()) * 1_000_000  # type: ignore[misc,arg-type]


def read(text: str, here: datetime) -> int:
    return moment_us(text, here, round(here.astimezone().timestamp()) * 1_000_000)


def test_both_changes_of_a_year_are_found_at_their_hour_and_told() -> None:
    found = changes(us(2026, 1, 1), us(2027, 1, 1))

    assert [one.at_us for one in found] == [us(2026, 3, 29, 1), us(2026, 10, 25, 1)]
    assert [one.words for one in found] == [
        "The clocks go forward on Sun 29 Mar 2026, from 02:00 to 03:00",
        "The clocks go back on Sun 25 Oct 2026, from 03:00 to 02:00",
    ]
    assert changes(us(2026, 4, 1), us(2026, 10, 1)) == ()


def test_a_skipped_hour_is_refused_with_what_to_write_and_the_hours_beside_it_are_taken() -> None:
    with pytest.raises(Failure, match="02:30 does not come on Sun 29 Mar 2026") as refused:
        read("Sun 02:30", MARCH)
    assert refused.value.remedy == "Write 03:00 or another time."
    assert [read(text, MARCH) for text in ("Sun 01:59", "Sun 03:00", "in 6 h 30 min")] == [
        us(2026, 3, 29, 0, 59), us(2026, 3, 29, 1), us(2026, 3, 29, 1, 30),
    ]  # fmt: skip


def test_in_the_doubled_hour_the_first_is_meant_and_said_and_the_other_can_be_asked_for() -> None:
    assert read("Sun 02:30", OCTOBER) == read("Sun 02:30+02", OCTOBER) == us(2026, 10, 25, 0, 30)
    assert read("2026-10-25 02:30+01", OCTOBER) == us(2026, 10, 25, 1, 30)
    assert twice_words("Sun 02:30", us(2026, 10, 25, 0, 30)) == (
        "02:30 comes twice on Sun 25 Oct 2026. The first is meant, 02:30+02; for the other write 02:30+01."
    )
    for text in ("Sun 02:30+02", "Sun 03:30", "in 6 h"):
        assert twice_words(text, read(text, OCTOBER)) == ""
    with pytest.raises(Failure, match=r"it stands at \+02 then"):
        read("Sun 02:30+05", OCTOBER)
