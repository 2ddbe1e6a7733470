"""Filters of the journal's list that one key goes through: outcome, time, score. Pure."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from proofbell.journal.reviews.search import Query

WHICH = ("all", "finished", "given up", "unfinished", "without a score")
WHEN = ("any time", "this week", "this month", "this year")
SCORES = ("any score", "8 points or more", "5 points or less")


def with_filters(query: Query, which: str, when: str, score: str, now: datetime) -> Query:
    """The query with the filters of these names."""
    if which == "without a score":
        query = replace(query, without_score=True)
    elif which != "all":
        query = replace(query, outcome="" if which == "unfinished" else which)
    begin = _begin(when, now)
    if begin is not None:
        query = replace(query, since_us=round(begin.timestamp() * 1_000_000))
    if score == SCORES[1]:
        query = replace(query, score_at_least=8.0)
    elif score == SCORES[2]:
        query = replace(query, score_at_most=5.0)
    return query


def _begin(when: str, now: datetime) -> datetime | None:
    today = now.replace(hour=0, minute=0, second=0, microsecond=0)
    if when == "this week":
        return today - timedelta(days=now.weekday())
    if when == "this month":
        return today.replace(day=1)
    return today.replace(month=1, day=1) if when == "this year" else None


def following(names: tuple[str, ...], name: str) -> str:
    """The next filter, round and round."""
    return names[(names.index(name) + 1) % len(names)]
