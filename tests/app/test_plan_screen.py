"""Planning several doughs on screen, from nothing to bakes that wait on the bench."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from threading import Event

import pytest
from textual.pilot import Pilot

from proofbell.app.plan import plan_in_hand
from proofbell.app.plan.plan_foot import PlanFoot
from proofbell.app.plan.plan_room import plan_room
from proofbell.app.plan.plan_rows import PlanPicture, hands_busy
from proofbell.app.plan.plan_screen import PlanScreen
from proofbell.app.planning.day_plan import PlanDay
from proofbell.app.planning.plan_search import PlanShown, plans_to_show
from proofbell.app.session.live import Live
from proofbell.app.session.local_time import hour_minute
from proofbell.bake import intents
from proofbell.bake.tasks import Weighed
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.plan.reason_words import way_out_words
from proofbell.bench.plan.timetable import timetable
from proofbell.kitchen.model import Kitchen
from proofbell.planner.changes import MoveDue, is_alike
from proofbell.planner.clashes import alone_violation_s, clashes_of, feasible_beside
from proofbell.planner.oven_timeline import oven_day
from proofbell.planner.plan import Plan, Times
from proofbell.planner.problem import Problem
from proofbell.planner.reasons import reasons_of
from proofbell.planner.search import Search, plan
from proofbell.sheet.sheet import hour_of
from tests.support.bakes import house, opened, said
from tests.support.kitchen_scene import app_on, empty_bench, proofing, put_on, say
from tests.support.settling import settle, settled
from tests.support.stage import FORMULAS, MORNING_US, HandClock, StageApp, live_kitchen, seen

KNOTS = FORMULAS / "harbour-knots.toml"
LOAF = FORMULAS / "quay-pan-loaf.toml"


def picture(app: StageApp) -> PlanPicture:
    """What is drawn of the plan."""
    found = app.screen.query_one(PlanFoot).picture
    assert found is not None
    return found


def begins_us(app: StageApp, letter: str = "A") -> int:
    """When one dough begins."""
    return next(row.times.begins_us for row in picture(app).rows if row.letter == letter and row.times is not None)


async def added(pilot: Pilot[int], *keys: str) -> None:
    """One formula more in the plan, chosen with these keys."""
    await pilot.press("a")
    await settled(pilot)
    await pilot.press(*keys, "b")
    await settled(pilot)


@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_two_doughs_are_planned_for_an_hour_and_wait_on_the_bench(size: tuple[int, int]) -> None:
    live, clock = live_kitchen()
    app = StageApp(PlanScreen(live, [KNOTS, LOAF], better_for_s=0.0))
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        empty = seen(app)
        await added(pilot)
        await added(pilot, "down")
        await pilot.press("r", *"18:30", "enter")
        await settled(pilot)
        shown = seen(app)
        table = picture(app).table
        await pilot.press("b")
        await settled(pilot)

    assert "Nothing to plan yet" in empty
    assert table is not None
    assert [hour_minute(bake.ready_us, clock.stamp()) for bake in table.bakes] == ["18:30", "18:30"]
    assert "works, all ready when wanted" in shown
    begins = {state.letter: state.start_s for state in live.states}
    assert begins == {bake.letter: (bake.begins_us - MORNING_US) / 1e6 for bake in table.bakes}
    first = min(live.states, key=lambda state: state.start_s or 0.0)
    assert app.results == [first.id], "what begins first is in hand"


async def test_twelve_doughs_fit_beside_what_does_not_work_the_late_ones_first_and_leaving_asks() -> None:
    live, _ = live_kitchen()
    knots = house("harbour-knots")
    day = PlanDay(live.kitchen, ready_us=MORNING_US + 5 * 3_600_000_000)
    for _ in range(12):
        day = day.with_bake(knots, weigh_out(knots, live.kitchen).batch, ()) or day
    page = PlanScreen(live, [KNOTS], better_for_s=0.0)
    page.plan.day = day
    app = StageApp(page)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("r", "enter", "r", *"14:30", "enter")
        await settled(pilot)
        shown = seen(app)
        off_us = [row.off_us for row in picture(app).rows]
        await pilot.press("escape")
        await settled(pilot)
        asked = seen(app)
        await pilot.press("n", "escape", "y")
        await settled(pilot)

    lines = shown.splitlines()
    assert all(any(re.match(rf"[ ▸]+{letter} Harbour knots ", line) for line in lines) for letter in "ABCDEFGHIJKL")
    assert re.search(r"^ ✗ .*\.$", shown, re.MULTILINE)
    assert off_us == sorted(off_us, reverse=True)
    assert max(off_us) > 0
    assert "Forget the plan of 12 doughs?" in asked
    assert app.results == [None]


async def test_a_start_moved_by_hand_moves_that_bake_and_says_so() -> None:
    live, _ = live_kitchen()
    app = StageApp(PlanScreen(live, [KNOTS], better_for_s=0.0))
    async with app.run_test(size=(80, 24)) as pilot:
        await added(pilot)
        await pilot.press("r", *"15:00", "enter")
        await settled(pilot)
        before_us = begins_us(app)
        await pilot.press("right", "right")
        await settled(pilot)
        shown = seen(app)
        after_us = begins_us(app)
        await pilot.press("left", "left", "left")
        await settled(pilot)
        earlier_us = begins_us(app)

    assert after_us - before_us == 600_000_000
    assert "10 min late" in shown
    assert "Plan   A is late" in shown
    assert re.search(r"A Harbour knots .* 15:10  10 min late", shown)
    assert earlier_us - before_us == -300_000_000


async def test_a_start_moved_to_later_is_not_made_up_for_by_a_longer_proof() -> None:
    """Two doughs for one hour and one oven: one stands in the other's way, and may be stretched."""
    live, _ = live_kitchen()
    app = StageApp(PlanScreen(live, [KNOTS, LOAF], better_for_s=0.0))
    async with app.run_test(size=(80, 24)) as pilot:
        await added(pilot)
        await added(pilot, "down")
        await added(pilot)
        await pilot.press("r", *"18:30", "enter")
        await settled(pilot)
        before_us = begins_us(app)
        await pilot.press("right", "right")
        await settled(pilot)
        after_us = begins_us(app)

    assert after_us - before_us >= 600_000_000


