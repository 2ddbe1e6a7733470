"""A search of so many steps ends sooner once nothing better is found: by counted steps, so that it can be repeated."""

from __future__ import annotations

import pytest

from proofbell.planner.search import STALE, Search, improve, plan
from tests.benchmarks.days import day


@pytest.fixture
def better(monkeypatch: pytest.MonkeyPatch) -> list[bool]:
    """For each step that is taken, whether it found a better plan."""
    taken: list[bool] = []
    step = Search.step

    def counted(self: Search, *more: object) -> bool:
        taken.append(step(self, *more))  # type: ignore[arg-type]
        return taken[-1]

    monkeypatch.setattr(Search, "step", counted)
    return taken


def test_it_ends_so_many_steps_after_the_best_plan_and_finds_the_same_again(better: list[bool]) -> None:
    found = plan(day(1, 5), 600)
    assert found.cost.late_s + found.cost.violation_s == 0
    assert not any(better[-STALE:])
    assert len(better) == STALE or better[-STALE - 1]
    assert plan(day(1, 5), 600).times == found.times


def test_it_goes_on_while_something_is_late_or_cannot_be_kept(better: list[bool]) -> None:
    found = plan(day(2, 5), 150)
    assert found.cost.late_s + found.cost.violation_s > 0
    assert len(better) == 150


def test_of_a_few_doughs_all_orders_are_tried_first(better: list[bool]) -> None:
    assert plan(day(0, 2), 600).proved
    assert len(better) < STALE


def test_a_search_whose_time_is_up_goes_on_for_its_least_steps_while_something_is_late(better: list[bool]) -> None:
    """A busy machine gets no further in its seconds: what it says of a day is then as far as the command looks."""
    (*_, found) = improve(day(2, 5), should_stop=lambda: True, least_steps=20)
    assert found.cost.late_s + found.cost.violation_s > 0
    assert len(better) == 20


def test_it_ends_at_once_where_nobody_wants_it_or_nothing_is_late(better: list[bool]) -> None:
    list(improve(day(2, 5), should_stop=lambda: True, least_steps=20, dropped=lambda: True))
    assert better == []
    on_time = plan(day(1, 5), 600).times
    better.clear()
    list(improve(day(1, 5), on_time, should_stop=lambda: True, least_steps=20))
    assert better == []
