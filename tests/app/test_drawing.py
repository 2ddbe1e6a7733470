"""What the screens draw with: cells, block digits, rows of words, the time axis. No screen is needed."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len
from textual.content import Content

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.content import Piece, fitting, in_a_row
from proofbell.app.drawing.digits import columns, draw_blocks, known, largest_scale, lines
from proofbell.app.drawing.strip_drawing import Block, StripRow, draw_strip
from proofbell.app.drawing.time_axis import SECOND, axis_for, labels
from proofbell.bake.events import LETTERS
from proofbell.bake.stamp import Stamp

HOUR = 3600 * SECOND
WORDS = st.text(st.sampled_from("abc ▒面包パン🥖é́ﬁ"), max_size=30)


@given(st.lists(st.tuples(st.integers(-3, 22), WORDS), max_size=6))
def test_a_line_is_always_as_wide_as_the_canvas(drawn: list[tuple[int, str]]) -> None:
    canvas = Canvas(20)
    for x, words in drawn:
        canvas.put(x, 0, words)

    assert cell_len(canvas.line(0).plain) == 20


def test_a_wide_character_that_would_be_halved_leaves_a_blank() -> None:
    canvas = Canvas(4)
    canvas.put(0, 0, "面包")
    canvas.put(1, 0, "x")

    assert canvas.line(0).plain == " x包"


def test_seven_is_drawn_with_its_bar_on_top_and_its_leg_to_the_right() -> None:
    canvas = Canvas(columns("7", 2), lines(2))
    draw_blocks(canvas, 0, 0, "7", 2)

    assert [canvas.line(y).plain for y in range(5)] == ["██████", "    ██", "    ██", "    ██", "    ██"]


@given(st.sampled_from(["0", "12:40", "1:05:09", "+02:10", "A 12:40"]), st.integers(1, 200), st.integers(1, 60))
def test_the_largest_scale_fits_and_the_next_would_not(text: str, width: int, height: int) -> None:
    scale = largest_scale(text, width, height)

    assert scale == 0 or (columns(text, scale) <= width and lines(scale) <= height)
    assert columns(text, scale + 1) > width or lines(scale + 1) > height


def test_all_letters_of_the_bench_and_all_digits_have_a_shape() -> None:
    assert known(LETTERS + "0123456789:+")


@given(st.lists(st.tuples(st.text("abc", min_size=1, max_size=9), st.integers(0, 5)), max_size=9), st.integers(0, 60))
def test_a_row_of_words_fits_and_leaves_out_only_what_matters_less(
    given_pieces: list[tuple[str, int]], width: int
) -> None:
    pieces = [Piece(Content(words), rank) for words, rank in given_pieces]

    kept = fitting(pieces, width, 3)

    row = in_a_row(pieces, width)
    assert row.cell_length <= width
    assert row.plain.split() == [piece.words.plain for piece in kept]
    first = min(pieces, key=lambda piece: piece.rank, default=None)
    assert first is None or first in kept or first.words.cell_length > width


moments = st.integers(0, 40 * HOUR)


@settings(max_examples=60)
@given(begins=moments, length=st.integers(SECOND, 60 * HOUR), share=st.floats(0, 1), width=st.integers(20, 200))
def test_now_and_all_that_comes_within_a_day_are_on_the_axis(
    begins: int, length: int, share: float, width: int
) -> None:
    now_us = begins + round(length * share)
    axis = axis_for(begins, begins + length, now_us, width)

    assert 0 <= axis.column(now_us) < width
    assert axis.column(min(begins + length, now_us + 24 * HOUR) - 1) < width
    assert axis.begin_us % axis.step_us == 0


@settings(max_examples=60)
@given(
    begins=moments, length=st.integers(SECOND, 30 * HOUR), after=st.integers(1, 40 * HOUR), width=st.integers(20, 200)
)
def test_a_day_that_is_over_stays_whole_in_sight(begins: int, length: int, after: int, width: int) -> None:
    axis = axis_for(begins, begins + length, begins + length + after, width)

    assert axis.column(begins) == 0
    assert 0 <= axis.column(begins + length) < width or length > (width - 1) * 4 * HOUR
    assert axis == axis_for(begins, begins + length, begins + length + after + HOUR, width)


@settings(max_examples=60)
@given(now_us=st.integers(1_700_000_000, 1_800_000_000), hours=st.integers(1, 30), width=st.integers(30, 180))
def test_hours_stand_apart_and_inside(now_us: int, hours: int, width: int) -> None:
    now_us *= SECOND
    axis = axis_for(now_us, now_us + hours * HOUR, now_us, width)

    found = labels(axis, Stamp(now_us, 0, "boot", 60))

    assert all(0 <= column < width for column, _ in found)
    assert all(right - left >= len(words) + 1 for (left, words), (right, _) in pairwise(found))


def test_a_stage_is_named_where_the_name_fits_whole_and_only_there() -> None:
    axis = axis_for(0, 2 * HOUR, 0, 40)
    row = StripRow(
        "A",
        "Knots",
        (
            Block("First proof", "proof", 0, 90 * 60 * SECOND),
            Block("Shape", "hands", 90 * 60 * SECOND, 91 * 60 * SECOND),
        ),
    )
    canvas = Canvas(60)
    draw_strip(canvas, 0, 12, row, axis)

    line = canvas.line(0).plain
    assert "First proof" in line
    assert "Sha" not in line
    assert "▒" in line
