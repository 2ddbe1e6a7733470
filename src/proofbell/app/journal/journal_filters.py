"""Filters of the journal's list that one key goes through: outcome, time, score. Pure."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime, timedelta

from proofbell.frozen import dataclass
from proofbell.journal.reviews.search import Query


@dataclass(frozen=True, slots=True)
class Choice:
    """One of the ways to filter: its name, and what it asks for on a day of the kitchen's clock."""

    name: str
    asks: Callable[[Query, datetime], Query] = lambda query, _today: query


def _since(begin: Callable[[datetime], datetime]) -> Callable[[Query, datetime], Query]:
    return lambda query, today: replace(query, since_us=round(begin(today).timestamp() * 1_000_000))


WHICH = (
    Choice("all"),
    Choice("finished", lambda query, _: replace(query, outcome="finished")),
    Choice("given up", lambda query, _: replace(query, outcome="given up")),
    Choice("unfinished", lambda query, _: replace(query, outcome="")),
    Choice("without a score", lambda query, _: replace(query, without_score=True)),
)
WHEN = (
    Choice("any time"),
    Choice("this week", _since(lambda today: today - timedelta(days=today.weekday()))),
    Choice("this month", _since(lambda today: today.replace(day=1))),
    Choice("this year", _since(lambda today: today.replace(month=1, day=1))),
)
SCORES = (
    Choice("any score"),
    Choice("8 points or more", lambda query, _: replace(query, score_at_least=8.0)),
    Choice("5 points or less", lambda query, _: replace(query, score_at_most=5.0)),
)


@dataclass(frozen=True, slots=True)
class Filters:
    """The filters that hold; ``formula`` is a name, or nothing."""

    which: Choice = WHICH[0]
    when: Choice = WHEN[0]
    score: Choice = SCORES[0]
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
        holds = (self.which, WHICH), (self.when, WHEN), (self.score, SCORES)
        return [one.name for one, choices in holds if one is not choices[0]] + [self.formula] * bool(self.formula)

    def query(self, text: str, now: datetime) -> Query:
        """What is asked for with the ``text`` that is searched for."""
        today = now.replace(hour=0, minute=0, second=0, microsecond=0)
        query = Query(text=text, formula=self.formula)
        for one in (self.which, self.when, self.score):
            query = one.asks(query, today)
        return query


def _following(choices: Sequence[Choice], one: Choice) -> Choice:
    return choices[(choices.index(one) + 1) % len(choices)]
