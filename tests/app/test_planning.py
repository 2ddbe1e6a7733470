"""How long the planner looks for better plans beside the screen: time is a list of moments here."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from proofbell.app.planning import planner_thread
from proofbell.planner.plan import Plan
from proofbell.planner.search import plan
from proofbell.planner.solver.branch_and_bound import Stop
from tests.benchmarks.kitchens import kitchen


@pytest.mark.parametrize(
    ("late_s", "looked_for_s"), [(0, planner_thread.STALE_FOR_S), (600, planner_thread.BETTER_FOR_S)]
)
def test_nothing_better_for_long_ends_the_search_unless_something_will_be_late(
    monkeypatch: pytest.MonkeyPatch, late_s: int, looked_for_s: float
) -> None:
    now_s = 100.0
    monkeypatch.setattr(planner_thread, "running_s", lambda: now_s)
    monkeypatch.setattr(planner_thread, "give_way", lambda woke_s: woke_s)
    first = plan(kitchen(0, 2), 1)
    first = replace(first, cost=replace(first.cost, late_s=late_s, violation_s=0))

    def look(should_stop: Stop) -> Iterator[Plan]:
        nonlocal now_s
        yield first
        while not should_stop():
            now_s += 0.5

    assert list(planner_thread.better_plans(look, lambda: True)) == [first]
    assert now_s - 100.0 == pytest.approx(looked_for_s, abs=0.6)
