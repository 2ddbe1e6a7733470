"""A search of so many steps ends sooner once nothing better is found: by counted steps, so that it can be repeated."""

from __future__ import annotations

import pytest

from proofbell.planner.search import STALE, Search, plan
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
