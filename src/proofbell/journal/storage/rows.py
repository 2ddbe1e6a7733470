"""Events as rows of the table, on their way into it: only what a decision could have made, chained to what is there."""

from __future__ import annotations

from collections.abc import Sequence

from proofbell.bake.record import Row, chained_digest
from proofbell.journal.storage.lines import COLUMNS

INSERT = f"INSERT INTO events ({COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"  # noqa: S608 - no outside text


def values_of(row: Row) -> tuple[object, ...]:
    """A row's columns in the order of ``COLUMNS``, for ``INSERT``."""
    return (
        row.id, row.bake, row.number, row.decision, row.wall_us, row.boot_us, row.boot_id, row.offset_min,
        row.name, row.schema, row.body, row.digest,
    )  # fmt: skip


def refuse_unchained(rows: Sequence[Row], digest: str) -> None:
    """Raise ValueError for rows that do not follow the ``digest`` before them: a fault of the program."""
    for row in rows:
        if chained_digest(digest, row) != row.digest:
            raise ValueError(f"event {row.number} is not chained to the one before")
        digest = row.digest


def refuse_unfit(rows: Sequence[Row], expected_last: int) -> None:
    """Raise ValueError for rows that no decision could have made: a fault of the program, not of the baker."""
    for number, row in enumerate(rows, start=expected_last + 1):
        if row.bake != rows[0].bake or row.number != number:
            raise ValueError(f"event {row.number} of bake {row.bake} does not follow {number - 1}")
