"""A formula over all its bakes on screen: a year of which it is known what happened in it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from proofbell.app.drawing.canvas import Canvas
from proofbell.app.journal.bake_screen import BakeScreen
from proofbell.app.journal.course_drawing import draw_course, is_crowded, panels
from proofbell.app.journal.course_screen import CourseScreen
from proofbell.app.journal.journal_screen import JournalScreen
from proofbell.app.session.saving.keeping import JournalKeeper
from proofbell.journal.course.course import MEASURES, course
from tests.support.settling import settled
from tests.support.stage import StageApp, live_kitchen, seen
from tests.support.year import fill_year, summaries

NAME = "Harbour knots"


def test_as_many_panels_as_there_is_room_for_and_the_wanted_one_among_them() -> None:
    made = course(NAME, summaries())
    for height in (5, 12, 22, 60):
        for wanted in MEASURES:
            shown = panels(made, wanted, height)
            assert wanted in shown
            assert len(shown) == max(1, min(len(MEASURES), (height - 2) // 5))


@pytest.mark.parametrize("width", [5, 21, 22, 60, 200])
def test_the_marks_are_seen_without_colour_and_any_width_can_be_drawn(width: int) -> None:
    made = course(NAME, summaries())
    canvas = Canvas(width, 30)
    draw_course(canvas, made, ["kneaded_c", "core_c", "bake_s"], "core_c")
    text = canvas.content().plain
    if width == 200:
        assert "12 Sep 2025: oven changed" in text.splitlines()[0]
        marks = sum(len(part.outside) for m in ("kneaded_c", "core_c", "bake_s") for part in made.series[m])
        assert text.count("◆") == marks


def test_where_many_bakes_share_a_column_their_mean_is_seen() -> None:
    year = summaries()
    again = [(n, one) for n in range(40) for one in year[:14]]
    many = course(NAME, [replace(one, bake=f"{one.bake}-{n}", began_us=at) for at, (n, one) in enumerate(again)])
    assert not is_crowded(course(NAME, year), 80)
    assert is_crowded(many, 80)
    canvas = Canvas(80, 14)
    draw_course(canvas, many, ["kneaded_c"], "kneaded_c")
    lines = canvas.content().plain.splitlines()
    columns = ["".join(line[x] for line in lines if len(line) > x) for x in range(12, 78)]
    told = [column for column in columns if "●" in column or "·" in column]
    assert any("·" in column for column in told)
    assert all(column.count("●") <= 1 for column in columns), "one mean, not a wall of bakes"


def test_nothing_is_drawn_of_nothing() -> None:
    canvas = Canvas(80, 10)
    draw_course(canvas, course("never", []), [], "core_c")
    assert canvas.content().plain.strip() == ""


async def test_the_screen_says_what_happened_in_the_year_and_leads_into_a_bake(tmp_path: Path) -> None:
    fill_year(tmp_path / "journal.sqlite")
    keeper = JournalKeeper(tmp_path / "journal.sqlite")
    app = StageApp(JournalScreen(live_kitchen(keeper=keeper)[0]))
    async with app.run_test(size=(80, 24)) as pilot:
        await settled(pilot)
        await pilot.press("r")
        await settled(pilot)
        assert isinstance(app.screen, CourseScreen)
        first = seen(app)
        await pilot.press("down")
        await settled(pilot)
        second = seen(app)
        await pilot.press("enter")
        await settled(pilot)
        assert isinstance(app.screen, BakeScreen)
        bake = app.screen.bake
    keeper.close()

    assert "12 Sep 2025: oven changed" in first
    assert "dough and core both read warmer" in first
    assert "check it in ice water" in first
    assert "a new element" in second
    assert bake.startswith("2025-09-12")
