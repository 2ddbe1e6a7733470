"""Weights rounded to the scale still add up."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell import words
from proofbell.dough.rounding import dissolve, round_weights, share_out
from proofbell.formula.model import IngredientKind

# Nothing under a step: that keeps its own decimals.
amounts = st.lists(st.floats(5, 5000), min_size=1, max_size=12)
KINDS: tuple[IngredientKind, ...] = ("flour", "water", "salt", "yeast", "fat", "other")


@given(amounts, st.sampled_from([0.1, 0.5, 1.0, 2.0, 5.0]))
def test_the_printed_weights_add_up_to_the_rounded_dough(exact: list[float], step_g: float) -> None:
    printed = round_weights([("flour", grams) for grams in exact], step_g=step_g)
    total_g = math.fsum(weight.grams for weight in printed)
    assert total_g == pytest.approx(round(math.fsum(exact) / step_g) * step_g, abs=1e-6)


@given(
    st.lists(st.tuples(st.sampled_from(KINDS), st.floats(0.5, 5000)), min_size=2, max_size=12),
    st.sampled_from([1.0, 2.0, 5.0]),
    st.sampled_from([None, 0.01, 0.1]),
)
def test_no_weight_is_off_by_more_than_a_step_and_the_sum_by_half_a_step(
    exact: list[tuple[IngredientKind, float]], step_g: float, fine_step_g: float | None
) -> None:
    printed = round_weights(exact, step_g=step_g, fine_step_g=fine_step_g)
    coarse = [weight for weight in printed if weight.step_g == step_g]
    for (_, grams), weight in zip(exact, printed, strict=True):
        assert abs(weight.grams - grams) <= 2 * weight.step_g
        assert weight.grams / weight.step_g == pytest.approx(round(weight.grams / weight.step_g), abs=1e-6)
    if coarse:
        whole_g = math.fsum(grams for _, grams in exact)
        assert abs(math.fsum(weight.grams for weight in printed) - whole_g) <= step_g / 2 + 1e-6


def test_the_largest_remainders_get_what_is_missing() -> None:
    # Hamilton's method on the textbook example of apportionment: quotas 4.7, 1.6, 1.58, 1.2, 0.61 and 0.31 for ten
    # seats.
    assert share_out([4.7, 1.6, 1.58, 1.2, 0.61, 0.31], 10) == [5, 2, 1, 1, 1, 0]


def test_numbers_that_are_whole_stay() -> None:
    assert share_out([3.0, 2.0], 5) == [3, 2]
    assert share_out([], 0) == []


def test_a_whole_that_is_too_small_takes_from_the_smallest_remainders() -> None:
    assert share_out([3.4, 2.1], 4) == [3, 1]
    assert share_out([0.2, 1.9], 0) == [0, 0]


def test_yeast_and_salt_go_on_the_fine_scale() -> None:
    printed = round_weights([("flour", 500), ("salt", 9.26), ("yeast", 3.333)], step_g=1, fine_step_g=0.01)
    assert [weight.grams for weight in printed] == [500, 9.26, 3.33]
    assert [weight.step_g for weight in printed] == [1, 0.01, 0.01]
    assert not any(weight.dissolve for weight in printed)


def test_more_than_the_fine_scale_holds_goes_on_the_big_one() -> None:
    printed = round_weights([("flour", 6000), ("salt", 120.4)], step_g=1, fine_step_g=0.1)
    assert printed[1].step_g == 1
    assert round_weights([("flour", 6000), ("salt", 100.0)], step_g=1, fine_step_g=0.1)[1].step_g == 0.1


def test_without_a_fine_scale_too_little_yeast_is_dissolved() -> None:
    printed = round_weights([("flour", 500), ("yeast", 1.3), ("salt", 10.2)], step_g=1)
    assert (printed[1].grams, printed[1].dissolve) == (1.3, True)
    assert (printed[2].grams, printed[2].dissolve) == (10, False)
    least = round_weights([("flour", 500), ("yeast", 0.02)], step_g=1)[1]
    assert (least.grams, least.dissolve) == (0.02, True)


def test_a_fine_step_that_is_no_finer_is_not_used() -> None:
    printed = round_weights([("flour", 500), ("salt", 10.2)], step_g=1, fine_step_g=1)
    assert printed[1].grams == 10


def test_nothing_of_an_ingredient_stays_nothing() -> None:
    printed = round_weights([("flour", 500), ("salt", 0.0), ("yeast", 0.0)], step_g=1, fine_step_g=0.1)
    assert [weight.grams for weight in printed] == [500, 0, 0]


@given(st.floats(0.1, 30), st.sampled_from([0.5, 1.0, 2.0, 5.0]))
def test_a_part_of_a_solution_holds_what_was_wanted(grams: float, step_g: float) -> None:
    part = dissolve(grams, step_g)
    strength = part.stock_g / (part.stock_g + part.water_g)
    assert strength <= 0.1 + 1e-9
    assert part.take_g * strength == pytest.approx(grams, rel=0.05)
    assert part.take_g <= part.stock_g + part.water_g + 1e-9
    assert min(part.stock_g, part.take_g) >= 10 * step_g * 0.999
    assert part.liquid_less_g == pytest.approx(part.take_g - grams)


def test_a_quarter_of_a_gram_is_ten_grams_of_a_solution_that_holds_just_that() -> None:
    # 10 g in 400 g is one part in forty: 10 g of it hold 0.25 g, and half a gram off either is a twentieth.
    part = dissolve(0.25, 1)
    assert (part.stock_g, part.water_g, part.take_g) == (10, 390, 10)


def test_a_tenth_off_is_still_weighed_and_more_is_dissolved() -> None:
    weighed, dissolved = round_weights([("salt", 5.49), ("yeast", 4.5)], step_g=1)
    assert (weighed.grams, weighed.dissolve) == (5, False)
    assert (dissolved.grams, dissolved.dissolve) == (4.5, True)


def test_a_coarse_scale_dissolves_what_it_cannot_weigh() -> None:
    printed = round_weights([("flour", 500), ("salt", 11), ("yeast", 7)], step_g=5)
    assert [(weight.grams, weight.dissolve) for weight in printed] == [(500, False), (10, False), (7, True)]


def test_the_tenth_itself_is_still_weighed() -> None:
    assert not round_weights([("flour", 90), ("salt", 10)], step_g=9)[1].dissolve


def test_one_fine_step_is_the_least_and_may_be_enough() -> None:
    assert round_weights([("flour", 500), ("yeast", 0.13)], step_g=1, fine_step_g=0.1)[1].grams == 0.1
    # Three times the yeast is not what a step may make of it.
    (_, least) = round_weights([("flour", 500), ("yeast", 0.03)], step_g=1, fine_step_g=0.1)
    assert (least.grams, least.step_g, least.dissolve) == (0.03, 0.01, True)


@given(
    st.lists(st.tuples(st.sampled_from(KINDS), st.floats(0.001, 3000)), min_size=1, max_size=12),
    st.sampled_from([0.1, 1.0, 2.0, 5.0]),
    st.sampled_from([None, 0.01, 0.1]),
)
def test_nothing_that_is_in_the_formula_is_told_as_nothing(
    exact: list[tuple[IngredientKind, float]], step_g: float, fine_step_g: float | None
) -> None:
    for (_, wanted_g), weight in zip(exact, round_weights(exact, step_g=step_g, fine_step_g=fine_step_g), strict=True):
        assert weight.grams > 0
        assert float(words.grams(weight.grams, weight.step_g).removesuffix(" g")) == pytest.approx(weight.grams)
        if wanted_g < weight.step_g or weight.dissolve:
            assert weight.grams == pytest.approx(wanted_g, rel=0.5)


def test_a_pinch_of_spice_keeps_its_decimals_and_goes_on_the_fine_scale_where_there_is_one() -> None:
    (_, spice) = round_weights([("flour", 500), ("other", 0.35)], step_g=1)
    assert (spice.grams, spice.step_g, spice.dissolve) == (0.35, 0.01, True)
    (_, fine) = round_weights([("flour", 500), ("other", 0.35)], step_g=1, fine_step_g=0.01)
    assert (fine.grams, fine.dissolve) == (0.35, False)


def test_the_stock_is_ten_steps_when_that_is_enough() -> None:
    part = dissolve(1.3, 1.0)
    assert (part.stock_g, part.water_g, part.take_g) == (10, 90, 13)
    assert part.liquid_less_g == pytest.approx(11.7)
    assert dissolve(12.4, 1.0).stock_g == 13


def test_a_whole_number_of_steps_is_not_lost_to_binary_fractions() -> None:
    # 0.3 ÷ 0.1 is a little less than 3 for a computer.
    assert share_out([0.3 / 0.1, 0.7 / 0.1], 10) == [3, 7]
    assert [weight.grams for weight in round_weights([("flour", 0.3), ("fat", 0.7)], step_g=0.1)] == [0.3, 0.7]


def test_too_little_yeast_is_dissolved_when_the_fine_scale_is_no_finer() -> None:
    # A third of a gram read off in whole grams would be three times the yeast.
    (weight,) = round_weights([("yeast", 0.3)], step_g=1.0, fine_step_g=1.0)
    assert (weight.grams, weight.dissolve) == (0.3, True)
