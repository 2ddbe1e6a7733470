"""A task's name says what was done; that of an oven turned up or down says from what heat."""

from __future__ import annotations

from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.bake import intents
from proofbell.bake.decisions.ask_first import ask_first
from proofbell.bake.events import TaskDone, TimeAdjusted
from proofbell.bake.heats import hot_at_s
from proofbell.bake.prompts import prompts
from proofbell.bake.record import body_from, told
from proofbell.bake.tasks import (
    Named,
    OvenKind,
    OvenTask,
    PromptId,
    PromptKind,
    Silenced,
    Skipped,
    Task,
    Weighed,
    task_name,
    task_named,
)
from proofbell.plain import PlainError, from_plain, to_plain
from tests.support.decided import TO_FINAL_PROOF, bake

UP_S = 40 / 180 * 1500
"""From 150 to 190 °C, where 180 K take 25 min: 5 min 33 s."""


WHOLE = st.integers(0, 999_999)
PROMPT_IDS = st.one_of(
    st.builds(PromptId, st.just("start"), at_s=WHOLE),
    st.builds(
        PromptId, st.sampled_from(get_args(PromptKind)[1:]), WHOLE, st.none() | WHOLE, st.none() | WHOLE, st.booleans()
    ),
)
HEATS = st.none() | st.floats(-20, 400).map(lambda heat_c: round(heat_c, 1))
TASKS = st.one_of(
    st.builds(OvenTask, st.sampled_from(get_args(OvenKind)), WHOLE, st.none() | WHOLE, HEATS),
    st.builds(Weighed, WHOLE),
    st.builds(Silenced, PROMPT_IDS),
    st.builds(Skipped, PROMPT_IDS),
)


@given(TASKS)
def test_a_tasks_name_gives_the_task_again(task: Task) -> None:
    again = task_named(task_name(task))
    assert again == task
    assert task_name(again) == task_name(task)
    assert from_plain(TaskDone, to_plain(TaskDone(task))) == TaskDone(task)


@given(
    st.text() | st.from_regex(r"(quiet |skipped )?(oven on|due|turn|check|weighed) [0-9.@a-z+-]{0,9}", fullmatch=True)
)
def test_every_text_is_the_name_of_one_task(name: str) -> None:
    assert task_name(task_named(name)) == name


@pytest.mark.parametrize(
    "name",
    ["oven on 4@", "oven on 4@hot", "oven on 4@nan", "oven on 4@inf", "oven on 04", "quiet me", "weighed -1", ""],
)
def test_a_name_without_a_meaning_stays_a_name(name: str) -> None:
    assert task_named(name) == Named(name)


def test_a_row_of_the_first_schema_is_read_as_the_task_that_its_name_means() -> None:
    older = {"task": "oven on 4@150", "stage": 3, "done": True}
    body = body_from("task done", 1, older)
    assert body == TaskDone(OvenTask("oven on", 4), 3)
    assert isinstance(body, TaskDone)
    assert isinstance(body.task, OvenTask)
    assert body.task.from_c == 150.0
    with pytest.raises(PlainError):
        body_from("task done", 1, {**older, "task": 4})


def test_scripts_are_told_a_task_by_its_name() -> None:
    assert told(TaskDone(OvenTask("oven on", 4, from_c=150.0), 3)) == {
        "task": "oven on 4@150",
        "stage": 3,
        "done": True,
    }


def test_that_a_time_is_a_rough_guess_is_read_from_the_reason_of_the_first_schema() -> None:
    older = {"stage": 2, "from_s": 60.0, "to_s": 120.0, "by": "rate", "reason": "Dough 5.0 °C: 1 → 2 min."}
    rough = {**older, "reason": "Dough 5.0 °C: 1 → 2 min; in the cold this is a rough guess."}
    found = [body_from("time adjusted", 1, body) for body in (older, rough)]
    assert [body.rough for body in found if isinstance(body, TimeAdjusted)] == [False, True]


def test_an_oven_that_was_turned_up_is_waited_for_by_the_difference_whatever_else_is_on_the_bench() -> None:
    turned_up = (8900, intents.Task(OvenTask("oven on", 5, from_c=150.0)))
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, turned_up)

    assert state.done(OvenTask("oven on", 5))
    assert hot_at_s(state, 5, 8950.0) == pytest.approx(8900 + UP_S)
    (hot,) = [prompt for prompt in prompts(state) if prompt.kind == "oven hot"]
    assert hot.due_s == pytest.approx(8900 + UP_S)
    assert ask_first(state, 9000.0)[-1] == "The oven needs 4 min more."


def test_an_oven_that_was_turned_up_can_be_taken_back() -> None:
    up = OvenTask("oven on", 5, from_c=150.0)
    said = ((8900, intents.Task(up)), (8910, intents.Task(up, done=False)))
    state = bake("A", "harbour-knots", *TO_FINAL_PROOF, *said)

    assert not state.done(OvenTask("oven on", 5))
    assert state.marks == ()
