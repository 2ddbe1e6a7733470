"""A task's name says what was done; that of an oven turned up or down says from what heat."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.bake import intents
from proofbell.bake.decisions.ask_first import ask_first
from proofbell.bake.heats import hot_at_s
from proofbell.bake.prompts import prompts
from proofbell.bake.tasks import changed_from, oven_change_task, oven_on_task
from tests.support.decided import TO_FINAL_PROOF, bake

UP_S = 40 / 180 * 1500
"""From 150 to 190 °C, where 180 K take 25 min: 5 min 33 s."""


@given(st.integers(0, 40), st.floats(-20, 400).map(lambda heat_c: round(heat_c, 1)))
def test_the_heat_that_an_oven_was_changed_from_is_read_back(index: int, from_c: float) -> None:
    assert changed_from(oven_change_task(index, from_c)) == (oven_on_task(index), from_c)


@pytest.mark.parametrize(
    "name", ["oven on 4", "oven on 4@", "oven on 4@hot", "oven on 4@nan", "oven on 4@inf", "quiet due 2@3000", "turn 5"]
)
def test_any_other_task_goes_by_its_whole_name(name: str) -> None:
    assert changed_from(name) == (name, None)


def test_an_oven_that_was_turned_up_is_waited_for_by_the_difference_whatever_else_is_on_the_bench() -> None:
    turned_up = (8900, intents.Task(oven_change_task(5, 150.0)))
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, turned_up)

    assert state.done(oven_on_task(5))
    assert hot_at_s(state, 5, 8950.0) == pytest.approx(8900 + UP_S)
    (hot,) = [prompt for prompt in prompts(state) if prompt.kind == "oven hot"]
    assert hot.due_s == pytest.approx(8900 + UP_S)
    assert ask_first(state, 9000.0)[-1] == "The oven needs 3 min 53 s more."


def test_an_oven_that_was_turned_up_can_be_taken_back() -> None:
    up = oven_change_task(5, 150.0)
    said = ((8900, intents.Task(up)), (8910, intents.Task(up, done=False)))
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, *said)

    assert not state.done(oven_on_task(5))
    assert state.marks == ()
