"""Tins: volumes, dough for them, and how full they are."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.dough.tins import (
    box_ml,
    read_tin_ml,
    round_ml,
    tapered_ml,
    tapered_round_ml,
)
from proofbell.errors import Failure
from proofbell.formula.model import TinKind
from proofbell.formula.tin_load import LOADS, fill, load
from proofbell.units import Units, said_in

INCH = 2.54
OUNCE_G = 28.349523


def test_the_laboratory_pan_of_a_pound_holds_1605_ml() -> None:
    # AACC method 10-10.03: top 22.9 × 11.4 cm, bottom 21 × 9.6 cm, 7 cm deep; in its inches 97.9 in³, rounded to cm
    # 0.6 % more.
    assert tapered_ml(9, 4.5, 8.25, 3.75, 2.75) == pytest.approx(97.9, abs=0.1)
    assert tapered_ml(22.9, 11.4, 21, 9.6, 7) == pytest.approx(1605, rel=0.007)
    assert box_ml(22.9, 11.4, 7) == pytest.approx(1827, abs=1)


@given(st.floats(5, 40), st.floats(5, 40), st.floats(3, 20), st.floats(0, 5))
def test_a_tapered_tin_is_the_sum_of_its_slices(length: float, width: float, depth: float, less: float) -> None:
    bottom = (length - min(less, length / 2), width - min(less, width / 2))
    slices = 2000
    summed = sum(
        (length + (bottom[0] - length) * (k + 0.5) / slices)
        * (width + (bottom[1] - width) * (k + 0.5) / slices)
        * depth
        / slices
        for k in range(slices)
    )
    assert tapered_ml(length, width, *bottom, depth) == pytest.approx(summed, rel=1e-5)


def test_round_tins() -> None:
    assert round_ml(20, 7) == pytest.approx(math.pi * 700)
    assert tapered_round_ml(20, 20, 7) == pytest.approx(round_ml(20, 7))
    # A cone: a third of the cylinder (Euclid, Elements XII.10).
    assert tapered_round_ml(20, 0, 7) == pytest.approx(round_ml(20, 7) / 3)


PLANT = load("plant", "lean")


# US Armed Forces recipe D01000: 27 oz in 11 × 5 × 3½ in; 21½ oz in 9⅞ × 4¼ × 2¾ in.
def test_the_army_loaf_fits_a_plants_tin() -> None:
    tin_ml = box_ml(11 * INCH, 5 * INCH, 3.5 * INCH)
    assert tin_ml / PLANT.usual_ml == pytest.approx(27 * OUNCE_G, rel=0.005)
    assert fill(tin_ml, 27 * OUNCE_G, PLANT).verdict == "sound"
    small_ml = box_ml(9.875 * INCH, 4.25 * INCH, 2.75 * INCH)
    assert fill(small_ml, 21.5 * OUNCE_G, PLANT).loading_ml == pytest.approx(3.10, abs=0.01)
    assert fill(small_ml, 21.5 * OUNCE_G, PLANT).verdict == "sound"
    # Half full at home: there the same loaf would hardly reach the rim.
    assert fill(tin_ml, 27 * OUNCE_G, load("open", "lean")).verdict == "too empty"


def test_wholesale_bread_is_loaded_more_lightly() -> None:
    # A bakers' trade text: at least 7.6 cubic inches to the ounce.
    found = fill(7.6 * INCH**3, OUNCE_G, PLANT)
    assert found.loading_ml == pytest.approx(4.39, abs=0.01)
    assert found.verdict == "sound"


# Published for open home tins: 1.67 to 1.78 ml for each gram; 900 g in a 2 lb tin, about 2.07 l; 360 g of flour, some
# 612 g of dough, in 1440 ml. Whole Grain 100: 450 g in 84 in³, which a plant's table calls light.
@pytest.mark.parametrize("loading_ml", [1.67, 1.78, 2.07 / 0.9, 1440 / 612, 84 * INCH**3 / 450])
def test_what_home_bakers_put_in_a_tin_is_sound(loading_ml: float) -> None:
    assert fill(loading_ml * 800, 800, load("open", "lean")).verdict == "sound"


def test_whole_grain_by_the_plants_own_table_is_not_too_full() -> None:
    assert fill(3.059 * 800, 800, PLANT).verdict == "sound"


def test_a_loaf_rescaled_to_a_larger_tin() -> None:
    # Whole Grain 100, "Calculate bread dough to fit your pan": 450 g in 84 in³ are 771 g in 144 in³ (printed 770).
    loading_ml = fill(84 * INCH**3, 450, PLANT).loading_ml
    assert 144 * INCH**3 / loading_ml == pytest.approx(771, abs=1)


def test_a_lid_and_rye_take_more_dough_than_an_open_tin() -> None:
    # For a firm crumb under a lid: 1.8 to 2.0 ml for each gram.
    assert 1.8 <= load("lidded", "lean").usual_ml <= 2.0
    assert load("open", "rye").usual_ml < load("lidded", "enriched").usual_ml < load("open", "lean").usual_ml
    assert load("plant", "rye") == PLANT


@pytest.mark.parametrize("kind", LOADS)
def test_a_tin_that_overflows_or_looks_empty_is_told_and_the_bounds_are_sound(kind: TinKind) -> None:
    usual = load(kind, "lean")
    assert fill(0.99 * usual.least_ml * 100, 100, usual).verdict == "too full"
    assert fill(1.01 * usual.most_ml * 100, 100, usual).verdict == "too empty"
    for loading_ml in (usual.least_ml, usual.usual_ml, usual.most_ml):
        assert fill(loading_ml * 100, 100, usual).verdict == "sound"


@pytest.mark.parametrize(
    ("text", "volume_ml"),
    [
        ("1600 ml", 1600),
        ("1.6 l", 1600),
        ("round 20 x 7 cm", math.pi * 700),
        ("Round 200 × 70 mm", math.pi * 700),
        ("box 25 x 11 x 8 cm", 2200),
        ("box 10x4.5x3 in", 10 * 4.5 * 3 * INCH**3),
        ("tapered 22.9 x 11.4 / 21 x 9.6 x 7 cm", 1615.3),
        ("tapered 20 / 16 x 7 cm", math.pi / 12 * 7 * (400 + 320 + 256)),
    ],
)
def test_tins_are_read_as_people_tell_them(text: str, volume_ml: float) -> None:
    assert read_tin_ml(text) == pytest.approx(volume_ml, rel=0.002)


@pytest.mark.parametrize("text", ["", "big", "1600", "1600 g", "round 20 cm", "box 25 x 11 x 8", "round 20 x 7 ft"])
def test_a_tin_that_is_not_clear_is_refused(text: str) -> None:
    with pytest.raises(Failure, match="not clear") as refused:
        read_tin_ml(text)
    assert "1600 ml" in refused.value.remedy


def test_who_weighs_in_ounces_is_told_tins_in_inches_which_are_read_again() -> None:
    with said_in(Units("°F", "oz", "12 h")), pytest.raises(Failure) as refused:
        read_tin_ml("big")
    told = re.findall(r'"(\w+ [^"]+ in)"', refused.value.remedy)
    assert told[:2] == ["round 8 x 3 in", "box 10 x 4.5 x 3 in"]
    assert len([read_tin_ml(text) for text in told]) == 4


@pytest.mark.parametrize("text", ["9 ml", "101 l", "box 0 x 5 x 5 cm"])
def test_a_tin_of_no_use_is_refused(text: str) -> None:
    with pytest.raises(Failure, match="would hold"):
        read_tin_ml(text)


def test_the_smallest_and_the_largest_tin() -> None:
    assert read_tin_ml("10 ml") == 10
    assert read_tin_ml("100 l") == 100_000


def test_a_tin_of_no_use_is_answered_with_the_sizes_that_are() -> None:
    with pytest.raises(Failure) as refused:
        read_tin_ml("5 ml")
    assert "10 ml to 100 litres" in refused.value.remedy
