"""The plan beside the bench: what moved in one line; a proposal is asked, and only a yes changes a dough."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime
from queue import SimpleQueue

import pytest

from proofbell.app.planning.by_plan import by_plan
from proofbell.app.planning.replanning import Replanning, Told
from proofbell.app.rehearsal import rehearsed
from proofbell.app.session.live import Live
from proofbell.bake import intents
from proofbell.bench.agenda import ahead
from proofbell.bench.overload import oven_clashes
from proofbell.planner.plan import Plan
from tests.support.kitchen_scene import (
    FLAT,
    GUESTHOUSE,
    KNOTS,
    LOAF,
    crowd,
    empty_bench,
    formula,
    of,
    proofing,
    put_on,
    say,
    sized,
)
from tests.support.stage import HandClock

PATIENCE_S = 40


class Beside:
    """A bench of two doughs with the planner beside it; its answers are taken in when the test asks."""

    def __init__(self, live: Live) -> None:
        self.live = live
        self._jobs: SimpleQueue[Callable[[], None]] = SimpleQueue()
        self.replanning = Replanning(lambda: live.kitchen, self._jobs.put)
        self.told: tuple[Told, ...] = ()

    def one_answer(self) -> None:
        """Take in the planner's next answer."""
        self._jobs.get(timeout=PATIENCE_S)()

    def look(self) -> tuple[str, ...]:
        """Look at the bench, and wait until the planner has nothing better to say: what moved."""
        told = self.replanning.look(self.live.states, self.live.board(), 0)
        while not self.replanning.at_rest:
            self.one_answer()
        self.told = (*told, *self.replanning.look(self.live.states, self.live.board(), 0))
        return tuple(one.words for one in self.told)


async def two_doughs() -> tuple[Beside, str, str]:
    live, clock = empty_bench()
    first = await proofing(live, clock)
    second = await put_on(live, LOAF)
    await say(live, second, intents.Begin())
    clock.forward(600)
    await say(live, second, intents.Done())
    return Beside(live), first, second


async def test_a_proof_that_grows_moves_the_oven_and_says_so_in_one_line() -> None:
    beside, first, _second = await two_doughs()
    assert beside.look() == (), "nothing moved yet"
    await say(beside.live, first, intents.Longer(1800))
    moved = beside.look()
    beside.replanning.close()

    lines = [line for line in moved if line.startswith("A: oven")]
    assert len(lines) == 1
    assert "later, at" in lines[0]


async def test_what_moves_no_oven_by_as_much_as_a_baker_would_notice_is_not_told() -> None:
    beside, first, second = await two_doughs()
    beside.look()
    await say(beside.live, first, intents.AddNote("The yard door was open."))
    assert beside.look() == ()
    await say(beside.live, second, intents.Longer(60))
    assert beside.look() == ()
    beside.replanning.close()


async def test_two_windows_that_see_a_word_one_after_the_other_plan_the_same() -> None:
    live, clock = empty_bench()
    bakes = await crowd(live, clock, 4)
    here, there = Beside(live), Beside(live)
    for bake in (bakes[-1], bakes[0], bakes[-1]):
        clock.forward(127)
        await say(live, bake, intents.Longer(600))
        here.look()
        clock.forward(1.7)
        there.look()
        assert here.replanning.planned == there.replanning.planned
    here.replanning.close()
    there.replanning.close()


async def test_a_window_that_is_opened_later_plans_the_same() -> None:
    live, clock = empty_bench()
    bakes = await crowd(live, clock, 6)
    here = Beside(live)
    for bake in (bakes[-1], bakes[0], bakes[2]):
        clock.forward(127)
        await say(live, bake, intents.Longer(900))
        here.look()
    clock.forward(250)
    here.look()
    later = Beside(live)
    later.look()
    assert later.replanning.planned == here.replanning.planned
    here.replanning.close()
    later.replanning.close()


async def two_doughs_for_one_oven_place() -> tuple[Beside, str, str]:
    """Two batches of knots at the start of their first proof at the same moment."""
    live, clock = empty_bench()
    first = await proofing(live, clock)
    second = await put_on(live, KNOTS)
    await say(live, second, intents.Begin(), intents.Done(), intents.Done())
    return Beside(live), first, second


async def test_doughs_that_do_not_meet_are_asked_nothing() -> None:
    beside, _first, _second = await two_doughs()
    beside.look()
    beside.replanning.close()

    assert beside.replanning.proposals == ()


