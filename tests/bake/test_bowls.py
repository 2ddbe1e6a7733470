"""The weigh-out by bowl, and what the bench says of what goes onto pieces and tins."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from proofbell.bake import intents
from proofbell.bake.events import BakeOpened
from proofbell.bake.tasks import Weighed
from proofbell.bake.view import view
from proofbell.bake.weigh.batch import Batch, BatchLine
from proofbell.bake.weigh.weigh_out import weigh_again, weigh_out
from proofbell.dough.weights import SizeWish
from proofbell.formula.model import BatchSize, Formula, Ingredient, Measured
from proofbell.journal.reviews.task_words import task_words
from proofbell.kitchen.model import Kitchen, Scale
from proofbell.plain import from_plain, to_plain
from tests.support.bakes import house
from tests.support.decided import TO_FINAL_PROOF, bake, said

KITCHEN = Kitchen()
SESAME = Ingredient("sesame", 0.0, "other", ("sesame",), use="finish", each_g=6.0, at=(4, 5))


def titles(formula: Formula) -> list[str]:
    out = weigh_out(formula, KITCHEN)
    return [bowl.words(out.stages) for bowl in out.bowls]


def test_the_bowls_stand_in_the_order_of_their_stages() -> None:
    assert titles(house("lamplighter-loaf")) == [
        "evening preferment, for Stir the preferment",
        "Dough, for Mix",
        "Tins and trays, before Divide and shape",
    ]
    assert titles(house("breakwater-flatbread"))[1:] == [
        "Tins and trays, before Into the tray",
        "On the pieces, before Bake",
    ]


def test_where_the_file_does_not_tell_which_stage_makes_a_preferment_nothing_is_guessed() -> None:
    loaf = house("lamplighter-loaf")
    preferment = next(line for line in loaf.ingredients if line.made_of)
    two = (*loaf.ingredients, replace(preferment, name="rye sour", percent=1.0))
    stages = tuple(replace(stage, made_for=None) for stage in loaf.stages)
    bowls = weigh_out(replace(loaf, ingredients=two, stages=stages), KITCHEN).bowls
    assert [(bowl.vessel, bowl.at) for bowl in bowls[:2]] == [("preferment", None), ("preferment", None)]


def test_what_is_for_each_piece_grows_with_the_pieces_and_leaves_the_dough_alone() -> None:
    knots = house("harbour-knots")
    plain = replace(knots, outside=())
    for pieces in (6, 12, 40):
        wish = SizeWish(pieces=pieces)
        out, without = weigh_out(knots, KITCHEN, wish), weigh_out(plain, KITCHEN, wish)
        (milk,) = out.outside
        assert milk.grams == 2 * pieces
        assert (out.dough_g, out.shares, out.size) == (without.dough_g, without.shares, without.size)
        assert out.liquid == without.liquid


def test_a_share_of_the_flour_goes_by_the_flour() -> None:
    out = weigh_out(house("breakwater-flatbread"), Kitchen(scale=Scale(1.0, 0.1)), SizeWish(flour_g=1000.0))
    assert {line.name: line.grams for line in out.outside} == {
        "oil in the tray": 20.0,
        "olive oil on top": 30.0,
        "sea salt flakes": 6.0,
    }


def test_the_allergens_name_what_is_on_the_piece() -> None:
    knots = replace(house("harbour-knots"), outside=(SESAME,))
    assert "sesame" in weigh_out(knots, KITCHEN).eu
    assert "sesame" in weigh_out(knots, KITCHEN).us
    cautions = " ".join(caution.text for caution in weigh_out(knots, KITCHEN).notes.cautions)
    assert "sesame" in cautions


def test_a_cook_s_measure_is_shown_beside_the_grams_and_grows_with_them() -> None:
    knots = house("harbour-knots")
    eggs = replace(knots.ingredients[2], measured=Measured("egg", 51.0, 47.0, 56.0, "egg, size M"))
    lines = (*knots.ingredients[:2], eggs, *knots.ingredients[3:])
    out = weigh_out(replace(knots, ingredients=lines), KITCHEN, SizeWish(flour_g=850.0))
    assert out.lines[2].grams == 102
    assert out.lines[2].by_measure == "about 2 eggs"
    assert out.batch.lines[2].measure == "about 2 eggs"


def test_the_stage_that_wants_it_says_so_and_the_one_before() -> None:
    knots = replace(house("harbour-knots"), outside=(SESAME,))
    state = bake("A", "harbour-knots")
    state = replace(state, formula=knots, batch=weigh_out(knots, KITCHEN).batch)
    assert view(state, 0.0).outside == ""
    proof = bake("A", "harbour-knots", *TO_FINAL_PROOF)
    proof = replace(proof, formula=knots, batch=weigh_out(knots, KITCHEN).batch)
    assert view(proof, 6400.0).outside == "On the pieces: sesame 72 g. Before Bake, on the pieces: sesame 72 g."
    # What is brushed on is a guess, and said to be one.
    house_proof = bake("A", "harbour-knots", *TO_FINAL_PROOF)
    assert view(house_proof, 6400.0).outside == "Before Bake, on the pieces: milk for brushing about 24 g."
    # It is on them once they are in the oven; what is brushed on after the bake is named all through it and after.
    inside = said(house_proof, 9360.0, intents.Done())
    assert view(inside, 9400.0).outside == ""
    glaze = replace(SESAME, name="syrup", at=(6,))
    inside = replace(inside, formula=knots, batch=weigh_out(replace(knots, outside=(glaze,)), KITCHEN).batch)
    assert view(inside, 9400.0).outside == "Before Cool, on the pieces: syrup 72 g."


def test_the_log_calls_each_weight_by_its_name() -> None:
    loaf = house("lamplighter-loaf")
    lines = weigh_out(loaf, KITCHEN).batch.lines
    told = [task_words(Weighed(index), loaf) for index in range(len(lines))]
    assert told[2:4] == ["Weighed: water", "Weighed: evening preferment"]
    assert told[6:] == [
        "Weighed: strong white flour for the evening preferment",
        "Weighed: water for the evening preferment",
        "Weighed: instant yeast for the evening preferment",
        "Weighed: rye flour for the baskets",
    ]
    for line, words in zip(lines, told, strict=True):
        assert line.name in words


def test_a_batch_of_before_has_one_bowl_and_is_weighed_again_as_it_was() -> None:
    """What an earlier version kept of a line: name, grams, temperature, note."""
    knots = house("harbour-knots")
    now = weigh_out(knots, KITCHEN).batch
    kept = json.loads(json.dumps(to_plain(now)))
    kept["lines"] = [
        {name: line[name] for name in ("name", "grams", "temperature_c", "note")} for line in kept["lines"][:8]
    ]
    del kept["in_tin"]
    old = from_plain(Batch, kept)
    assert old.bowls == (tuple(range(8)),)
    assert old.wanted_at(5, "finish") == ()
    again = weigh_again(knots, KITCHEN, old)
    assert again is not None
    assert again.dough_g == now.dough_g


def test_an_opening_is_read_back_as_it_was_kept() -> None:
    loaf = house("lamplighter-loaf")
    opened = BakeOpened("A", loaf, weigh_out(loaf, KITCHEN).batch, KITCHEN, "test")
    assert from_plain(BakeOpened, json.loads(json.dumps(to_plain(opened)))) == opened


def test_the_lines_of_a_batch_fall_into_bowls_by_what_and_when() -> None:
    batch = Batch(
        (
            BatchLine("flour", 100.0),
            BatchLine("egg", 9.0, use="finish", at=(5,)),
            BatchLine("rye", 8.0, use="tin", at=(3,)),
            BatchLine("water", 50.0, into="poolish"),
        ),
        150.0,
        100.0,
    )
    assert batch.bowls == ((3,), (0,), (2,), (1,))


def test_pieces_in_tins_are_sized_by_the_formula_s_own_tin() -> None:
    knots = house("harbour-knots")
    buns = replace(knots, batch=replace(knots.batch, pieces=18, piece_g=45.0, in_tin=9, tin_ml=1620.0))
    out = weigh_out(buns, KITCHEN, SizeWish(pieces=27))
    assert (out.size.pieces, out.batch.in_tin) == (27, 9)
    assert out.tin is not None
    assert out.tin.fill.loading_ml == pytest.approx(4.0)
    # A tin twice as large takes pieces twice as heavy.
    larger = weigh_out(buns, KITCHEN, tin_ml=3240.0)
    assert larger.size.piece_g == pytest.approx(90.0)


def test_a_dough_temperature_out_of_reach_is_the_first_warning() -> None:
    cold = replace(house("harbour-knots"), dough=replace(house("harbour-knots").dough, temperature_c=38.0))
    out = weigh_out(cold, KITCHEN)
    assert out.limited is not None
    assert out.warnings[0] == out.limited


@pytest.mark.parametrize(("room_c", "flour_c"), [(21.0, None), (16.0, 12.0), (30.0, None)])
def test_a_levain_is_stirred_with_water_that_brings_it_to_its_proofs_temperature(
    room_c: float, flour_c: float | None
) -> None:
    """What the flour and the starter take up, the water gives (kJ/kg·K: flour 1.84, water 4.185, Geankoplis A.4-1)."""
    made = house("tidemark-sourdough")
    batch = weigh_out(made, Kitchen(room_c=room_c, flour_c=flour_c, tap_c=8.0)).batch
    flour, water, starter = (line for line in batch.lines if line.into == "ripe levain")
    assert (flour.temperature_c, starter.temperature_c) == (None, None)
    assert water.temperature_c is not None
    # 20 parts of starter are 10 of flour and 10 of water, as the room; its card times the levain for 24 °C.
    gives = water.grams * 4.185 * (water.temperature_c - 24)
    takes = flour.grams * 1.84 * (24 - (flour_c or room_c)) + starter.grams * (1.84 + 4.185) / 2 * (24 - room_c)
    assert gives == pytest.approx(takes, rel=0.01, abs=20)
    state = bake("A", "tidemark-sourdough", (0.0, intents.Begin()))
    assert view(state, 0.0).goes_in.startswith("Water into the bowl at ")


@pytest.mark.parametrize(("wish", "told"), [
    (SizeWish(), ""), (SizeWish(pieces=24), ""), (SizeWish(piece_g=80.0), ""),
    (SizeWish(piece_g=300.0), "pieces of 75 g: these prove and bake longer"),
    (SizeWish(loaf_g=50.0), "pieces of 75 g: these prove and bake less long"),
])  # fmt: skip
def test_the_times_of_pieces_much_heavier_or_lighter_are_not_the_formula_s(wish: SizeWish, told: str) -> None:
    warnings = weigh_out(house("harbour-knots"), KITCHEN, wish).notes.warnings
    assert [each for each in warnings if "times are for" in each and told in each] == [*warnings][: bool(told)]


def test_so_it_is_with_a_loaf_that_is_never_divided() -> None:
    """What is in the dough adds up to its share of the flour: baker's percentages."""
    knots = house("harbour-knots")
    loaf = replace(knots, outside=(), batch=BatchSize(flour_g=480.0))
    own_g = 4.8 * sum(line.percent for line in knots.ingredients)
    (told,) = weigh_out(loaf, KITCHEN, SizeWish(dough_g=2000.0)).notes.warnings
    assert (
        told == f"The formula's times are for {own_g:.0f} g of dough: in one piece this proves and bakes longer. "
        "Go by the core."
    )
    assert not weigh_out(loaf, KITCHEN).notes.warnings
