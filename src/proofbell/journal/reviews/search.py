"""Filtering and sorting the list of bakes, as one types. Pure: it works on summaries that were read once."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, Literal

from proofbell.frozen import dataclass
from proofbell.journal.reviews.summary import Summary

Column = Literal["date", "formula", "size", "dough", "proof planned", "proof", "score", "outcome"]

_KEYS: dict[Column, Callable[[Summary], Any]] = {
    "date": lambda summary: summary.began_us,
    "formula": lambda summary: summary.formula.casefold(),
    "size": lambda summary: summary.dough_g,
    "dough": lambda summary: summary.dough_c,
    "proof planned": lambda summary: summary.proof_planned_s,
    "proof": lambda summary: summary.proof_actual_s,
    "score": lambda summary: summary.score,
    "outcome": lambda summary: summary.outcome,
}

COLUMNS: tuple[Column, ...] = tuple(_KEYS)


@dataclass(frozen=True, slots=True)
class Query:
    """What to look for: every word of ``text`` (formula, notes, outcome), and bounds that hold when they are set.

    ``since_us`` and ``until_us`` are UTC; the score bounds leave out bakes without a score.
    """

    text: str = ""
    formula: str = ""
    since_us: int | None = None
    until_us: int | None = None
    score_at_least: float | None = None
    score_at_most: float | None = None
    outcome: str | None = None
    without_score: bool = False


def search(summaries: Iterable[Summary], query: Query) -> list[Summary]:
    """The bakes that fit, in the order they came."""
    words = query.text.casefold().split()
    formula = query.formula.casefold()
    return [
        summary
        for summary in summaries
        if formula in summary.formula.casefold()
        and all(word in summary.words or word in summary.outcome for word in words)
        and _within(summary.began_us, query.since_us, query.until_us)
        and _within(summary.score, query.score_at_least, query.score_at_most)
        and (query.outcome is None or summary.outcome == query.outcome)
        and (not query.without_score or summary.wants_score)
    ]


def _within(value: float | None, least: float | None, most: float | None) -> bool:
    if least is None and most is None:
        return True
    return value is not None and (least is None or value >= least) and (most is None or value <= most)


def ordered(summaries: Iterable[Summary], column: Column, *, descending: bool = False) -> list[Summary]:
    """Sorted by a column; bakes that have nothing there come last either way. Equal ones keep their order."""
    key = _KEYS[column]
    known = [summary for summary in summaries if key(summary) is not None]
    unknown = [summary for summary in summaries if key(summary) is None]
    return sorted(known, key=key, reverse=descending) + unknown
