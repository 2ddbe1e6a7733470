"""The chart of readings: near ones never run into each other, and none is lost."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.chart import HEAD, Chart, Dot, draw_chart
from proofbell.app.drawing.time_axis import SECOND, Axis, labels
from proofbell.bake.stamp import Stamp

NOW = Stamp(1_773_471_600_000_000, 5_000_000_000, "boot-1", 60)
AXIS = Axis(NOW.wall_us // (120 * SECOND) * 120 * SECOND, 120 * SECOND, 70)


def drawn(*dots: Dot, height: int = 9) -> list[str]:
    canvas = Canvas(HEAD + AXIS.width, height)
    draw_chart(canvas, Chart(dots, (), ()), AXIS, NOW)
    return [canvas.line(y).plain[HEAD:] for y in range(height - 1)]


def dot(column: int, value: float) -> Dot:
    return Dot(AXIS.moment(column), value)


@pytest.mark.parametrize("apart", [1, 2, 3, 4, 5, 6])
def test_two_near_readings_both_keep_their_dot_and_their_value(apart: int) -> None:
    lines = drawn(dot(20, 25.2), dot(20 + apart, 25.3))
    text = "\n".join(lines)
    assert text.count("●") == 2
    assert sorted(re.findall(r"\d\d\.\d", text)) == ["25.2", "25.3"]


@given(st.lists(st.tuples(st.integers(0, 69), st.integers(200, 300)), min_size=1, max_size=10))
@settings(max_examples=80)
def test_every_value_that_stands_on_the_chart_is_one_that_was_read(read: list[tuple[int, int]]) -> None:
    values = {f"{tenths / 10:.1f}" for _, tenths in read}
    lines = drawn(*(dot(column, tenths / 10) for column, tenths in read))
    for found in re.findall(r"[\d.]+", " ".join(lines)):
        assert found in values


def test_the_hours_on_the_axis_are_the_walls_on_either_side_of_a_clock_change(monkeypatch: pytest.MonkeyPatch) -> None:
    change_us = 1_774_746_000_000_000  # 29 March 2026, 01:00 UTC, by the rules of the European Union
    monkeypatch.setattr("proofbell.app.session.local_time.offset_min", lambda at_us: 60 if at_us >= change_us else 0)
    now = Stamp(change_us - 3600 * SECOND, 0, "boot-1", 0)
    axis = Axis(now.wall_us, 180 * SECOND, 70)
    assert [words for _, words in labels(axis, now)][:4] == ["Sun", "00:30", "02:00", "02:30"]