async def test_one_bake_can_have_an_hour_of_its_own_and_be_dropped_again() -> None:
    live, _ = live_kitchen()
    app = StageApp(PlanScreen(live, [KNOTS], better_for_s=0.0))
    async with app.run_test(size=(80, 24)) as pilot:
        await added(pilot)
        await added(pilot)
        await pilot.press("r", *"18:00", "enter")
        await settled(pilot)
        await pilot.press("down", "enter", *"16:00", "enter")
        await settled(pilot)
        shown = seen(app)
        await pilot.press("d")
        await settled(pilot)
        dropped = seen(app)

    assert "18:00" in shown
    assert "16:00" in shown
    assert "16:00" not in "\n".join(dropped.splitlines()[8:])


async def test_an_hour_that_is_none_is_answered_beside_the_field() -> None:
    live, _ = live_kitchen()
    app = StageApp(PlanScreen(live, [KNOTS], better_for_s=0.0))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("r", *"teatime", "enter")
        await settled(pilot)

        assert "is not a time" in seen(app)


async def test_a_live_bake_keeps_its_letter_and_stands_beside_the_plan() -> None:
    live, _ = live_kitchen()
    await opened(live, "live", replace(house("quay-pan-loaf"), name="Loaf [/live]"))
    app = StageApp(PlanScreen(live, [KNOTS], better_for_s=0.0))
    async with app.run_test(size=(80, 24)) as pilot:
        await added(pilot)
        shown = seen(app)
        table = picture(app).table

    assert table is not None
    assert [bake.letter for bake in table.bakes] == ["A", "B"]
    assert "Loaf [/l" in shown


