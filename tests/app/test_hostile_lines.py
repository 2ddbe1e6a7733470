"""Whatever somebody writes into a formula, every line of the pages beside the bench stays harmless plain text."""

from __future__ import annotations

import unicodedata
from dataclasses import replace

from hypothesis import example, given, settings
from hypothesis import strategies as st
from textual.content import Content

from proofbell.app.drawing.content import own
from proofbell.app.journal.bake_lines import VIEWS
from proofbell.app.journal.compare_screen import sentences
from proofbell.app.plan.day_list import day_line, day_lines
from proofbell.app.plan.plan_lines import fitted, plan_words
from proofbell.app.plan.plan_rows import PlanPicture, plan_rows, row_words
from proofbell.app.planning.day_plan import PlanDay
from proofbell.app.widgets.page import titled
from proofbell.bake.rehearse import rehearse
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.plan.timetable import timetable
from proofbell.formula.model import Formula
from proofbell.journal.reviews.compare import compare
from proofbell.journal.reviews.review import review
from proofbell.kitchen.model import Kitchen
from proofbell.planner.clashes import clashes_of
from proofbell.planner.search import plan
from tests.support.bakes import house
from tests.support.stage import MORNING_US, HandClock

NOW = HandClock().stamp()
KITCHEN = Kitchen()
PIECES = ["[/oops]", "[bold]", "\x1b[2J", "\x07", "\u202e", "面包", "🥖", "e\u0301", "$x", "\\", "a"]
NASTY = st.lists(st.sampled_from(PIECES), min_size=1, max_size=8).map("".join) | st.text(min_size=1, max_size=40)


def named(text: str) -> Formula:
    """The knots with that text wherever a formula has some."""
    whole = house("harbour-knots")
    stages = tuple(replace(stage, name=f"{text}{i}", text=text) for i, stage in enumerate(whole.stages))
    lines = tuple(replace(line, name=f"{text}{i}") for i, line in enumerate(whole.ingredients))
    return replace(whole, name=text, about=text, stages=stages, ingredients=lines)


def harmless(words: Content) -> bool:
    """Nothing in it moves, hides or reorders what a terminal shows."""
    bad = ("Cc", "Cs", "Zl", "Zp")
    return not any(c == "\u202e" or (c != "\n" and unicodedata.category(c) in bad) for c in words.plain)


@settings(max_examples=25)
@given(NASTY)
@example("Rye [/oops]")
@example("\x1b]0;title\x07\x1b[31m")
def test_a_bake_looked_back_on_is_harmless_in_every_view(text: str) -> None:
    formula = named(text)
    state = rehearse(formula, weigh_out(formula, KITCHEN).batch, KITCHEN, start=NOW, version="test")
    looked_at = review(state.events)

    for view in VIEWS.values():
        lines = view(looked_at)
        assert all(harmless(line(width)) for line in (lines.head, *lines.lines) for width in (38, 78))
        assert all(map(harmless, lines.whole))
    assert harmless(sentences(compare(looked_at, looked_at), 6))
    assert harmless(titled(text, text))


@settings(max_examples=10)
@given(NASTY)
@example("Rye [/oops]")
def test_a_plan_is_harmless(text: str) -> None:
    formula = named(text)
    day = PlanDay(KITCHEN, ready_us=MORNING_US + 3_600_000_000)
    for _ in range(2):
        grown = day.with_bake(formula, weigh_out(formula, KITCHEN).batch, ())
        assert grown is not None
        day = grown
    found = plan(day.problem(MORNING_US, ()), steps=1)
    found = replace(found, clashes=clashes_of(found))
    table = timetable(found, MORNING_US)
    rows = plan_rows(day, table)
    lines = day_lines(table, KITCHEN)

    assert found.clashes
    assert all(map(harmless, fitted(plan_words(found, table, MORNING_US, (), NOW), 78, 40)))
    assert harmless(PlanPicture(rows, found, table, MORNING_US, NOW).line(0, 78))
    assert harmless(own(row_words(rows[0], NOW)))
    assert all(harmless(day_line(lines, at, NOW, 78)) for at in range(len(lines)))