async def test_a_day_that_works_is_neither_told_nor_asked_of_whatever_the_search_finds() -> None:
    """It finds days with less heat for the oven, one after the other; nobody has to hear of them."""
    live = await rehearsed(sized(KNOTS, KNOTS, KNOTS, LOAF, LOAF), GUESTHOUSE, HandClock())
    beside, real_us = Beside(live), 0
    told = [*beside.replanning.look(live.states, live.board(), real_us)]
    while not beside.replanning.at_rest:
        beside.one_answer()
        real_us += 2_000_000
        told += beside.replanning.look(live.states, live.board(), real_us)
    beside.replanning.close()

    assert told == []
    assert beside.replanning.proposals == ()


async def test_a_bake_that_has_not_begun_is_no_news() -> None:
    """As a plan puts its bakes on the bench, one after the other, with lengths that it stretches."""
    beside, _first, _second = await two_doughs()
    beside.look()
    third = await put_on(beside.live, KNOTS, start_in_s=7200)
    told = list(beside.look())
    await say(beside.live, third, intents.PlanStart(10_800, "the plan"))
    told += beside.look()
    beside.replanning.close()

    assert told == []


async def test_where_the_plan_differs_from_the_bench_it_says_so_until_it_asks() -> None:
    """Two batches that would go in together: one is to wait, and no hour is told that the bench does not show."""
    beside, first, _second = await two_doughs_for_one_oven_place()
    assert beside.look() == (), "nothing has moved on the bench"
    intends = [one.words for one in beside.replanning.intends]
    asked = beside.replanning.proposals[0]
    assert [line for line in intends if line.startswith("The plan: ") and ": oven " in line]
    said = beside.replanning.yes()
    assert said is not None
    await say(beside.live, *said)
    moved = beside.look()
    beside.replanning.close()

    assert [line[:7] for line in moved] == [f"{asked.letter}: oven"]
    assert [one.words for one in beside.replanning.intends] != intends
    assert of(beside.live, first).begun


async def test_what_is_to_come_stands_where_the_plan_has_it() -> None:
    """Two batches at one hour for one place: as the bench has them they meet in the oven, as planned they do not."""
    live, clock = empty_bench()
    bakes = [await put_on(live, KNOTS, start_in_s=7200) for _ in range(2)]
    beside = Beside(live)
    beside.look()
    planned = beside.replanning.planned
    shown = by_plan(live.board(), live.states, planned)
    assert oven_clashes(live.board().oven, 1)
    assert not oven_clashes(shown.oven, 1)
    for bake in bakes:
        lines = planned[bake].lines
        listed = {one.words: one.at_us for one in ahead(live.states, shown) if one.bake == bake}
        weigh_us = round(formula(KNOTS).weigh_s * 1_000_000)
        assert listed["weigh out, then begin: Mix"] == lines[0].begins_us - weigh_us
        assert listed["ready"] == lines[-1].ends_us
    clock.forward(6600)
    soon = by_plan(live.board(), live.states, planned)
    bells = [(one.bake, one.at_us) for one in live.board().coming if one.prompt.kind == "start"]
    assert [(one.bake, one.at_us) for one in soon.coming if one.prompt.kind == "start"] == bells, "near, it is asked"
    await say(live, bakes[0], intents.Begin())
    beside.replanning.look(live.states, live.board(), 0)
    assert beside.replanning.planned is planned, "until there is another, the last plan is shown"
    beside.replanning.close()


async def test_a_stage_that_is_over_is_not_asked_to_be_held() -> None:
    beside, _first, _second = await two_doughs_for_one_oven_place()
    beside.look()
    assert beside.replanning.proposals
    clock = beside.live.clock
    assert isinstance(clock, HandClock)
    clock.forward(80 * 60)
    beside.look()
    beside.replanning.close()

    assert beside.replanning.proposals == ()


async def test_the_plan_asks_and_changes_nothing_by_itself() -> None:
    beside, first, second = await two_doughs_for_one_oven_place()
    lengths = [run.length_s for bake in (first, second) for run in of(beside.live, bake).stages]
    beside.look()
    asked = beside.replanning.proposals
    assert asked
    assert lengths == [run.length_s for bake in (first, second) for run in of(beside.live, bake).stages]
    said = beside.replanning.yes()
    beside.replanning.close()
    assert said is not None
    bake, intent = said
    await say(beside.live, bake, intent)

    stage = asked[0].stage
    assert stage is not None
    assert of(beside.live, bake).stages[stage].length_s == pytest.approx(asked[0].to_s)