async def test_a_formula_with_a_hostile_name_can_be_planned(tmp_path: Path) -> None:
    odd = tmp_path / "odd.toml"
    text = KNOTS.read_text(encoding="utf-8").replace("Harbour knots", "[/x] [bold]knots")
    odd.write_text(text, encoding="utf-8")
    live, _ = live_kitchen()
    app = StageApp(PlanScreen(live, [odd], better_for_s=0.0))
    async with app.run_test(size=(80, 24)) as pilot:
        await added(pilot)

        assert "[/x]" in seen(app)


def test_hands_are_drawn_where_the_steps_need_them() -> None:
    formula, kitchen = house("harbour-knots"), Kitchen()
    day = PlanDay(kitchen).with_bake(formula, weigh_out(formula, kitchen).batch, ())
    assert day is not None
    found = plan(day.problem(MORNING_US, ()), steps=1)
    table = timetable(found, MORNING_US)

    busy = hands_busy(table)

    mixing = table.bakes[0].lines[0]
    assert (mixing.begins_us, mixing.ends_us) in {(one.begin_us, one.end_us) for one in busy}
    assert (
        sum(one.end_us - one.begin_us for one in busy)
        == sum(line.ends_us - line.begins_us for line in table.bakes[0].lines if line.kind == "hands")
        + sum(ends_us - begins_us for begins_us, ends_us in table.bakes[0].weighs)
        + 7 * 60 * 1_000_000
    )  # a minute each to load, turn and take out, and for four readings


async def test_a_dough_on_the_bench_that_will_not_be_ready_with_the_others_is_said_to_be_late() -> None:
    live, clock = live_kitchen()
    await proofing(live, clock)
    app = StageApp(PlanScreen(live, [KNOTS], better_for_s=0.0))
    async with app.run_test(size=(80, 30)) as pilot:
        await pilot.press("r", *"in 1 h", "enter")
        await settled(pilot)
        (late,) = picture(app).rows
        await pilot.press("r", *"in 6 h", "enter")
        await settled(pilot)
        (soon,) = picture(app).rows

    assert late.off_us > 3600 * 1_000_000
    assert (soon.off_us, soon.wanted_us) == (0, None)


async def test_a_clash_is_named_and_a_way_out_is_taken_by_one_key() -> None:
    live, _ = live_kitchen()
    app = StageApp(PlanScreen(live, [KNOTS], better_for_s=0.5))
    async with app.run_test(size=(80, 30)) as pilot:
        for _ in range(3):
            await added(pilot)
        await pilot.press("r", *"12:45", "enter")
        await settled(pilot)
        shown = seen(app)
        before = picture(app).plan
        await pilot.press("1")
        await settled(pilot)
        after = picture(app).plan

    assert "✗" in shown
    assert before is not None
    assert after is not None
    assert before.clashes
    assert after.cost.late_s < before.cost.late_s


@pytest.mark.parametrize(("ready_min", "key", "change"), [(210, "2", MoveDue), (270, "1", None)])
async def test_a_way_out_of_an_earlier_plan_is_taken_from_the_plan_that_stands_or_refused(
    monkeypatch: pytest.MonkeyPatch, ready_min: int, key: str, change: type[MoveDue] | None
) -> None:
    """Five loaves for one hour. The search goes on under the ways out that the first plan was shown with.

    210 min from now A can be later in both plans, by another time; 270 min from now D only in the first.
    """
    found: list[PlanShown] = []

    def one_better(problem: Problem, *_: object) -> Iterator[PlanShown]:
        first = shown_of(Search(problem).plan())
        found[:] = first, shown_of(plan(problem, 200))
        yield first
        yield replace(found[1], ways=first.ways, ways_of=first.plan)

    monkeypatch.setattr(plan_in_hand, "plans_to_show", lambda *_: iter(()))
    live, _ = live_kitchen()
    app = StageApp(screen := PlanScreen(live, [LOAF], better_for_s=0.5))
    async with app.run_test(size=(80, 30)) as pilot:
        for _ in range(5):
            await added(pilot)
        monkeypatch.setattr(plan_in_hand, "plans_to_show", one_better)
        await pilot.press("r", *f"in {ready_min} min", "enter")
        await settled(pilot)
        monkeypatch.setattr(plan_in_hand, "plans_to_show", lambda *_: iter(()))
        before = seen(app)
        await pilot.press(key)
        await settled(pilot)
        after = seen(app)

    first, better = found
    old = first.ways[int(key) - 1]
    now = [way for way in better.ways if is_alike(way.change, old.change)]
    assert way_out_words(old) in " ".join(before.split())
    own = {bake.letter: bake.ready_us for bake in screen.plan.day.bakes if bake.ready_us is not None}
    if change is None:
        assert (now, own) == ([], {})
        assert "The better plan has no such way out: look again." in after
        assert f"1 {way_out_words(better.ways[0])}" in " ".join(after.split())
        return
    (way,) = now
    assert isinstance(way.change, MoveDue)
    assert way.change != old.change, "else it tells nothing"
    assert own == {way.change.letter: MORNING_US + way.change.to_s * 1_000_000}


