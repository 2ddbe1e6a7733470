"""Filters of the journal's list that one key goes through: outcome, time, score. Pure."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta

from proofbell.frozen import dataclass
from proofbell.journal.reviews.search import Query

WHICH = ("all", "finished", "given up", "unfinished", "without a score")
WHEN = ("any time", "this week", "this month", "this year")
SCORES = ("any score", "8 points or more", "5 points or less")


@dataclass(frozen=True, slots=True)
class Filters:
    """The filters that hold; ``formula`` is a name, or nothing."""

    which: str = WHICH[0]
    when: str = WHEN[0]
    score: str = SCORES[0]
    formula: str = ""

    def next_which(self) -> Filters:
        return replace(self, which=_following(WHICH, self.which))

    def next_when(self) -> Filters:
        return replace(self, when=_following(WHEN, self.when))

    def next_score(self) -> Filters:
        return replace(self, score=_following(SCORES, self.score))

    def alike(self, formula: str) -> Filters:
        """Only that formula, or all again where one was chosen already."""
        return replace(self, formula="" if self.formula else formula)

    def words(self) -> list[str]:
        """Those that leave something out."""
        named = (self.which, WHICH), (self.when, WHEN), (self.score, SCORES)
        return [name for name, names in named if name != names[0]] + [self.formula] * bool(self.formula)

    def query(self, text: str, now: datetime) -> Query:
        """What is asked for with the ``text`` that is searched for."""
        query = Query(text=text, formula=self.formula)
        if self.which == "without a score":
            query = replace(query, without_score=True)
        elif self.which != "all":
            query = replace(query, outcome="" if self.which == "unfinished" else self.which)
        begin = _begin(self.when, now)
        if begin is not None:
            query = replace(query, since_us=round(begin.timestamp() * 1_000_000))
        if self.score == SCORES[1]:
            query = replace(query, score_at_least=8.0)
        elif self.score == SCORES[2]:
            query = replace(query, score_at_most=5.0)
        return query


def _begin(when: str, now: datetime) -> datetime | None:
    today = now.replace(hour=0, minute=0, second=0, microsecond=0)
    if when == "this week":
        return today - timedelta(days=now.weekday())
    if when == "this month":
        return today.replace(day=1)
    return today.replace(month=1, day=1) if when == "this year" else None


def _following(names: tuple[str, ...], name: str) -> str:
    return names[(names.index(name) + 1) % len(names)]
