"""Loading a dough while another is in the oven: asked about when there is no place for it, or another heat."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.bench.test_what_moved import TO_FINAL_PROOF, at, bake

from proofbell.bake import intents
from proofbell.bake.state import BakeState
from proofbell.bench.board import board
from proofbell.formula.model import Phase
from proofbell.kitchen.model import Oven


def in_a_kitchen_of(state: BakeState, places: int) -> BakeState:
    """The same bake where the oven has so many places."""
    return replace(state, kitchen=replace(state.kitchen, oven=Oven(trays=places)))


@pytest.mark.parametrize(("places", "asked"), [(1, ("A is in the oven, which has 1 place.",)), (2, ())])
def test_there_is_no_place_beside_another_in_an_oven_of_one(places: int, asked: tuple[str, ...]) -> None:
    there = in_a_kitchen_of(bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done())), places)
    next_one = in_a_kitchen_of(bake("B", "harbour-knots", *TO_FINAL_PROOF), places)

    seen = board([there, next_one], at(9400))

    assert seen.asks_first(next_one) == asked


def test_another_heat_is_asked_about_however_many_places_there_are() -> None:
    loaf = (
        (0, intents.Begin()), (840, intents.Done()), (5340, intents.Done()), (5820, intents.Done()),
        (6720, intents.Done()), (7200, intents.Done()),
    )  # fmt: skip
    there = in_a_kitchen_of(bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done())), 3)
    next_one = in_a_kitchen_of(bake("B", "quay-pan-loaf", *loaf), 3)
    assert next_one.current is not None
    assert next_one.stage(next_one.current + 1).kind == "bake"

    asked = board([there, next_one], at(10_500)).asks_first(next_one)

    assert asked == ("A is in the oven at 190 °C; this wants 220 °C.",)


@pytest.mark.parametrize(("into_s", "asked"), [(60, ("A is in the oven at 220 °C; this wants 190 °C.",)), (400, ())])
def test_a_bake_of_two_heats_is_asked_about_by_the_heat_it_has_now(into_s: int, asked: tuple[str, ...]) -> None:
    there = in_a_kitchen_of(bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done())), 3)
    assert there.current is not None
    stages = list(there.formula.stages)
    stages[there.current] = replace(stages[there.current], phases=(Phase(300.0, 220.0), Phase(660.0, 190.0)))
    there = replace(there, formula=replace(there.formula, stages=tuple(stages)))
    next_one = in_a_kitchen_of(bake("B", "harbour-knots", *TO_FINAL_PROOF), 3)

    assert board([there, next_one], at(9360 + into_s)).asks_first(next_one) == asked


def test_a_stage_that_loads_nothing_is_not_asked_about() -> None:
    there = bake("A", "harbour-knots", *TO_FINAL_PROOF, (9360, intents.Done()))
    kneading = bake("B", "harbour-knots", *TO_FINAL_PROOF[:2])

    assert board([there, kneading], at(9400)).asks_first(kneading) == ()
