"""How the lines of the plan's page are shared out among the doughs, the words about them and the day's list."""

from __future__ import annotations

from proofbell.frozen import dataclass

OTHERS = 7
"""Lines beside the doughs, the words and the day's list: title, hour, columns, oven, hands, one dough, keys."""

LEAST_DAY, LEAST_WORDS, LEAST_DOUGHS = 5, 4, 4
"""The day's list is there where it has so many lines; words and doughs keep so many beside one another."""


@dataclass(frozen=True, slots=True)
class PlanRoom:
    """Lines for the doughs with their columns' heads, and whether the day's list is there."""

    doughs: int
    day: bool


def plan_room(height: int, doughs: int, words: int, *, day: bool, answered: bool) -> PlanRoom:
    """Share out a page of so many lines.

    Args:
        height: lines of the page.
        doughs: how many there are; without one their list says what to do.
        words: lines that all that is to be said would take.
        day: whether there is a day to list.
        answered: whether a line says what the last key did.
    """
    spare = height - OTHERS - doughs - answered
    most = max(1, doughs) + 1
    there = max(min(LEAST_DOUGHS, most), most + min(0, spare - min(words, LEAST_WORDS)))
    return PlanRoom(there, day and spare - words - 2 >= LEAST_DAY)
