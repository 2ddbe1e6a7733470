"""The list of a stage's checks: what to read, when, and what is expected."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from proofbell.formula.kinds import Choice
from proofbell.formula.measures import Later, Measure, WordOr
from proofbell.formula.model import Check
from proofbell.formula.readings import ALSO_READINGS, READINGS, reading_value
from proofbell.formula.tables import Draft, Field, Table, Tables
from proofbell.quantities import Dimension

MOST_CHECKS = 20
START = "start"

CHECK = Table(
    "a check",
    (
        Field("read", Choice("a reading", READINGS, ALSO_READINGS), "What to read.", required=True),
        Field(
            "when",
            WordOr(("start", "end"), Measure(Dimension.TIME, 0, 14 * 24 * 3600.0, above=True)),
            "At the start, at the end, or a time into the stage.",
        ),
        Field(
            "expect",
            Later((Dimension.TEMPERATURE, Dimension.PERCENT, Dimension.MASS), pair=True),
            "Lowest and highest expected reading.",
        ),
    ),
)

CHECKS = Tables(CHECK, MOST_CHECKS)


def checks(drafts: Sequence[Draft]) -> tuple[Check, ...]:
    return tuple(_check(draft) for draft in drafts)


def _check(draft: Draft) -> Check:
    when: Any = draft.get("when", START)
    expect: list[str] | None = draft.get("expect")
    read: Any = draft.get("read")
    bounds = (reading_value(expect[0], read), reading_value(expect[1], read)) if expect else None
    if isinstance(when, str):
        return Check(read, "end" if when == "end" else "start", None, bounds)
    return Check(read, "into", float(when), bounds)
