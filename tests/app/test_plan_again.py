"""A day on the plan's page is planned again as time goes on: from the plan that stands, not from nothing."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from proofbell.app.plan import plan_in_hand
from proofbell.app.plan.plan_screen import PlanScreen
from proofbell.app.planning.day_plan import PlanDay
from proofbell.app.planning.plan_search import PlanShown
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.planner.plan import Times
from proofbell.planner.problem import Problem
from proofbell.planner.repair.replan import shifted
from tests.support.bakes import house
from tests.support.settling import settled
from tests.support.stage import FORMULAS, MORNING_US, StageApp, live_kitchen


@pytest.mark.parametrize("same", [True, False])
async def test_a_minute_later_the_search_starts_from_the_plan_that_stands_and_for_another_day_from_nothing(
    monkeypatch: pytest.MonkeyPatch,
    same: bool,  # noqa: FBT001 - which of two
) -> None:
    started: list[tuple[Times, ...] | None] = []

    def none_better(_problem: Problem, start: tuple[Times, ...] | None, *_: object) -> Iterator[PlanShown]:
        started.append(start)
        return iter(())

    live, clock = live_kitchen()
    day = PlanDay(live.kitchen, ready_us=MORNING_US + 9 * 3_600_000_000)
    for name in ("harbour-knots", "quay-pan-loaf"):
        made = house(name)
        day = day.with_bake(made, weigh_out(made, live.kitchen).batch, ()) or day
    page = PlanScreen(live, [FORMULAS / "harbour-knots.toml"], better_for_s=0.0)
    page.plan.day = day
    app = StageApp(page)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        best = page.plan.best
        assert best is not None
        monkeypatch.setattr(plan_in_hand, "plans_to_show", none_better)
        clock.forward(120)
        if same:
            page.moment(live.board())
        else:
            page.plan.ask(day.without("B"))
        await settled(pilot)

    assert started == [tuple(shifted(times, -120) for times in best.times) if same else None]
