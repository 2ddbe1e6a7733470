"""Baker's percentages and sizing, against published worked examples."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.dough.heat import specific_heat_kj
from proofbell.dough.weights import (
    Size,
    SizeWish,
    before_loss_g,
    flour_for_dough_g,
    flour_for_have_g,
    shares,
    size_batch,
)
from proofbell.errors import Failure
from proofbell.formula.foods.water import water_percent
from proofbell.formula.model import BatchSize, Ingredient, PrefermentParts


def line(name: str, percent: float, kind: str, **more: object) -> Ingredient:
    return Ingredient(name, percent, kind, **more)  # type: ignore[arg-type]


# Wild Yeast, baker's percentage tutorial, part 4: 468 g flour + 468 g water + 0.3 g yeast in a poolish of which 936 g
# go into 900 g flour, 468 g water, 9 g yeast and 27 g salt; 34 % of the flour is prefermented.
FLOUR_G = 900 + 936 * 468 / 936.3
POOLISH = (
    line("flour", 900 / FLOUR_G * 100, "flour"),
    line("water", 468 / FLOUR_G * 100, "water"),
    line("yeast", 9 / FLOUR_G * 100, "yeast"),
    line("salt", 27 / FLOUR_G * 100, "salt"),
    line("poolish", 936 / FLOUR_G * 100, "preferment", made_of=PrefermentParts(468, 468, 0.3)),
)

# Baking forum (baking-forums.com, "Hydration in bread"): grams on 500 g of flour.
BRIOCHE = tuple(
    line(name, grams / 5, kind, **more)
    for name, grams, kind, more in (
        ("flour", 500, "flour", {}),
        ("salt", 12.5, "salt", {}),
        ("sugar", 60, "sugar", {}),
        ("butter", 250, "fat", {}),
        ("yeast", 35, "yeast", {"form": "fresh"}),
        ("water", 45, "water", {}),
        ("egg", 250, "egg", {}),
    )
)


def test_a_poolish_counts_in_hydration_and_prefermented_flour() -> None:
    found = shares(POOLISH)
    assert found.hydration == pytest.approx(68.4, abs=0.1)
    assert found.prefermented == pytest.approx(34.2, abs=0.1)
    assert FLOUR_G * found.total / 100 == pytest.approx(2340, abs=0.1)
    assert POOLISH[3].percent == pytest.approx(1.97, abs=0.01)


def test_a_brioche_has_the_water_of_its_eggs_butter_and_yeast() -> None:
    # Water contents of USDA Standard Reference: egg 76.15, unsalted butter 17.94, fresh yeast 69.0 in 100 g.
    found = shares(BRIOCHE)
    assert found.water == pytest.approx(60.9, abs=0.1)
    assert found.hydration == pytest.approx(9)
    assert found.total == pytest.approx(230.5)
    assert found.sugar == pytest.approx(12)
    assert found.fat == pytest.approx(50)


def test_without_its_yeast_the_brioche_has_56_percent() -> None:
    assert shares([part for part in BRIOCHE if part.kind != "yeast"]).water == pytest.approx(56.0, abs=0.1)


def test_a_currant_roll_has_far_less_water_than_all_its_moist_things_together() -> None:
    # sourdough.com forum, "Determining hydration": its author adds water, milk, egg, butter and yeast up to 55.25 %;
    # by USDA water contents (salted butter, 15.87 %) it is 42.7 %.
    roll = [
        line(name, grams / 20, kind, water_percent=15.87 if kind == "fat" else None)
        for name, grams, kind in (
            ("flour", 2000, "flour"),
            ("water", 150, "water"),
            ("milk", 250, "milk"),
            ("egg", 480, "egg"),
            ("butter", 225, "fat"),
            ("yeast", 120, "yeast"),
        )
    ]
    assert shares(roll).water == pytest.approx(42.7, abs=0.05)
    assert shares(roll).hydration == pytest.approx(20)


def test_three_pounds_of_dough_at_169_percent() -> None:
    # Artisan Bakers, Sonoma, "Baker's percentage": 3 lb at 169 % take 1.775 lb of flour.
    assert flour_for_dough_g(3.0, 169) == pytest.approx(1.775, abs=0.001)


def test_three_kilograms_of_dough_at_377_percent() -> None:
    # Gisslen, Professional Cooking, procedure for converting a formula: 794.7 g.
    assert flour_for_dough_g(3000, 377.5) == pytest.approx(794.7, abs=0.1)


def test_ingredients_for_500_pounds_of_bread_at_13_percent_loss() -> None:
    # W. Prejean, The Bakery Network, 2011, "Bread formula construction": 574.7 lb.
    assert before_loss_g(500, 13) == pytest.approx(574.7, abs=0.05)


def test_a_pizza_dough_by_the_card() -> None:
    # AIB-style school handout: flour 40 lb; salt 11.2 oz, water 371.2 oz: 1.75 and 58 %.
    flour_oz = 40 * 16
    assert flour_for_have_g(11.2, 1.75) == pytest.approx(flour_oz)
    assert flour_for_have_g(371.2, 58) == pytest.approx(flour_oz)


PLAIN = (line("white flour", 80, "flour"), line("rye flour", 20, "flour"), line("water", 70, "water"))
TOTAL = 170.0
CARD = BatchSize(pieces=12, piece_g=75, loss_percent=2)


def assert_size(size: Size, *, flour_g: float, dough_g: float, pieces: int | None, piece_g: float | None) -> None:
    assert size.flour_g == pytest.approx(flour_g)
    assert size.dough_g == pytest.approx(dough_g)
    assert size.pieces == pieces
    assert size.piece_g == (None if piece_g is None else pytest.approx(piece_g))


def test_the_formulas_own_size_has_the_loss_on_top() -> None:
    size = size_batch(PLAIN, CARD, SizeWish())
    assert size.dough_g == pytest.approx(900 / 0.98)
    assert size.flour_g == pytest.approx(900 / 0.98 / 1.7)
    assert size.pieces == 12
    assert size.piece_g == pytest.approx(75)


def test_pieces_and_their_weight_may_be_wished_apart() -> None:
    twenty = size_batch(PLAIN, CARD, SizeWish(pieces=20))
    assert_size(twenty, flour_g=1500 / 0.98 / 1.7, dough_g=1500 / 0.98, pieces=20, piece_g=75)
    heavier = size_batch(PLAIN, CARD, SizeWish(piece_g=90))
    assert_size(heavier, flour_g=1080 / 0.98 / 1.7, dough_g=1080 / 0.98, pieces=12, piece_g=90)


def test_dough_goes_into_the_bowl_and_gives_the_nearest_whole_pieces() -> None:
    size = size_batch(PLAIN, CARD, SizeWish(dough_g=1000))
    assert size.dough_g == 1000
    assert size.pieces == 13  # 980 g left, 13.07 pieces of 75 g
    assert size.piece_g == pytest.approx(980 / 13)
    assert size_batch(PLAIN, CARD, SizeWish(dough_g=1000, pieces=10)).piece_g == pytest.approx(98)
    assert size_batch(PLAIN, CARD, SizeWish(dough_g=1000, piece_g=500)).pieces == 2
    assert size_batch(PLAIN, CARD, SizeWish(dough_g=20)).pieces == 1


def test_flour_sizes_the_rest() -> None:
    size = size_batch(PLAIN, CARD, SizeWish(flour_g=500))
    assert_size(size, flour_g=500, dough_g=850, pieces=11, piece_g=850 * 0.98 / 11)


def test_what_there_is_of_one_ingredient_is_used_up() -> None:
    size = size_batch(PLAIN, CARD, SizeWish(have=("rye flour", 100)))
    assert size.flour_g * 20 / 100 == pytest.approx(100)
    assert size_batch(PLAIN, CARD, SizeWish(have=("Rye", 100))) == size


def test_a_tin_takes_its_own_dough_each() -> None:
    size = size_batch(PLAIN, BatchSize(pieces=2, piece_g=800, loss_percent=1), SizeWish(tin_g=500))
    assert_size(size, flour_g=1000 / 0.99 / 1.7, dough_g=1000 / 0.99, pieces=2, piece_g=500)
    assert size_batch(PLAIN, BatchSize(dough_g=900), SizeWish(tin_g=500)).dough_g == pytest.approx(500)
    assert size_batch(PLAIN, BatchSize(dough_g=900), SizeWish(tin_g=500, pieces=3)).dough_g == pytest.approx(1500)


def test_a_card_may_tell_dough_or_flour_alone() -> None:
    for batch in (BatchSize(dough_g=850), BatchSize(flour_g=500)):
        assert_size(size_batch(PLAIN, batch, SizeWish()), flour_g=500, dough_g=850, pieces=None, piece_g=None)
    by_pieces = size_batch(PLAIN, BatchSize(dough_g=850, pieces=10), SizeWish())
    assert_size(by_pieces, flour_g=500, dough_g=850, pieces=10, piece_g=85)


@given(st.integers(1, 40), st.floats(20, 1500), st.floats(0, 15), st.integers(2, 5))
def test_sizing_is_linear(pieces: int, piece_g: float, loss: float, times: int) -> None:
    batch = BatchSize(pieces=pieces, piece_g=piece_g, loss_percent=loss)
    one = size_batch(PLAIN, batch, SizeWish())
    many = size_batch(PLAIN, batch, SizeWish(pieces=pieces * times))
    assert many.dough_g == pytest.approx(times * one.dough_g)
    assert many.flour_g == pytest.approx(times * one.flour_g)


@given(st.floats(50, 20000), st.floats(0, 15))
def test_every_way_of_sizing_meets_every_other(dough_g: float, loss: float) -> None:
    batch = BatchSize(pieces=12, piece_g=75, loss_percent=loss)
    by_dough = size_batch(PLAIN, batch, SizeWish(dough_g=dough_g))
    by_flour = size_batch(PLAIN, batch, SizeWish(flour_g=by_dough.flour_g))
    by_rye = size_batch(PLAIN, batch, SizeWish(have=("rye flour", by_dough.flour_g * 0.2)))
    by_piece = size_batch(PLAIN, batch, SizeWish(pieces=by_dough.pieces, piece_g=by_dough.piece_g))
    for other in (by_flour, by_rye, by_piece):
        assert other.dough_g == pytest.approx(dough_g)
        assert other.piece_g == pytest.approx(by_dough.piece_g)


@pytest.mark.parametrize(
    ("wish", "words"),
    [
        (SizeWish(dough_g=500, flour_g=300), "by the dough and by the flour"),
        (SizeWish(flour_g=500, have=("water", 30)), "by the flour and by what there is to use up"),
        (SizeWish(have=("water", 30), tin_g=500), "by what there is to use up and by a tin"),
        (SizeWish(tin_g=500, piece_g=400), "given twice"),
        (SizeWish(loaf_g=800, tin_g=900), "by a tin and by the cooled loaf"),
        (SizeWish(loaf_g=800, piece_g=900), "given twice"),
        (SizeWish(dough_g=500, pieces=3, piece_g=80), "given twice"),
        (SizeWish(pieces=0), "0 pieces"),
        (SizeWish(dough_g=0), "nothing"),
        (SizeWish(piece_g=-1), "No piece weighs that"),
        (SizeWish(piece_g=2e-308), "No piece weighs that"),
        (SizeWish(have=("water", 0)), "nothing"),
        (SizeWish(flour_g=float("nan")), "nothing"),
        (SizeWish(have=("chocolate", 10)), 'no "chocolate"'),
        (SizeWish(have=("flour", 10)), "may be any of: white flour, rye flour"),
        (SizeWish(have=("", 10)), 'no ""'),
        (SizeWish(dough_g=1_000_001), "more than 1000 kg of dough"),
    ],
)
def test_sizes_that_cannot_be_are_refused_with_a_reason(wish: SizeWish, words: str) -> None:
    with pytest.raises(Failure, match=words) as refused:
        size_batch(PLAIN, CARD, wish)
    assert refused.value.remedy
    assert refused.value.status == 2


def test_a_tonne_is_still_a_batch() -> None:
    assert size_batch(PLAIN, CARD, SizeWish(dough_g=1_000_000)).dough_g == 1_000_000


def test_a_card_that_tells_no_size_asks_for_one() -> None:
    with pytest.raises(Failure, match="how big"):
        size_batch(PLAIN, BatchSize(), SizeWish())
    with pytest.raises(Failure, match="how big"):
        size_batch(PLAIN, BatchSize(piece_g=75), SizeWish())


def test_the_formulas_own_water_share_goes_first() -> None:
    assert water_percent(line("butter", 10, "fat", water_percent=16.0)) == 16.0
    assert water_percent(line("butter", 10, "fat")) == 17.94
    assert water_percent(line("yeast", 1, "yeast", form="instant")) == 5.08
    assert water_percent(line("yeast", 1, "yeast")) == 69.0
    assert water_percent(line("levain", 20, "preferment", made_of=PrefermentParts(100, 60))) == pytest.approx(37.5)
    assert water_percent(line("levain", 20, "preferment")) == 0.0
    assert water_percent(line("cardamom", 1, "other")) == 0.0


def test_a_preferment_without_parts_brings_neither_flour_nor_water() -> None:
    found = shares([line("flour", 100, "flour"), line("levain", 20, "preferment")])
    assert (found.hydration, found.prefermented, found.water) == (0, 0, 0)


# C. J. Geankoplis, Transport Processes and Separation Process Principles, 4th ed., table A.4-1, kJ/kg·K; R. Earle, Unit
# Operations in Food Processing, appendix 7, gives 3.9 for milk, 3.2 for eggs and 4.19 for water.
@pytest.mark.parametrize(
    ("kind", "low", "high"),
    [("flour", 1.80, 1.88), ("milk", 3.85, 3.90), ("egg", 3.18, 3.20), ("fat", 2.30, 2.30), ("water", 4.185, 4.19)],
)
def test_specific_heats_are_those_of_two_handbooks(kind: str, low: float, high: float) -> None:
    assert low <= specific_heat_kj(line("x", 1, kind)) <= high


def test_oil_holds_less_heat_than_butter() -> None:
    # Geankoplis, the same table: olive oil 2.01.
    assert specific_heat_kj(line("oil", 3, "fat", water_percent=0.0)) == 2.01


# Coefficients as quoted from Siebel and from Choi and Okos 1986, with compositions of USDA Standard Reference.
def test_what_the_handbooks_lack_follows_from_composition() -> None:
    assert specific_heat_kj(line("sugar", 1, "sugar")) == pytest.approx(1.42)
    dry_milk = 4.18 * 0.0316 + 1.547 * 0.3616 + 1.672 * 0.0077 + 1.42 * 0.5198 + 0.836 * 0.0793
    assert specific_heat_kj(line("milk powder", 1, "dry milk")) == pytest.approx(dry_milk, abs=0.01)
    fresh = specific_heat_kj(line("yeast", 1, "yeast", form="fresh"))
    assert fresh == pytest.approx(0.69 * 4.185 + 0.31 * 1.42)
    assert specific_heat_kj(line("fruit", 1, "other", water_percent=80.0)) == pytest.approx(0.8 * 4.185 + 0.2 * 1.42)


def test_a_preferment_holds_the_heat_of_its_flour_and_water() -> None:
    poolish = line("poolish", 50, "preferment", made_of=PrefermentParts(100, 100))
    assert specific_heat_kj(poolish) == pytest.approx((1.84 + 4.185) / 2)
    salted = line("levain", 50, "preferment", made_of=PrefermentParts(90, 0, 5, 5))
    assert specific_heat_kj(salted) == pytest.approx(1.84 * 0.9 + 1.42 * 0.1)
    assert specific_heat_kj(line("levain", 50, "preferment")) == pytest.approx(1.84)


def test_a_stiff_preferment_brings_more_flour_than_water() -> None:
    # By hand: 32 % of a preferment of 100 flour to 60 water: 20 % flour and 12 % water.
    stiff = (
        line("flour", 80, "flour"),
        line("water", 50, "water"),
        line("stiff", 32, "preferment", made_of=PrefermentParts(100, 60)),
    )
    found = shares(stiff)
    assert found.prefermented == pytest.approx(20)
    assert found.hydration == pytest.approx(62)
    assert found.water == pytest.approx(62)


def test_parts_may_be_told_on_a_scale_of_one() -> None:
    half = line("poolish", 40, "preferment", made_of=PrefermentParts(0.5, 0.5))
    assert shares([half]).prefermented == pytest.approx(20)
    assert shares([half]).water == pytest.approx(20)
    assert specific_heat_kj(half) == pytest.approx((1.84 + 4.185) / 2)


MILKY = (line("flour", 100, "flour"), line("milk", 60, "milk"), line("milk powder", 2, "dry milk"))


def test_a_whole_name_goes_before_a_part_of_one() -> None:
    assert size_batch(MILKY, CARD, SizeWish(have=("Milk", 300))).flour_g == pytest.approx(500)
    assert size_batch(MILKY, CARD, SizeWish(have=("powder", 1))).flour_g == pytest.approx(50)


def test_an_ingredient_of_nothing_sizes_nothing() -> None:
    none = (*MILKY, line("seeds", 0, "other"))
    with pytest.raises(Failure, match='no "seeds"'):
        size_batch(none, CARD, SizeWish(have=("seeds", 10)))


def test_an_unknown_name_is_answered_with_the_known_ones() -> None:
    with pytest.raises(Failure) as refused:
        size_batch(MILKY, CARD, SizeWish(have=("butter", 10)))
    assert refused.value.remedy == "It has: flour, milk, milk powder."


def test_a_pinch_of_one_thing_is_enough_to_size_by() -> None:
    assert size_batch(MILKY, CARD, SizeWish(have=("powder", 0.5))).flour_g == pytest.approx(25)
    assert size_batch(MILKY, CARD, SizeWish(dough_g=0.5)).dough_g == 0.5


def test_a_batch_without_a_size_says_what_to_give() -> None:
    with pytest.raises(Failure) as refused:
        size_batch(PLAIN, BatchSize(), SizeWish())
    assert "Give pieces" in refused.value.remedy


def test_even_the_yeast_may_size_a_batch() -> None:
    yeasty = (line("flour", 100, "flour"), line("yeast", 0.4, "yeast"))
    assert size_batch(yeasty, CARD, SizeWish(have=("yeast", 2))).flour_g == pytest.approx(500)


def test_loaves_are_sized_by_what_they_weigh_once_cool() -> None:
    # Bocevska, Dimeski and Aldabas, Kemija u industriji: 895.6 g of dough for a cooled loaf of 800 g.
    lines = [line("flour", 100, "flour"), line("water", 65, "water")]
    batch = BatchSize(pieces=2, piece_g=500, loss_percent=2)
    size = size_batch(lines, batch, SizeWish(loaf_g=800))
    assert size.pieces == 2
    assert size.piece_g == pytest.approx(895.6, abs=0.1)
    assert size.dough_g == pytest.approx(2 * 895.57 / 0.98, abs=0.1)
    # A loss of one's own: 10 % of 900 g leaves 810 g.
    own = size_batch(lines, batch, SizeWish(loaf_g=810, pieces=3), bake_loss_percent=10)
    assert own.pieces == 3
    assert own.piece_g == pytest.approx(900)
    one = size_batch(lines, BatchSize(dough_g=5000), SizeWish(loaf_g=800))
    assert one.pieces == 1
    assert one.piece_g == pytest.approx(895.6, abs=0.1)


def test_a_fat_with_next_to_no_water_holds_the_heat_of_oil_and_a_wetter_one_that_of_butter() -> None:
    # USDA: butter oil holds 0.24 % of water, butter 17.94 %. Geankoplis, table A.4-1: olive oil 2.01, butter 2.30.
    assert specific_heat_kj(line("butter oil", 10, "fat", water_percent=0.24)) == 2.01
    for wet_percent in (1.0, 1.5, 17.94):
        assert specific_heat_kj(line("butter", 10, "fat", water_percent=wet_percent)) == 2.30


def test_a_card_whose_batch_is_nothing_is_refused() -> None:
    with pytest.raises(Failure, match="no sensible size"):
        size_batch(POOLISH, BatchSize(dough_g=0.0), SizeWish())
