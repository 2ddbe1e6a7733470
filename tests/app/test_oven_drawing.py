"""The oven's row as it is drawn: the letters of what is in together, and a mark where it cannot be done."""

from __future__ import annotations

import pytest

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.drawing.strip_drawing import draw_hands, draw_oven
from proofbell.app.drawing.time_axis import SECOND, Axis
from proofbell.bench.busy import Busy

COLUMN = 5 * 60 * SECOND
"""A column of the row: five minutes."""


def row(places: int, *bakes: tuple[str, int, int, float], now: int = 0) -> str:
    """The oven's row, a column every five minutes, of bakes given as letter, first and last column, °C."""
    canvas = Canvas(20)
    busy = [Busy("baking", letter, begin * COLUMN, end * COLUMN, heat_c) for letter, begin, end, heat_c in bakes]
    draw_oven(canvas, 0, 8, busy, Axis(0, COLUMN, 12), places, now * COLUMN)
    return canvas.line(0).plain[8:]


def test_two_bakes_at_the_very_same_time_both_show_their_letters() -> None:
    assert row(2, ("C", 2, 8, 200.0), ("A", 2, 8, 200.0)) == "  ██AC██    "


def test_one_bake_more_than_there_are_places_is_marked() -> None:
    assert row(1, ("A", 0, 6, 200.0), ("B", 4, 10, 200.0)) == "██A█!!B███  "
    assert "!" not in row(2, ("A", 0, 6, 200.0), ("B", 4, 10, 200.0))


@pytest.mark.parametrize("places", [1, 3])
def test_two_heats_at_once_are_marked_however_many_places_there_are(places: int) -> None:
    assert row(places, ("A", 0, 6, 200.0), ("B", 4, 10, 230.0)).count("!") == 2


def test_what_is_over_before_the_axis_begins_leaves_nothing() -> None:
    assert row(1, ("A", -9, -3, 200.0)).strip() == ""


def test_what_clashed_is_past_and_marked_no_more() -> None:
    bakes = (("A", 0, 6, 200.0), ("B", 4, 10, 200.0))

    assert "!" in row(1, *bakes, now=5)
    assert "!" not in row(1, *bakes, now=6)


def test_the_hands_row_names_whose_act_it_is_and_keeps_the_mark_where_hands_are_too_few() -> None:
    def hands(letter: str, first: int, end: int) -> Busy:
        return Busy("hands", letter, first * COLUMN, end * COLUMN)

    canvas = Canvas(20, 1)
    busy = [hands("A", 0, 1), hands("A", 2, 5), hands("B", 6, 7), hands("C", 7, 10), hands("D", 8, 11)]
    draw_hands(canvas, 0, 8, busy, Axis(0, COLUMN, 12), 1, COLUMN)

    assert canvas.line(0).plain[8:] == "░ ▒A▒ BC!!D "