def shown_of(found: Plan) -> PlanShown:
    plan_ = replace(found, oven=oven_day(found), clashes=clashes_of(found))
    return PlanShown(plan_, may_begin=True, reasons=reasons_of(found)).with_its_ways()


async def test_a_batch_that_is_wider_than_the_oven_is_made_as_two_halves_by_one_key() -> None:
    """48 knots are four loads; the last waits longer than they forgive."""
    live, _ = live_kitchen()
    app = StageApp(screen := PlanScreen(live, [KNOTS], better_for_s=0.5))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("a")
        await settled(pilot)
        await pilot.press("enter", *"48", "escape", "b")
        await settled(pilot)
        await pilot.press("r", *"18:30", "enter")
        await settled(pilot)
        before, first = seen(app), picture(app).plan
        await pilot.press("1")
        await settled(pilot)
        after, plan_ = seen(app), picture(app).plan

    assert first is not None
    assert not first.feasible
    assert "1 make A as two half batches, A and B" in before
    assert plan_ is not None
    assert plan_.feasible
    assert [(bake.letter, bake.batch.pieces) for bake in screen.plan.day.bakes] == [("A", 24), ("B", 24)]
    assert "Make A as two half batches, A and B." in after


@pytest.mark.parametrize("quiet", [(), ("22:30", "05:30")])
async def test_hands_in_the_night_are_said_where_no_quiet_hours_are_set(quiet: tuple[str, ...]) -> None:
    """Wanted at 06:30 the next morning, the knots are begun at 03:06."""
    live, _ = live_kitchen(replace(Kitchen(), quiet=quiet))
    app = StageApp(PlanScreen(live, [KNOTS], better_for_s=0.0))
    async with app.run_test(size=(80, 24)) as pilot:
        await added(pilot)
        await pilot.press("r", *"tomorrow 06:30", "enter")
        await settled(pilot)
        shown = " ".join(seen(app).split())

    told = 'first at Sun 03:06. If nobody works then: proofbell kitchen set quiet \'["23:00", "05:00"]\''
    assert (told in shown) == (not quiet)


async def test_what_the_plan_stretches_is_agreed_to_when_all_begin() -> None:
    live, _ = live_kitchen()
    app = StageApp(PlanScreen(live, [KNOTS], better_for_s=0.5))
    async with app.run_test(size=(80, 30)) as pilot:
        for _ in range(3):
            await added(pilot)
        await pilot.press("r", *"14:00", "enter")
        await settled(pilot)
        table = picture(app).table
        await pilot.press("b")
        await settled(pilot)

    assert table is not None
    for state, times in zip(live.states, table.bakes, strict=True):
        planned = [line.seconds for line in times.lines if line.kind in ("proof", "bake")]
        held = [run.length_s for i, run in enumerate(state.stages) if state.stage(i).kind in ("proof", "bake")]
        assert held == pytest.approx(planned, abs=30)


