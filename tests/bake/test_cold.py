"""Doughs in the cold on a live bake: no night is moved, what is to come is said, and the warm stage makes up for it."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.fermenting.cold import at_take_out, cold_outlook
from proofbell.bake.fermenting.terms import raised_by, surroundings, terms
from proofbell.bake.view import view
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.bake.what_if import working
from proofbell.dough.fermenting.time_constant import SLOWER
from proofbell.formula.model import Formula, Ingredient, PrefermentParts, Rate, Stage
from proofbell.formula.read import load
from proofbell.kitchen.model import Kitchen
from proofbell.places import house_formulas
from proofbell.words import length
from tests.support.baking import FINAL_PROOF, FIRST_PROOF, WHOLE, Baking, adjustment, at_stage, formula

NIGHT = Stage("Overnight", "chill", 12 * 3600.0, place_c=4.0, adjust=Rate(26.0, 4.0))
MORNING = Stage("Final proof", "proof", 90 * 60.0, place_c=22.0, adjust=Rate(6.0, 22.0))
HANDS = Stage("Into the tray", "hands", 5 * 60.0)


def night() -> Baking:
    baking = Baking(formula(Stage("Mix", "hands", 600.0), NIGHT, HANDS, MORNING), Kitchen(room_c=22.0))
    baking.to_stage(1)
    return baking


def house(name: str) -> Formula:
    return load(house_formulas()[name].read_bytes(), name)


@pytest.mark.parametrize(
    "readings", [[(2, 16.5)], [(0, 26.0), (2, 16.5)], [(0, 26.0), (4, 11.0)], [(0, 24.0)], [(2, 22.0)], [(6, 9.0)]]
)
def test_no_reading_moves_a_night_in_the_cold(readings: list[tuple[float, float]]) -> None:
    baking, passed_h = night(), 0.0
    for at_h, temp_c in readings:
        baking.wait(minutes=(at_h - passed_h) * 60)
        passed_h = at_h
        assert baking.read(temp_c) is None
    assert baking.length_min == 12 * 60
    said = view(baking.state, baking.state.now_s(baking.now)).why
    assert said.startswith("At take-out about ")
    assert "% done (" in said


def test_what_is_said_at_take_out_is_what_the_model_gives_with_its_range() -> None:
    baking = night()
    baking.wait(minutes=120)
    assert view(baking.state, baking.state.now_s(baking.now)).why == ""
    baking.read(19.0)
    out, said = at_take_out(baking.state, 1), view(baking.state, baking.state.now_s(baking.now)).why
    assert out is not None
    share = out.share
    assert share.low < share.value < share.high
    assert f"{share.value * 100:.0f} % done ({share.low * 100:.0f} to {share.high * 100:.0f})" in said


def test_a_dough_ahead_out_of_the_cold_gets_a_shorter_warm_stage_and_one_behind_a_longer_one() -> None:
    def morning_min(temp_c: float) -> float:
        baking = night()
        baking.wait(minutes=5)
        baking.read(temp_c)
        outlook = cold_outlook(baking.state, 1)
        assert outlook is not None
        assert outlook.following == 3
        baking.wait(minutes=12 * 60 - 5)
        baking.say(intents.Done())
        baking.wait(minutes=5)
        change = adjustment(baking.say(intents.Done()))
        if change is not None:
            assert change.reason.startswith("Out of the cold at about ")
            assert outlook.following_s is not None
            assert change.rate_s == pytest.approx(outlook.following_s, abs=60)
        return baking.length_min

    assert morning_min(30.0) < morning_min(26.0) < morning_min(21.0)
    assert morning_min(26.0) == pytest.approx(90, abs=6)


def test_a_night_as_the_card_has_it_leaves_the_morning_as_it_is() -> None:
    baking = night()
    baking.wait(minutes=12 * 60)
    baking.say(intents.Done())
    baking.wait(minutes=5)
    assert adjustment(baking.say(intents.Done())) is None
    assert baking.length_min == 90


def test_a_first_proof_that_was_chilled_leaves_a_cold_dough_that_takes_longer() -> None:
    made = replace(WHOLE, stages=tuple(replace(s, adjust=None) if s == FIRST_PROOF else s for s in WHOLE.stages))
    baking = Baking(made)
    baking.to_stage(2)
    baking.say(intents.Accept(2, 2 * 3600.0, "The oven is taken.", 4.0))
    baking.wait(minutes=120)
    baking.say(intents.Done())
    baking.wait(minutes=18)
    change = adjustment(baking.say(intents.Done()))
    assert change is not None
    assert change.reason.startswith("Out of the cold at about ")
    assert change.to_s > 55 * 60


CHILLED = [name for name in house_formulas() if any(stage.chill_instead for stage in house(name).stages)]


def test_most_house_formulas_let_a_proof_be_chilled() -> None:
    assert len(CHILLED) >= 8


@pytest.mark.parametrize("name", CHILLED)
def test_a_proof_that_a_house_formula_lets_be_chilled_comes_out_ready_by_its_own_model(name: str) -> None:
    made = house(name)
    index = next(i for i, stage in enumerate(made.stages) if stage.chill_instead is not None)
    stage = made.stages[index]
    instead = stage.chill_instead
    assert instead is not None
    assert stage.stretch is not None
    for seconds, extreme in ((instead.least_s, "least"), (instead.most_s, "most")):
        baking = Baking(made)
        size = weigh_out(made, Kitchen()).batch
        baking.state = replace(baking.state, batch=size)
        baking.to_stage(index)
        baking.say(intents.Accept(index, seconds, "The oven is taken.", instead.place_c))
        asked = terms(baking.state, index)
        out = at_take_out(baking.state, index)
        assert asked is not None
        assert out is not None
        # As much as the proof does where the card has it, within what the card forgives of it.
        shortest, longest = (asked.card.path().amount_s(s) / asked.card.amount_s() for s in stage.stretch)
        assert shortest < out.share.value < longest, extreme


def test_a_proof_that_stays_in_the_cold_far_too_long_is_told_when_to_come_out() -> None:
    baking = at_stage(replace(FINAL_PROOF, place_c=22.0))
    baking.say(intents.Accept(1, 10 * 3600.0, "The oven is taken.", 4.0))
    said = view(baking.state, baking.state.now_s(baking.now)).why
    assert "By the rate it is ready after about " in said
    assert said.endswith("take it out then.")


SOUR = Ingredient("ripe sourdough", 20.0, "preferment", made_of=PrefermentParts(50.0, 50.0))
POOLISH = Ingredient("poolish", 30.0, "preferment", made_of=PrefermentParts(50.0, 50.0, 0.1))
YEAST = Ingredient("fresh yeast", 0.5, "yeast", form="fresh")


def with_lines(*lines: Ingredient) -> Formula:
    made = formula(Stage("Mix", "hands", 600.0), FIRST_PROOF, Stage("Shape", "hands", 600.0), FINAL_PROOF)
    return replace(made, ingredients=(*made.ingredients, *lines))


def test_what_raises_a_dough_is_read_off_its_lines() -> None:
    assert raised_by(with_lines(), 1) == ("yeast", False)
    assert raised_by(with_lines(SOUR), 1) == ("sourdough", False)
    assert raised_by(with_lines(SOUR, YEAST), 1) == ("yeast", True)
    assert raised_by(with_lines(SOUR, POOLISH), 1) == ("yeast", True)
    assert raised_by(with_lines(POOLISH), 1) == ("yeast", False)


def test_the_working_says_whose_rate_it_is() -> None:
    def lines(*ingredients: Ingredient) -> str:
        asked = terms(Baking(with_lines(*ingredients)).state, 3)
        assert asked is not None
        return " ".join(working(asked).lines)

    assert "Raised by sourdough alone" in lines(SOUR)
    assert "the rate is the yeast's" in lines(SOUR, YEAST)
    assert "Raised by" not in lines(YEAST)


def test_a_sourdough_is_slowed_more_by_a_cool_kitchen_than_yeast_is() -> None:
    def length_min(*ingredients: Ingredient) -> float:
        baking = Baking(with_lines(*ingredients), Kitchen(room_c=22.0))
        baking.to_stage(3)
        change = baking.read(18.0)
        assert change is not None
        assert change.rate_s is not None
        return change.rate_s / 60

    assert length_min(SOUR) != length_min(YEAST)


def test_surroundings_go_by_where_and_what_the_dough_is() -> None:
    state = Baking(WHOLE).state
    assert surroundings(state, 2) == "covered"  # in its bowl
    assert surroundings(state, 4) == "still air"  # pieces on a tray
    assert surroundings(state, 4, 4.0) == "covered"  # in the fridge
    assert surroundings(state, 4, 35.0) == "moving air"  # in a prover
    assert SLOWER == {"moving air": 1.0, "still air": 1.25, "covered": 1.7}


def test_read_late_in_the_cold_it_comes_out_no_sooner_than_that() -> None:
    baking = night()
    baking.wait(minutes=14 * 60)
    baking.read(12.0)
    out = at_take_out(baking.state, 1)
    assert out is not None
    # At the end of the card's 12 h it was warmer; it comes out now, as it was read.
    assert out.temp_c.value == pytest.approx(12.0, abs=0.5)


def test_what_the_night_says_of_the_morning_is_what_the_morning_then_takes() -> None:
    flat = house("breakwater-flatbread")
    baking = Baking(flat, Kitchen(room_c=22.0), batch=weigh_out(flat, Kitchen(room_c=22.0)).batch)
    chill = next(i for i, stage in enumerate(flat.stages) if stage.kind == "chill")
    baking.to_stage(chill)
    baking.wait(minutes=120)
    baking.read(19.0)
    baking.wait(minutes=12 * 60)
    told = re.search(r"Then Final proof takes about ([^,]+), not 2 h 15 min", view(baking.state, baking.now_s).why)
    assert told is not None
    baking.say(intents.Done())
    baking.wait(minutes=8)
    baking.say(intents.Done())
    assert told.group(1) == length(round(baking.length_min / 5) * 300)
    # Ahead as it is, it is not ready in a moment: it needs what the card asks of such a dough.
    assert baking.length_min >= 30


def test_out_of_the_cold_far_too_soon_it_gets_the_time_that_it_lacks() -> None:
    flat = house("breakwater-flatbread")
    baking = Baking(flat, Kitchen(room_c=22.0), batch=weigh_out(flat, Kitchen(room_c=22.0)).batch)
    chill = next(i for i, stage in enumerate(flat.stages) if stage.kind == "chill")
    baking.to_stage(chill)
    baking.wait(minutes=120)
    baking.say(intents.Done())
    baking.wait(minutes=8)
    change = adjustment(baking.say(intents.Done()))
    assert change is not None
    assert change.rate_s is not None
    # Two of fourteen hours in the cold: a warm dough, and far behind. It was cut to what a warm one forgives.
    assert change.to_s == change.rate_s > 90 * 60
