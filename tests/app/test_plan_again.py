"""A day on the plan's page is planned again as time goes on: from the plan that stands, not from nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from proofbell.app.drawing.content import outside
from proofbell.app.plan import plan_in_hand
from proofbell.app.plan.plan_lines import fitted
from proofbell.app.plan.plan_screen import PlanScreen
from proofbell.app.planning.day_plan import PlanDay
from proofbell.app.planning.plan_search import PlanShown, still_help
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.planner.plan import Times
from proofbell.planner.problem import Problem
from proofbell.planner.reasons import reasons_of, ways_out_of
from proofbell.planner.repair.replan import shifted
from proofbell.planner.search import plan
from tests.support.bakes import house
from tests.support.settling import settled
from tests.support.stage import FORMULAS, MORNING_US, HandClock, StageApp, live_kitchen


def planned_page(*names: str, hours: int) -> tuple[PlanScreen, HandClock]:
    """The plan's page with these formulas, all wanted after so many hours; the first plan found stands."""
    live, clock = live_kitchen()
    day = PlanDay(live.kitchen, ready_us=MORNING_US + hours * 3_600_000_000)
    for name in names:
        made = house(name)
        day = day.with_bake(made, weigh_out(made, live.kitchen).batch, ()) or day
    page = PlanScreen(live, [FORMULAS / "harbour-knots.toml"], better_for_s=0.0)
    page.plan.day = day
    return page, clock


@pytest.mark.parametrize("same", [True, False])
async def test_a_minute_later_the_search_starts_from_the_plan_that_stands_and_for_another_day_from_nothing(
    monkeypatch: pytest.MonkeyPatch,
    same: bool,  # noqa: FBT001 - which of two
) -> None:
    started: list[tuple[Times, ...] | None] = []

    def none_better(_problem: Problem, start: tuple[Times, ...] | None, *_: object) -> Iterator[PlanShown]:
        started.append(start)
        return iter(())

    page, clock = planned_page("harbour-knots", "quay-pan-loaf", hours=9)
    app = StageApp(page)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        best = page.plan.best
        assert best is not None
        monkeypatch.setattr(plan_in_hand, "plans_to_show", none_better)
        clock.forward(120)
        if same:
            page.moment(page.live.board())
        else:
            page.plan.ask(page.plan.day.without("B"))
        await settled(pilot)

    assert started == [tuple(shifted(times, -120) for times in best.times) if same else None]


async def test_a_way_out_that_is_taken_is_planned_from_the_plan_that_it_was_offered_with(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    started: list[tuple[Times, ...] | None] = []

    def none_better(_problem: Problem, start: tuple[Times, ...] | None, *_: object) -> Iterator[PlanShown]:
        started.append(start)
        return iter(())

    page, _ = planned_page("quay-pan-loaf", "quay-pan-loaf", "ropewalk-wholemeal", hours=4)
    app = StageApp(page)
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        ways = page.plan.ways
        assert ways
        monkeypatch.setattr(plan_in_hand, "plans_to_show", none_better)
        page.plan.take_way(0)
        await settled(pilot)
        letters = [bake.letter for bake in page.plan.day.bakes]

    assert started == [tuple(replace(one, letter=at) for one, at in zip(ways[0].plan.times, letters, strict=True))]


def test_a_way_out_of_an_earlier_plan_goes_once_the_plan_is_as_good_without_it() -> None:
    page, _ = planned_page("quay-pan-loaf", "quay-pan-loaf", "ropewalk-wholemeal", hours=4)
    found = plan(page.plan.day.problem(MORNING_US, ()), 5)
    ways = ways_out_of(found, reasons_of(found)[0])
    cost = ways[0].plan.cost

    assert still_help(ways, found) == ways
    assert ways[0] not in still_help(ways, replace(found, cost=cost))


def test_words_that_find_no_room_end_with_a_whole_word() -> None:
    night = outside("Hands are needed between 23:00 and 05:00, first at 23:24. If nobody works then, say so.")
    (line,) = fitted(([], [], [night]), 60, 1)

    assert line.plain == "Hands are needed between 23:00 and 05:00, first at 23:24. …"
    assert fitted(([], [], [night]), 57, 1)[0].plain == "Hands are needed between 23:00 and 05:00, first at …"
