"""A bake that will be well after its hour is told of once, and again only when it is much later still."""

from __future__ import annotations

from proofbell.app.bench.late_told import LateTold
from proofbell.bake import intents
from proofbell.bench.board import board
from proofbell.formula.model import Stage
from tests.support.baking import formula
from tests.support.decided import at, bake

MADE = formula(Stage("Mix", "hands", 600.0), Stage("Rest", "rest", 1800.0), Stage("Cool", "cool", 1200.0))


def test_a_late_bake_is_told_of_once_and_again_when_it_is_much_later() -> None:
    wanted = intents.PlanStart(0.0, "the plan", ready_in_s=3600 - 14 * 60.0)
    state, late = bake("A", MADE, (0.0, wanted), (0.0, intents.Begin())), LateTold()

    def told(now_s: float) -> list[str]:
        return late.news([state], board([state], at(now_s)), {})

    assert told(0.0) == ["A: ready 01:00, 14 min after it is wanted"]
    assert told(1.0) == []
    assert told(600 + 14 * 60.0) == [], "mixing goes on for a quarter of an hour more"
    assert told(600 + 16 * 60.0) == ["A: ready 01:16, 30 min after it is wanted"]


def test_a_bake_that_has_not_begun_or_is_wanted_at_no_hour_is_not_told_of() -> None:
    wanted = intents.PlanStart(0.0, "the plan", ready_in_s=600.0)
    for state in (bake("A", MADE, (0.0, wanted)), bake("A", MADE, (0.0, intents.Begin()))):
        assert LateTold().news([state], board([state], at(0.0)), {}) == []
