"""A bake looked back on, as lines, whatever became of it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.journal.bake_drawing import axis_of, chart_of, draw_readings, draw_strips
from proofbell.app.journal.bake_lines import VIEWS
from proofbell.bake import intents
from proofbell.bake.state import BakeState
from proofbell.journal.reviews.compare import compare
from proofbell.journal.reviews.review import review
from tests.support.bakes import at_first_proof, opened, said
from tests.support.stage import HandClock, live_kitchen


async def _not_begun() -> BakeState:
    live, _ = live_kitchen()
    return _state(live.state(await opened(live)))


async def _without_a_reading() -> BakeState:
    live, clock = live_kitchen()
    return _state(live.state(await at_first_proof(live, clock)))


async def _corrected() -> BakeState:
    live, clock = live_kitchen()
    bake = await at_first_proof(live, clock)
    await said(live, bake, intents.Read("dough temperature", "72", 29.0))
    number = _state(live.state(bake)).readings[0].number
    await said(live, bake, intents.Correct(number, "27", 27.0), intents.AddNote("a slip"), intents.Undo())
    return _state(live.state(bake))


async def _given_up() -> BakeState:
    live, clock = live_kitchen()
    bake = await at_first_proof(live, clock)
    clock.forward(600)
    await said(live, bake, intents.GiveUp("the [/oven] broke \x1b[2J"))
    return _state(live.state(bake))


async def _across_midnight_and_a_clock_that_was_set() -> BakeState:
    live, clock = live_kitchen()
    clock.forward(14 * 3600)
    bake = await at_first_proof(live, clock)
    clock.now = replace(clock.now, wall_us=clock.now.wall_us + 3_600_000_000)
    clock.forward(4000)
    await said(live, bake, intents.Done())
    return _state(live.state(bake))


def _state(state: BakeState | None) -> BakeState:
    assert state is not None
    return state


FATES = [_not_begun, _without_a_reading, _corrected, _given_up, _across_midnight_and_a_clock_that_was_set]


@pytest.mark.parametrize("fate", FATES)
@pytest.mark.parametrize("width", [40, 78, 118])
async def test_every_view_tells_every_fate_in_lines_that_fit(fate: object, width: int) -> None:
    looked_at = review((await fate()).events)  # type: ignore[operator]

    for view in VIEWS.values():
        lines = view(looked_at)
        texts = [line(width) for line in (lines.head, *lines.lines)]
        assert all("\x1b" not in text.plain for text in texts)
        assert all("\x1b" not in text.plain for text in lines.whole)


@pytest.mark.parametrize("fate", FATES)
async def test_strips_and_chart_are_drawn_for_every_fate(fate: object) -> None:
    looked_at = review((await fate()).events)  # type: ignore[operator]
    axis = axis_of(looked_at, 78)
    strips, chart = Canvas(78, 3), Canvas(78, 9)

    draw_strips(strips, looked_at, axis)
    draw_readings(chart, looked_at, axis)

    assert "plan" in strips.content().plain
    assert strips.content().plain.count("\n") == 2


async def test_a_corrected_reading_shows_what_was_first_said() -> None:
    lines = VIEWS["readings"](review((await _corrected()).events))

    assert "27.0 °C" in lines.lines[0](78).plain
    assert "first 29.0 °C" in lines.lines[0](78).plain


async def test_what_was_taken_back_stays_in_the_log_and_says_by_what() -> None:
    lines = VIEWS["log"](review((await _corrected()).events))

    assert any("undone by" in text.plain for text in lines.whole)
    assert any("corrected by" in text.plain for text in lines.whole)


async def test_a_clock_that_was_set_bends_no_strip() -> None:
    """The proof ran from half past eleven for 4000 seconds of its own time, whatever the wall said."""
    looked_at = review((await _across_midnight_and_a_clock_that_was_set()).events)
    proof = looked_at.stages[2]

    assert proof.actual_s == pytest.approx(4000.0)


async def test_the_chart_has_the_readings_the_line_through_them_and_the_band_of_the_check() -> None:
    live, clock = live_kitchen()
    bake = await at_first_proof(live, clock)
    await said(live, bake, intents.Read("dough temperature", "27", 27.0))
    clock.forward(1800)
    await said(live, bake, intents.Read("dough temperature", "25.5", 25.5))
    looked_at = review(_state(live.state(bake)).events)

    chart = chart_of(looked_at)
    canvas = Canvas(78, 9)
    draw_readings(canvas, looked_at, axis_of(looked_at, 78))
    text = canvas.content().plain

    assert [(dot.value, dot.outside) for dot in chart.dots] == [(27.0, True), (25.5, False)]
    assert (chart.bands[0].low, chart.bands[0].high) == (24.0, 26.0)
    assert "◆" in text
    assert "●" in text
    assert any("\u2800" < character <= "\u28ff" for character in text)


def test_the_hand_clock_moves_both_its_clocks() -> None:
    clock = HandClock()
    before = clock.stamp()
    clock.forward(2.5)

    assert clock.stamp().wall_us - before.wall_us == clock.stamp().boot_us - before.boot_us == 2_500_000


async def test_a_bake_across_midnight_names_the_day_of_every_time_after_it() -> None:
    live, clock = live_kitchen()
    clock.forward(13 * 3600)
    bake = await at_first_proof(live, clock)
    clock.forward(3 * 3600)
    await said(live, bake, intents.AddNote("late"))
    looked_at = review(_state(live.state(bake)).events)
    for view in ("changes", "log"):
        shown = "\n".join(line(78).plain for line in VIEWS[view](looked_at).lines)
        assert "Sun 01:46" in shown
        assert "…" not in shown.split("late")[0].splitlines()[-1]


async def test_two_bakes_are_not_compared_by_a_stage_in_which_one_was_given_up() -> None:
    live, clock = live_kitchen()
    bake = await at_first_proof(live, clock)
    clock.forward(4200)
    await said(live, bake, intents.Done())
    whole, given_up = review(_state(live.state(bake)).events), review((await _given_up()).events)
    assert whole.stages[2].actual_s == 4200
    sentences = compare(given_up, whole).sentences
    assert not [words for words in sentences if words.startswith("First proof")]