async def test_what_was_declined_is_not_asked_again() -> None:
    beside, first, _second = await two_doughs_for_one_oven_place()
    beside.look()
    declined = beside.replanning.proposals[0]
    said_no = beside.replanning.no()
    assert said_no is not None
    await say(beside.live, said_no[0], said_no[1])
    other_window = Beside(beside.live)
    other_window.look()
    other_window.replanning.close()
    assert declined.words not in [one.words for one in other_window.replanning.proposals], "no is no in every window"
    await say(beside.live, first, intents.AddNote("no change of time"))
    beside.look()
    beside.replanning.close()

    assert declined.words not in [one.words for one in beside.replanning.proposals]


async def test_a_plan_for_what_was_said_before_asks_nothing_any_more() -> None:
    beside, first, _second = await two_doughs_for_one_oven_place()
    beside.replanning.look(beside.live.states, beside.live.board(), 0)
    beside.one_answer()
    await say(beside.live, first, intents.AddNote("The yard door was open."))

    beside.replanning.look(beside.live.states, beside.live.board(), 60_000_000)
    assert beside.replanning.proposals == ()

    beside.look()
    beside.replanning.close()
    assert beside.replanning.proposals, "the plan for what stands now asks"


async def test_a_planner_that_breaks_down_says_so_once_and_takes_the_next_question(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    beside, first, _second = await two_doughs()

    def broken(*_: object, **__: object) -> Iterator[Plan]:
        raise ZeroDivisionError

    with monkeypatch.context() as patched:
        patched.setattr("proofbell.bench.plan.as_planned.replan", broken)
        told = beside.look()
    assert len(told) == 1
    assert "ZeroDivisionError" in told[0]
    assert beside.look() == ()

    await say(beside.live, first, intents.Longer(1800))
    beside.look()
    await say(beside.live, first, intents.Longer(1800))
    assert any(line.startswith("A: oven") for line in beside.look())
    beside.replanning.close()


async def test_one_dough_alone_is_asked_to_stay_in_the_cold_until_the_quiet_hours_are_over() -> None:
    """It was ten minutes early, and the plan's night would have ended while everybody sleeps."""
    live, clock = empty_bench(kitchen=replace(GUESTHOUSE, quiet=("22:30", "05:00")))
    bake = await put_on(live, FLAT)
    await say(live, bake, intents.Begin())
    while (state := of(live, bake)).stage(state.current or 0).kind != "chill":
        clock.forward(state.stages[state.current or 0].length_s)
        await say(live, bake, intents.Done())
    begun_us, cold = clock.now.wall_us, of(live, bake).current
    ten_to_five_us = round(datetime(2026, 3, 15, 3, 50, tzinfo=UTC).timestamp()) * 1_000_000
    await say(live, bake, intents.Accept(cold or 0, (ten_to_five_us - begun_us) / 1_000_000, "ready on time"))
    beside = Beside(live)
    beside.look()
    proposals = beside.replanning.proposals
    beside.replanning.close()

    assert [one.stage for one in proposals] == [cold]
    assert begun_us + proposals[0].to_s * 1_000_000 >= ten_to_five_us + 600_000_000


async def test_one_dough_alone_is_asked_nothing_in_a_kitchen_without_quiet_hours() -> None:
    live, clock = empty_bench()
    await proofing(live, clock)
    beside = Beside(live)
    assert beside.look() == ()
    beside.replanning.close()
    assert beside.replanning.proposals == ()


async def test_a_question_that_took_anothers_place_a_moment_ago_is_known_as_such() -> None:
    beside, _first, _second = await two_doughs_for_one_oven_place()
    beside.look()
    assert beside.replanning.proposals
    assert not beside.replanning.changed_just_now(0), "it stands where nothing stood"
    assert not beside.replanning.changed_just_now(500_000)
    first = beside.replanning.proposals[0]
    beside.replanning.proposals = (replace(first, to_s=first.to_s + 60, from_s=first.from_s + 60),)
    assert not beside.replanning.changed_just_now(600_000), "the same in other figures"
    beside.replanning.proposals = (replace(first, letter="C", bake="other"),)
    assert beside.replanning.changed_just_now(1_000_000)
    assert beside.replanning.changed_just_now(2_900_000)
    assert not beside.replanning.changed_just_now(3_000_000)
    beside.replanning.close()
