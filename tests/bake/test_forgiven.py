"""What a dough forgives follows the dough that is there: its readings, its place, the kitchen's pace."""

from __future__ import annotations

from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.advice.proof import ahead
from proofbell.bake.advice.scene import Scene
from proofbell.bake.decisions.as_opened import as_opened, in_its_places
from proofbell.bake.fermenting.forgiven import forgives
from proofbell.bake.state import BakeState
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bench.plan.planning_problem import Wish, chain_of_state, chain_of_wish
from proofbell.formula.model import ChillInstead
from proofbell.kitchen.model import Kitchen
from tests.support.bakes import house
from tests.support.baking import FINAL_PROOF, FIRST_PROOF, Baking, at_stage

ROOM_22 = Kitchen(room_c=22.0)


def stretch_min(state: BakeState) -> tuple[float, float]:
    stretch = forgives(state, 1).stretch
    assert stretch is not None
    return stretch[0] / 60, stretch[1] / 60


def test_a_dough_as_the_cards_forgives_what_the_card_says() -> None:
    baking = at_stage(FINAL_PROOF, ROOM_22)
    assert stretch_min(baking.state) == (35, 70)
    baking.read(25.0)
    assert stretch_min(baking.state) == (35, 70)


def test_a_cold_dough_is_not_cut_at_what_the_card_forgives_a_warm_one() -> None:
    baking = at_stage(FINAL_PROOF, ROOM_22)
    change = baking.read(15.0)
    assert change is not None
    assert change.to_s == change.rate_s
    assert change.to_s > 70 * 60
    share = change.to_s / (50 * 60)
    assert stretch_min(baking.state) == pytest.approx((35 * share, 70 * share), abs=1)


def test_the_place_moves_it_and_the_kitchens_pace() -> None:
    cold, slow = at_stage(FINAL_PROOF, Kitchen(room_c=15.0)), at_stage(FINAL_PROOF, replace(ROOM_22, pace=1.2))
    assert stretch_min(cold.state) > (35, 70)
    assert stretch_min(slow.state) == pytest.approx((42, 84), abs=1)


def test_by_the_formulas_bands_it_goes_with_the_band() -> None:
    baking = at_stage(FIRST_PROOF)
    assert stretch_min(baking.state) == (50, 100)
    baking.read(22.0)
    # 85 min for 70.
    assert stretch_min(baking.state) == (61, 121)


def test_a_proof_in_the_cold_forgives_what_the_card_says_of_that() -> None:
    chilled = replace(FINAL_PROOF, chill_instead=ChillInstead(4.0, 90 * 60.0, 135 * 60.0))
    baking = at_stage(chilled, ROOM_22)
    baking.say(intents.Accept(1, 110 * 60.0, "The oven is not free.", 4.0))
    baking.read(24.0)
    assert stretch_min(baking.state) == (90, 135)


def bounds_min(baking: Baking) -> tuple[float, float, float]:
    step = chain_of_state(baking.state, 0).steps[1]
    return step.least_s / 60, step.nominal_s / 60, step.most_s / 60


def test_a_plan_asks_no_dough_to_be_shorter_than_it_can_be() -> None:
    """A dough that got 100 min for being cold was asked to be 13 min shorter: as if the card's stretch were for it."""
    baking = at_stage(FINAL_PROOF, ROOM_22)
    baking.read(14.0)
    least, nominal, most = bounds_min(baking)
    assert most == stretch_min(baking.state)[1]
    assert nominal == baking.length_min
    assert pytest.approx(least / nominal, abs=0.01) == 0.85, "its reading leaves no more open than the plan may take"
    assert pytest.approx(most / nominal, abs=0.01) == 70 / 50


def test_a_corrected_reading_moves_it_back() -> None:
    baking = at_stage(FINAL_PROOF, ROOM_22)
    baking.read(12.0)
    baking.say(intents.Correct(baking.state.readings[-1].number, "25", 25.0))
    assert baking.length_min == 50
    assert bounds_min(baking) == pytest.approx((42.5, 50, 70), abs=0.5)


def test_a_proof_ahead_forgives_the_same_in_a_wish_on_the_bench_and_in_advice() -> None:
    knots, cold = house("harbour-knots"), Kitchen(room_c=14.0)
    batch = weigh_out(knots, cold).batch
    opened = as_opened(knots, batch, cold)
    wished = chain_of_wish(Wish("A", in_its_places(knots, batch, cold)), 0)
    on_bench = chain_of_state(opened, 0)
    # The bench no longer plans the weigh-out, and its proofs begin as the hands stop: only those are compared.
    bounds, live = (
        [(each.least_s, each.nominal_s, each.most_s) for each in chain.steps if each.kind == "proof"]
        for chain in (wished, on_bench)
    )
    assert bounds
    assert bounds == live
    final = next(i for i, stage in enumerate(knots.stages) if stage.name == "Final proof")
    card, least = knots.stages[final].stretch, forgives(opened, final).stretch
    assert card is not None
    assert least is not None
    assert least[0] > card[0]
    first = next(i for i, stage in enumerate(knots.stages) if stage.kind == "proof")
    assert ahead(Scene(opened, first, 0.0)).then == ("Final proof", least[0])
