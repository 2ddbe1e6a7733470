"""Moments as people say them."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from proofbell.errors import Failure
from proofbell.moment_text import read_when

SATURDAY = datetime(2026, 3, 14, 10, 42)  # noqa: DTZ001 - clock time on the kitchen's wall


@pytest.mark.parametrize(
    ("said", "day", "clock"),
    [
        ("18:30", 14, "18:30"),
        ("07:30", 15, "07:30"),
        ("10:42", 15, "10:42"),
        ("tomorrow 7:30", 15, "07:30"),
        ("today 11:00", 14, "11:00"),
        ("Sun 09:00", 15, "09:00"),
        ("sat 09:00", 21, "09:00"),
        ("Saturday 12.15", 14, "12:15"),
        ("2026-03-16 06:00", 16, "06:00"),
        ("2026-03-16T06:00", 16, "06:00"),
        ("in 4 h", 14, "14:42"),
        ("in 1 h 30 min", 14, "12:12"),
    ],
)
def test_a_moment_is_read_as_it_is_said(said: str, day: int, clock: str) -> None:
    moment = read_when(said, SATURDAY)

    assert (moment.day, f"{moment:%H:%M}") == (day, clock)
    assert SATURDAY < moment < SATURDAY + timedelta(days=60)


@pytest.mark.parametrize(
    "said", ["", "soon", "25:00", "7", "12:60", "t 09:00", "in 4", "in -1 h", "today 09:00", "2026-13-01 09:00",
             "2025-03-16 06:00", "2027-03-16 06:00", "in 400 d"]
)  # fmt: skip
def test_what_is_no_moment_to_come_is_refused_with_a_way_to_say_it(said: str) -> None:
    with pytest.raises(Failure) as refused:
        read_when(said, SATURDAY)

    assert refused.value.remedy
