"""Round moments of a long axis of time: the beginnings of months, with the year where it is new."""

from __future__ import annotations

from datetime import UTC, datetime

from proofbell.journal.reviews.moments import day, local

STEPS = (1, 2, 3, 6, 12, 24, 60, 120)
"""Months from one mark to the next."""


def months(begin_us: int, end_us: int, *, most: int) -> list[tuple[int, str]]:
    """Beginnings of months between two moments (UTC, µs), at most so many: ``Feb``, and ``Jan 2026`` for a new year."""
    first, last = local(begin_us, 0), local(end_us, 0)
    begins, ends = first.year * 12 + first.month, last.year * 12 + last.month - 1
    step = next((step for step in STEPS if (ends - begins) / step < most), STEPS[-1])
    found: list[tuple[int, str]] = []
    for month in range(-(-begins // step) * step, ends + 1, step):
        at = datetime(min(9999, month // 12), month % 12 + 1, 1, tzinfo=UTC)
        year = "" if found and month % 12 >= step else f" {at.year}"
        found.append((round(at.timestamp() * 1_000_000), day(at).split()[2] + year))
    return found