async def test_doughs_on_the_bench_that_clash_among_themselves_do_not_keep_a_new_one_from_beginning() -> None:
    live, clock = live_kitchen()
    knots = house("harbour-knots")
    rigid = replace(knots, stages=tuple(replace(stage, stretch=None) for stage in knots.stages))
    for name in ("one", "two"):
        await opened(live, name, rigid)
    for seconds in (0, 360, 600):
        clock.forward(seconds)
        for name in ("one", "two"):
            await said(live, name, intents.Begin() if not seconds else intents.Done())
    app = StageApp(PlanScreen(live, [LOAF], better_for_s=0.5))
    async with app.run_test(size=(80, 30)) as pilot:
        await added(pilot)
        shown = seen(app)
        await pilot.press("b")
        await settled(pilot)

    assert "Only doughs already on the bench clash" in shown
    assert "C" in {state.letter for state in live.states}


def test_a_plan_is_sound_beside_the_bench_only_when_it_leaves_the_bench_no_worse() -> None:
    live, _ = live_kitchen()
    rigid = house("harbour-knots")
    rigid = replace(rigid, stages=tuple(replace(stage, stretch=None) for stage in rigid.stages))
    day = PlanDay(live.kitchen)
    for _ in range(2):
        added_to = day.with_bake(rigid, weigh_out(rigid, live.kitchen).batch, ())
        assert added_to is not None
        day = added_to
    found = plan(day.problem(MORNING_US, ()), steps=5)

    assert feasible_beside(found, (), alone_violation_s(found.problem, ()))
    late = replace(found, cost=replace(found.cost, violation_s=60))
    assert not feasible_beside(late, (), 0)


@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_the_list_of_the_day_is_a_key_away_with_what_leaves_the_fridge(size: tuple[int, int]) -> None:
    live, _ = live_kitchen()
    app = StageApp(PlanScreen(live, [KNOTS, FORMULAS / "regatta-brioche.toml"], better_for_s=0.0))
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        await pilot.press("s")
        await pilot.pause()
        nothing = seen(app)
        await added(pilot)
        await added(pilot, "down")
        await pilot.press("r", *"tomorrow 19:30", "enter")
        await settled(pilot)
        await pilot.press("s")
        await settled(pilot)
        top = seen(app)
        await pilot.press("end")
        await settled(pilot)
        foot = seen(app)
        await pilot.press("escape")
        await settled(pilot)
        back = seen(app)

    assert "There is no dough yet" in nothing
    flour = sum(line.grams for name in ("harbour-knots", "regatta-brioche")
                for line in weigh_out(house(name), live.kitchen).lines if line.kind == "flour")  # fmt: skip
    assert re.search(rf"{flour:.0f} g +strong white flour +2 doughs", top)
    assert re.search(r"\d\d:\d\d +B +butter, .*: \d\d:\d\d to \d\d:\d\d, to be about 16 °C", foot)
    assert "as it is used" in foot
    assert "Regatta brioche" in back


