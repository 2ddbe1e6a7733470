"""For whom a dough waits in a plan, or goes ahead of: which other has the oven or the hands, and until or from when."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from proofbell.bench.timetable import Timetable
from proofbell.moment_text import MINUTE_US

BESIDE_US = 10 * MINUTE_US
"""Who is at it so shortly before or after what is moved is the one it makes way for: common practice, no source."""

Use = tuple[str, int, int]
"""A bake's letter, and from when until when it has the oven or the hands (UTC, µs)."""


def makes_way(
    table: Timetable, letter: str, own_us: int, planned_us: int, clock: Callable[[int], str], *, oven: bool
) -> str:
    """``E has the hands until 07:17``; empty where the plan shows nobody.

    Args:
        table: the plan.
        letter: the bake whose stage ends, or begins, at another moment than its own.
        own_us: its own moment (UTC, µs).
        planned_us: the one that the plan would like.
        clock: a moment as the kitchen's clock has it.
        oven: it needs the oven then; else hands.
    """
    night_us = nobody_until(table, own_us)
    if night_us is not None:
        return f"nobody works until {clock(night_us)}"
    uses = (("oven", _oven(table)), ("hands", _hands(table))) if oven else (("hands", _hands(table)),)
    for what, found in uses:
        others = [use for use in found if use[0] != letter]
        if planned_us > own_us:
            before = [use for use in others if own_us < use[2] <= planned_us + MINUTE_US]
            if before:
                other, _, until_us = max(before, key=lambda use: use[2])
                return f"{other} has the {what} until {clock(until_us)}"
            continue
        after = [use for use in others if planned_us <= use[1] <= own_us + BESIDE_US]
        if after:
            other, from_us, _ = min(after, key=lambda use: use[1])
            return f"{other} has the {what} from {clock(from_us)}"
    return ""


def nobody_until(table: Timetable, at_us: int) -> int | None:
    """Until when (UTC, µs) nobody works at a moment; None where somebody does."""
    return next((end_us for begin_us, end_us in table.quiet if begin_us <= at_us < end_us), None)


def _oven(table: Timetable) -> Iterable[Use]:
    lines = (line for bake in table.bakes for line in bake.lines if line.kind == "bake")
    return ((line.letter, line.begins_us, line.ends_us) for line in lines)


def _hands(table: Timetable) -> Iterable[Use]:
    return ((act.letter, line.begins_us, line.ends_us) for line in table.hands for act in line.acts)
