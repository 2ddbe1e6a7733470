"""A dough made with a preferment is weighed out itself, hours after that was: its bell comes in time for it."""

from __future__ import annotations

import pytest

from proofbell.bake import intents
from proofbell.bake.asking.prompt import Prompt
from proofbell.bake.prompts import prompts
from proofbell.bake.state import BakeState
from proofbell.bake.tasks import PromptId, Silenced, Weighed
from proofbell.bench.board import board
from proofbell.bench.done_means import done_means
from tests.support.bakes import house
from tests.support.decided import at, bake, said

SOURDOUGH = house("tidemark-sourdough")
JOIN = SOURDOUGH.dough_begins or 0
FED_S = 300.0
RIPENING = ((0.0, intents.Begin()), (FED_S, intents.Done()))


def ripening() -> tuple[BakeState, float]:
    """A levain left overnight, and when it is ripe (s)."""
    state = bake("A", SOURDOUGH, *RIPENING)
    assert state.current == JOIN - 1
    return state, state.stages[JOIN - 1].due_s or 0.0


def weigh_outs(state: BakeState, now_s: float) -> list[Prompt]:
    return [each for each in prompts(state, now_s=now_s) if each.kind == "start"]


def test_the_doughs_weigh_out_calls_so_long_before_its_preferment_is_ripe() -> None:
    state, ripe_s = ripening()
    (asked,) = weigh_outs(state, 3600)

    assert asked.due_s == pytest.approx(ripe_s - SOURDOUGH.weigh_s)
    assert asked.patient, "what waits spoils nothing, and rings at no quiet hour"
    assert asked.words.startswith("weigh out, then ")
    assert weigh_outs(state, ripe_s) == [], "the preferment calls by then"


def test_it_comes_later_where_the_preferment_does() -> None:
    state, ripe_s = ripening()
    later = said(state, 3600, intents.Longer(1800))

    assert weigh_outs(later, 3600)[0].due_s == pytest.approx(ripe_s + 1800 - SOURDOUGH.weigh_s)


def test_who_has_weighed_the_dough_already_is_not_called_and_who_has_weighed_the_levain_is() -> None:
    state, _ = ripening()
    levain = next(n for n, line in enumerate(state.batch.lines) if line.into)
    flour = next(n for n, line in enumerate(state.batch.lines) if not line.into and line.use == "dough")

    assert weigh_outs(said(state, 3600, intents.Task(Weighed(levain))), 3601)
    assert weigh_outs(said(state, 3600, intents.Task(Weighed(flour))), 3601) == []


def test_done_means_the_preferment_then_and_is_asked_about_while_it_has_time_left() -> None:
    state, ripe_s = ripening()
    at_s = ripe_s - SOURDOUGH.weigh_s + 1
    meant = done_means(state, board([state], at(at_s)))

    assert isinstance(meant.intent, intents.Done)
    assert any("left" in each for each in meant.questions)


def test_it_rings_until_it_is_silenced() -> None:
    state, ripe_s = ripening()
    due_s = ripe_s - SOURDOUGH.weigh_s
    asked = PromptId("start", JOIN, at_s=round(due_s))
    quiet = said(state, due_s + 2, intents.Task(Silenced(asked)))

    assert asked in [ring.prompt.id for ring in board([state], at(due_s + 1)).rings]
    assert asked not in [ring.prompt.id for ring in board([quiet], at(due_s + 3)).rings]