async def test_a_dough_that_runs_has_its_card_on_the_day_for_the_wall(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    live, clock = live_kitchen()
    await proofing(live, clock)
    async with StageApp(PlanScreen(live, [KNOTS], better_for_s=0.0)).run_test() as pilot:
        await settled(pilot)
        await pilot.press("e", *("backspace",) * 8, *"day.txt", "enter")
        await settled(pilot)

    written = (tmp_path / "day.txt").read_text()
    assert re.search(r"\d g +strong white flour", written), "what it was weighed by"


async def test_the_day_for_the_wall_is_written_as_its_files_ending_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    live, _ = live_kitchen()
    app = StageApp(PlanScreen(live, [KNOTS], better_for_s=0.0))
    async with app.run_test() as pilot:
        await settled(pilot)
        await pilot.press("e")
        without = seen(app)
        await added(pilot)
        await pilot.press("e", "enter")
        await settled(pilot)
        page = seen(app)
        for name in ("day.txt", "day.doc"):
            await pilot.press("e", *("backspace",) * 8, *name, "enter")
            await settled(pilot)
        refused = seen(app)
        await pilot.press("escape")
        await settled(pilot)
        back = app.screen.focused
        times = picture(app).table

    assert "There is no plan yet" in without
    assert "Written:" in page
    assert times is not None
    assert f"{hour_of(times.bakes[0].hands_from_us)}  A  Weigh out" in (tmp_path / "day.txt").read_text()
    assert (tmp_path / "day.html").read_text().startswith("<!doctype html>")
    assert "ends in .html or .txt" in refused
    assert sorted(path.name for path in tmp_path.iterdir()) == ["day.html", "day.txt"]
    assert back is not None
    assert back.id == "bakes"


async def written_and_later(pilot: Pilot[int], live: Live, clock: HandClock, seconds: float) -> None:
    """The sheet is written, and the screen sees a moment so long after it."""
    await pilot.press("e", "enter")
    await settled(pilot)
    clock.forward(seconds)
    shown = pilot.app.screen
    assert isinstance(shown, PlanScreen)
    shown.moment(live.board())
    await settled(pilot)


async def test_the_day_that_was_written_down_is_the_one_that_begins(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    live, clock = live_kitchen()
    app = StageApp(PlanScreen(live, [KNOTS, LOAF], better_for_s=0.0))
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await added(pilot)
        await added(pilot, "down")
        await pilot.press("r", *"18:30", "enter")
        await settled(pilot)
        written = picture(app).table
        await written_and_later(pilot, live, clock, 120)
        assert picture(app).table == written, "on paper it stays as it is"

        await added(pilot)
        await pilot.press("b")
        await pilot.pause()
        assert "is of an earlier plan" in seen(app)
        assert not live.states
        await pilot.press("enter")
        await settled(pilot)
    assert len(live.states) == 3


async def test_a_day_whose_first_hour_passed_after_it_was_written_is_begun_only_on_a_yes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    live, clock = live_kitchen()
    app = StageApp(PlanScreen(live, [KNOTS, LOAF], better_for_s=0.0))
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await added(pilot)
        written = picture(app).table
        await written_and_later(pilot, live, clock, 240)
        assert picture(app).table != written, "it is planned again"
        await pilot.press("b")
        await pilot.pause()
        asked = seen(app)

    assert "is of an earlier plan" in asked
    assert not live.states


async def test_no_sheet_is_written_of_a_plan_whose_first_hour_has_passed() -> None:
    live, clock = live_kitchen()
    app = StageApp(PlanScreen(live, [KNOTS, LOAF], better_for_s=0.0))
    async with app.run_test(size=(100, 30)) as pilot:
        await settled(pilot)
        await added(pilot)
        before = picture(app).table
        clock.forward(130)
        await pilot.press("e")
        await settled(pilot)
        shown, after = seen(app), picture(app).table
        await pilot.press("e")
        await pilot.pause()
        asks = seen(app)

    assert "has passed: it is planned again" in shown
    assert before is not None
    assert after is not None
    assert after.bakes[0].begins_us - before.bakes[0].begins_us == 180_000_000
    assert "Sheet to" in asks


async def test_what_is_on_the_bench_has_a_plan_before_anything_is_added() -> None:
    live, _clock = empty_bench()
    await say(live, await put_on(live, "harbour-knots"), intents.Begin())
    app = app_on(live)
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot, app)
        await pilot.press("p")
        shown = await settle(pilot, app)
        await pilot.press("enter", "d")
        dropped = await settle(pilot, app)

    assert "the bench; choose what else to bake" in shown
    assert "A Harbour knots" in shown
    assert "Nothing to plan yet" not in shown
    assert "A is on the bench: it is given up there." in dropped


def test_the_line_for_an_answer_is_taken_from_the_doughs_where_none_is_spare() -> None:
    crowded = plan_room(23, 12, 6, day=True, answered=False)
    answered = plan_room(23, 12, 6, day=True, answered=True)
    assert (crowded.doughs, answered.doughs) == (13, 12)
    assert not crowded.day


@pytest.mark.parametrize("size", [(80, 24), (120, 36)])
async def test_a_dough_that_waits_on_the_bench_for_its_begin_is_planned_with_the_others(size: tuple[int, int]) -> None:
    live, clock = live_kitchen()
    knots = house("harbour-knots")
    waits = await live.open("waits", knots, weigh_out(knots, live.kitchen).batch)
    assert not isinstance(waits, intents.Refused)
    app = StageApp(PlanScreen(live, [LOAF], better_for_s=0.0))
    async with app.run_test(size=size) as pilot:
        await settled(pilot)
        untouched = seen(app)
        await pilot.press("r", *"18:30", "enter")
        await settled(pilot)
        wanted = seen(app)
        await pilot.press("escape")
        await settled(pilot)
        asked = seen(app)
        await pilot.press("n")
        await added(pilot)
        table = picture(app).table
        await pilot.press("b")
        await settled(pilot)

    assert "works, as early as possible" in untouched
    assert "works, all ready when wanted" in wanted
    assert "Forget the hours of this plan?" in asked
    assert table is not None
    begins = {state.letter: state.start_s for state in live.states}
    assert begins == {bake.letter: (bake.begins_us - MORNING_US) / 1e6 for bake in table.bakes}
    assert [hour_minute(bake.ready_us, clock.stamp()) for bake in table.bakes] == ["18:30", "18:30"]
    assert len(live.states) == 2, "the one that waited is still one"


async def test_a_plan_of_what_waits_on_the_bench_is_left_without_a_question_until_an_hour_is_asked_for() -> None:
    live, _ = live_kitchen()
    knots = house("harbour-knots")
    await live.open("waits", knots, weigh_out(knots, live.kitchen).batch)
    app = StageApp(PlanScreen(live, [LOAF], better_for_s=0.0))
    async with app.run_test() as pilot:
        await settled(pilot)
        await pilot.press("escape")
        await settled(pilot)

    assert app.results == [None]


async def test_what_has_something_in_its_bowl_has_its_hour_already() -> None:
    live, _ = live_kitchen()
    knots = house("harbour-knots")
    await live.open("waits", knots, weigh_out(knots, live.kitchen).batch)
    await live.say("waits", intents.Task(Weighed(0)))
    page = PlanScreen(live, [LOAF], better_for_s=0.0)
    app = StageApp(page)
    async with app.run_test() as pilot:
        await settled(pilot)
        bakes = page.plan.day.bakes
        await pilot.press("r", *"18:30", "enter")
        await settled(pilot)
        told = seen(app)

    assert not bakes
    assert "All on the bench has its start: press a to choose what else to bake." in told


async def test_lateness_is_not_shown_while_better_plans_mostly_follow(monkeypatch: pytest.MonkeyPatch) -> None:
    go_on, late = Event(), plans_to_show

    def one_and_wait(
        problem: Problem,
        start: tuple[Times, ...] | None,
        live: frozenset[str],
        wanted: Callable[[], bool],
        better_for_s: float | None,
    ) -> Iterator[PlanShown]:
        yield next(late(problem, start, live, wanted, better_for_s))
        go_on.wait(20)

    monkeypatch.setattr(plan_in_hand, "plans_to_show", one_and_wait)
    monkeypatch.setattr(plan_in_hand, "UNSURE_S", 60.0)
    live, _ = live_kitchen()
    app = StageApp(screen := PlanScreen(live, [LOAF], better_for_s=0.0))
    async with app.run_test(size=(80, 30)) as pilot:
        go_on.set()
        await added(pilot)
        go_on.clear()
        await pilot.press("r", *"in 20 min", "enter")
        while not (screen.plan.searching and screen.plan.best is not None and screen.plan.best.cost.late_s):
            await pilot.pause()
        await pilot.pause()
        searching = seen(app)
        go_on.set()
        await settled(pilot)
        found = seen(app)

    assert " late" not in searching
    assert "…" in searching
    assert " late" in found
