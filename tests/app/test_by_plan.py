"""Strips, rows, list, header and title have one hour for a thing, though the plan would keep what runs for longer."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.app.alarms.alarm import title_words
from proofbell.app.planning.by_plan import by_plan
from proofbell.bake import intents
from proofbell.bake.tasks import OvenTask
from proofbell.bench.agenda import ahead
from proofbell.bench.board import Board, board
from proofbell.bench.oven.now import oven_now
from proofbell.bench.plan.planning_problem import problem_of
from proofbell.bench.plan.timetable import BakeTimes, timetable
from proofbell.bench.wall import wall_us
from proofbell.formula.model import OvenWish
from proofbell.kitchen.model import Kitchen, Oven
from proofbell.planner.search import plan
from proofbell.words import length
from tests.support.bakes import house
from tests.support.decided import TO_FINAL_PROOF, at, bake, said

SECOND_US = 1_000_000
MINUTE_US = 60 * SECOND_US
KNOTS = house("harbour-knots")
FIRST_PROOF, TIE, FINAL_PROOF, BAKE = 2, 3, 4, 5
NOW = at(1200)
PROVING = bake("A", KNOTS, *TO_FINAL_PROOF[:3])
"""Its first proof runs, of 70 minutes, from 960 s on."""


def planned_later(minutes: int) -> BakeTimes:
    """The plan, with what runs kept so much longer and all after it later."""
    (times,) = timetable(plan(problem_of((), Kitchen(), NOW.wall_us, [PROVING]), 20), NOW.wall_us).bakes
    by_us = minutes * MINUTE_US
    lines = [
        line
        if line.past
        else replace(line, begins_us=line.begins_us + (by_us if at > FIRST_PROOF else 0), ends_us=line.ends_us + by_us)
        for at, line in enumerate(times.lines)
    ]
    return replace(times, lines=tuple(lines))


def shown(minutes: int) -> Board:
    return by_plan(board([PROVING], NOW), [PROVING], {PROVING.id: planned_later(minutes)})


@pytest.mark.parametrize("minutes", [2, 9])
def test_what_follows_begins_as_its_bell_rings_and_the_next_proof_takes_up_the_rest(minutes: int) -> None:
    seen, times = shown(minutes), planned_later(minutes)
    spans = {span.stage: span for span in seen.views[0].spans}
    due_us = PROVING.wall_us(PROVING.stages[FIRST_PROOF].due_s or 0.0)
    (bell,) = [one for one in ahead([PROVING], seen) if "divide" in one.words]

    def begins_us(stage: int) -> int:
        return wall_us(PROVING, spans[stage].begin_s, NOW)

    assert bell.at_us == due_us == begins_us(TIE)
    assert spans[TIE].end_s == spans[FINAL_PROOF].begin_s
    assert begins_us(BAKE) == pytest.approx(times.lines[BAKE].begins_us, abs=SECOND_US)
    assert due_us in [busy.begin_us for busy in seen.hands]


def test_no_change_of_heat_is_shown_in_the_middle_of_a_bread_that_is_in_the_oven() -> None:
    now = at(9400)
    there = bake("A", KNOTS, *TO_FINAL_PROOF, (9360, intents.Done()))
    hotter = replace(KNOTS, oven=OvenWish(230.0))
    # Its final proof begins at 9000 s by the bench and takes 50 min; the plan would have it baked half an hour sooner.
    waiting = bake("B", hotter, *((at_s + 2640, intent) for at_s, intent in TO_FINAL_PROOF[:4]))
    states = [there, waiting]
    table = timetable(plan(problem_of((), Kitchen(), now.wall_us, states), 20), now.wall_us)
    (times,) = [one for one in table.bakes if one.letter == "B"]
    seen = board(states, now)
    own = {span.stage: wall_us(waiting, span.begin_s, now) for span in seen.views[1].spans}
    early_us = own[BAKE] - 30 * MINUTE_US
    lines = [
        replace(line, begins_us=early_us if at == BAKE else own[at], ends_us=early_us if at == FINAL_PROOF else own[at])
        if at in (FINAL_PROOF, BAKE)
        else line
        for at, line in enumerate(times.lines)
    ]
    lines[BAKE] = replace(lines[BAKE], ends_us=early_us + 16 * MINUTE_US)

    (up,) = [
        one
        for one in by_plan(seen, states, {waiting.id: replace(times, lines=tuple(lines))}).coming
        if one.letter == "B" and one.prompt.kind == "oven on"
    ]
    assert up.prompt.words == "oven up to 230 °C"
    assert up.at_us == 10_320 * SECOND_US, "as A is out"


def test_hands_that_are_done_long_before_the_plan_had_them_done_have_the_rest_sooner() -> None:
    (times,) = timetable(plan(problem_of((), Kitchen(), NOW.wall_us, [PROVING]), 20), NOW.wall_us).bakes
    state = said(PROVING, 1200, *(intent for _, intent in TO_FINAL_PROOF[3:4]))
    assert state.current == TIE
    seen = by_plan(board([state], NOW), [state], {state.id: times})
    spans = {span.stage: span for span in seen.views[0].spans}

    assert spans[FINAL_PROOF].begin_s == pytest.approx(spans[TIE].end_s, abs=1)
    assert spans[FINAL_PROOF].seconds == pytest.approx(times.lines[FINAL_PROOF].seconds, abs=1)


def test_the_header_and_the_windows_title_have_the_oven_on_when_the_list_has_it() -> None:
    seen = shown(9)
    (listed,) = [one for one in ahead([PROVING], seen) if "oven on" in one.words]
    told = oven_now([PROVING], NOW, seen.before, seen.oven, seen.coming)
    own = oven_now([PROVING], NOW, seen.before, board([PROVING], NOW).oven)

    assert (told.doing, own.doing) == ("off", "off")
    assert told.in_s == pytest.approx((listed.at_us - NOW.wall_us) / SECOND_US, abs=1)
    assert told.in_s != pytest.approx(own.in_s, abs=60), "the bench alone has it sooner"
    alone = replace(seen, rings=(), coming=tuple(one for one in seen.coming if one.prompt.kind == "oven on"))
    assert title_words(alone).startswith(length(-(-(listed.at_us - NOW.wall_us) // MINUTE_US) * 60))


def test_what_follows_a_loading_that_waits_for_its_oven_is_timed_from_when_it_is_hot() -> None:
    # The final proof is due at 9360 s; the oven was told at 9000 s and takes 1408 s. The plan had it hot in time.
    state = bake("A", KNOTS, *TO_FINAL_PROOF, (9000.0, intents.Task(OvenTask("oven on", BAKE))))
    now, hot_s = at(9300), 9000 + 169 / 180 * 1500
    (times,) = timetable(plan(problem_of((), Kitchen(), now.wall_us, [state]), 20), now.wall_us).bakes
    due_us = state.wall_us(9360)
    in_time = [
        line
        if index < BAKE
        else replace(
            line,
            begins_us=due_us + (line.begins_us - times.lines[BAKE].begins_us),
            ends_us=due_us + (line.ends_us - times.lines[BAKE].begins_us),
        )
        for index, line in enumerate(times.lines)
    ]
    for lines in (tuple(in_time), times.lines):
        seen = by_plan(board([state], now), [state], {state.id: replace(times, lines=lines)})
        (out,) = [one for one in ahead([state], seen) if one.words == "take it out, then cool"]

        assert out.at_us == pytest.approx(state.wall_us(hot_s + 960), abs=SECOND_US)


def test_the_list_promises_no_later_hour_for_an_oven_whose_bell_is_near() -> None:
    slow = Kitchen(oven=Oven(heat_up_s=4000.0))
    state = replace(bake("A", KNOTS, *TO_FINAL_PROOF[:4]), kitchen=slow)
    on_us = state.wall_us(9360 - 169 / 180 * 4000)
    now = at(on_us / SECOND_US - 300)
    (times,) = timetable(plan(problem_of((), slow, now.wall_us, [state]), 20), now.wall_us).bakes
    later = tuple(
        line
        if index < BAKE
        else replace(line, begins_us=line.begins_us + 9 * MINUTE_US, ends_us=line.ends_us + 9 * MINUTE_US)
        for index, line in enumerate(times.lines)
    )
    seen = by_plan(board([state], now), [state], {state.id: replace(times, lines=later)})

    assert [one.at_us for one in seen.coming if one.prompt.kind == "oven on"] == [pytest.approx(on_us, abs=2)]
