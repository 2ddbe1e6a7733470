"""A bake that will be ready well after it is wanted says so in the list, in one place; one in time says nothing."""

from __future__ import annotations

import pytest

from proofbell.bake import intents
from proofbell.bench.agenda import ahead
from proofbell.bench.board import board
from proofbell.formula.model import Stage
from tests.support.baking import formula
from tests.support.decided import at, bake

MADE = formula(Stage("Mix", "hands", 600.0), Stage("Rest", "rest", 1800.0), Stage("Cool", "cool", 1200.0))


@pytest.mark.parametrize(("wanted_s", "words"), [
    (3600 - 14 * 60, "ready, 14 min after it is wanted"), (3600 - 5 * 60, "ready, 5 min after it is wanted"),
    (3600 - 299, "ready"), (7200, "ready"), (None, "ready"),
])  # fmt: skip
@pytest.mark.parametrize("stage", [0, 2])
def test_how_late_it_will_be_stands_beside_ready(wanted_s: float | None, words: str, stage: int) -> None:
    started = intents.PlanStart(0.0, "the plan", ready_in_s=wanted_s)
    told = [(0.0, started), (0.0, intents.Begin()), (600.0, intents.Done()), (2400.0, intents.Done())]
    state = bake("A", MADE, *told[: stage + 2])
    there = board([state], at(2400.0 if stage else 0.0))
    found = [one.words for one in ahead([state], there) if one.words.startswith("ready")]
    assert found == [words]
