"""Official figures and the cautions that carry them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.dough.safety import (
    HOT_HOLD_C,
    LOCAL_FIRST,
    Caution,
    Stand,
    Standing,
    allergen_caution,
    core_caution,
    egg_core_caution,
    egg_core_reached,
    in_zone_s,
    oven_caution,
    packed_short_g,
    raw_flour_caution,
    standing,
    standing_caution,
    uk_hold_s,
)
from proofbell.formula.danger_zone import ZONES, Region

REGIONS: tuple[Region, ...] = ("eu", "uk", "us")


def test_an_egg_dish_passes_at_71_and_not_at_70_9() -> None:
    # USDA FSIS: 160 °F, printed as 71 °C.
    assert egg_core_reached(71.0, "us")
    assert not egg_core_reached(70.9, "us")


def test_in_the_uk_and_the_eu_it_is_70() -> None:
    # UK Food Standards Agency: 70 °C for 2 minutes. WHO, Five Keys to Safer Food Manual, 2006: 70 °C.
    for region in ("uk", "eu"):
        assert egg_core_reached(70.0, region)
        assert not egg_core_reached(69.9, region)


def test_hot_food_is_held_at_57_in_the_us_and_at_63_in_the_uk() -> None:
    # US FDA, "Key temperatures for egg safety"; UK temperature control regulations. WHO Five Keys: 60 °C.
    assert HOT_HOLD_C == {"us": 57.0, "uk": 63.0, "eu": 60.0}


def test_the_danger_zones_are_those_of_the_authorities() -> None:
    # USDA FSIS: 40 to 140 °F, two hours, one above 90 °F. FSA guidance on temperature control: 8 and 63 °C. WHO: 5
    # and 60 °C.
    us, uk, eu = ZONES["us"], ZONES["uk"], ZONES["eu"]
    assert us.low_c * 1.8 + 32 == pytest.approx(40)
    assert us.high_c * 1.8 + 32 == pytest.approx(140)
    assert us.warm_c is not None
    assert us.warm_c * 1.8 + 32 == pytest.approx(90)
    assert (us.limit_s, us.warm_limit_s) == (7200, 3600)
    assert (uk.low_c, uk.high_c, uk.limit_s) == (8, 63, 4 * 3600)
    assert (eu.low_c, eu.high_c, eu.limit_s) == (5, 60, 7200)


# UK Food Standards Agency: equivalents of 70 °C for 2 minutes.
@pytest.mark.parametrize(
    ("core_c", "seconds"), [(60, 2700), (65, 600), (70, 120), (75, 30), (80, 6), (90, 6), (69, 600)]
)
def test_the_uk_list_of_times(core_c: float, seconds: float) -> None:
    assert uk_hold_s(core_c) == seconds


def test_below_60_no_time_is_long_enough() -> None:
    assert uk_hold_s(59.9) is None


def test_a_loaf_sold_by_weight_may_be_short_by_so_much() -> None:
    # gov.uk, "Weights and measures: the law", packaged goods, table of tolerable negative errors.
    table: dict[float, float] = {
        10: 0.9,
        50: 4.5,
        75: 4.5,
        100: 4.5,
        150: 6.75,
        200: 9,
        250: 9,
        300: 9,
        400: 12,
        500: 15,
        800: 15,
        1000: 15,
        2000: 30,
    }
    for nominal_g, short_g in table.items():
        assert packed_short_g(nominal_g) == pytest.approx(short_g)
    assert packed_short_g(5) == pytest.approx(0.45)
    assert packed_short_g(10_000) == pytest.approx(150)
    for nominal_g in (4.9, 10_001):
        with pytest.raises(ValueError, match="5 g to 10 kg"):
            packed_short_g(nominal_g)


@given(st.floats(-5, 60), st.floats(-5, 60), st.floats(600, 20000), st.floats(60, 60000))
def test_the_time_in_the_zone_is_that_of_adding_up_moments(
    start_c: float, place_c: float, tau_s: float, seconds: float
) -> None:
    stand = Stand(start_c, place_c, tau_s, seconds)
    zone = ZONES["eu"]

    def inside(at_s: float) -> float:
        return float(zone.low_c < Stand(start_c, place_c, tau_s, at_s).end_c < zone.high_c)

    moments = 2000
    summed = sum(inside(seconds * (at + 0.5) / moments) for at in range(moments)) * seconds / moments
    # It comes into the zone once and leaves it once: half a moment each.
    assert in_zone_s(stand, zone) == pytest.approx(summed, abs=seconds / moments * 1.01)


def test_a_dough_that_goes_into_the_fridge_leaves_the_zone() -> None:
    # From 26 °C towards 4 °C with a time constant of two hours: 10 °C after 2.60 h by the law of cooling.
    zone = ZONES["uk"].__class__(10.0, 60.0, 7200.0, "")
    assert in_zone_s(Stand(26, 4, 7200, 12 * 3600), zone) == pytest.approx(2.60 * 3600, rel=0.002)
    assert in_zone_s(Stand(26, 4, 7200, 3600), zone) == 3600


def test_a_dough_that_stays_where_it_is_is_in_or_out() -> None:
    assert in_zone_s(Stand(22, 22, 6000, 5000), ZONES["eu"]) == 5000
    assert in_zone_s(Stand(3, 3, 6000, 5000), ZONES["eu"]) == 0


def test_stretches_add_up_and_are_held_against_the_limit() -> None:
    hour = Stand(25, 21, 6000, 3600)
    # Northern Ireland, SR 2006/3, schedule 4: four hours of food kept by time alone.
    short = standing([hour] * 4, "eu")
    assert (short.seconds, short.too_long_at_a_time, short.over) == (14400, False, False)
    assert standing([hour] * 5, "eu").over
    assert not standing([Stand(25, 21, 6000, 7200)], "eu").over
    long = standing([hour, Stand(25, 21, 6000, 7201), hour], "eu")
    assert (long.longest_s, long.at_a_time_s, long.too_long_at_a_time, long.over) == (7201, 7200, True, True)
    assert long.seconds == 7201 + 2 * 3600
    assert not standing([Stand(25, 21, 6000, 3 * 3600)], "uk").over


@pytest.mark.parametrize(("region", "cold_c"), [("uk", 8.0), ("eu", 5.0), ("us", 5.0)])
def test_what_cools_in_a_place_that_keeps_food_cold_does_not_stand_warm(region: Region, cold_c: float) -> None:
    # UK: SI 2013/2996, schedule 4, paragraph 2: 8 °C. US: FDA Food Code 3-501.14 and 3-501.16: 41 °F. WHO: 5 °C.
    night = 12 * 3600.0
    assert standing([Stand(25, cold_c, 9000, night)], region).seconds == 0
    warmer = standing([Stand(25, cold_c + 1, 9000, night)], region)
    assert warmer.over
    assert warmer.warm is (cold_c == 8.0)  # what some region's law still calls cold is no warm place


def test_the_figure_is_one_kind_and_grows_while_the_dough_stands() -> None:
    told = [standing([Stand(25, 21, 6000, 3600, "Mix"), Stand(25, 21, 6000, 600.0 * n)], "eu") for n in range(40)]
    seconds = [each.seconds for each in told]
    assert seconds == sorted(set(seconds))
    assert all("h in all" in standing_caution(each, "eu").text for each in told)


def test_above_90_fahrenheit_the_us_limit_is_an_hour() -> None:
    assert standing([Stand(25, 35, 6000, 4000, "Proof")], "us") == Standing(4000, 4000, 3600, "Proof")
    assert standing([Stand(25, 35, 6000, 4000)], "us").over
    assert not standing([Stand(25, 32, 6000, 4000)], "us").over
    assert not standing([Stand(25, 35, 6000, 4000)], "eu").over


def test_us_figures_are_said_as_their_authorities_print_them() -> None:
    # USDA FSIS: danger zone 40 to 140 °F (4.4 to 60 °C), egg dishes 160 °F (71 °C). US FDA, "Key temperatures for egg
    # safety": hot food at 135 °F (57 °C).
    standing_us = standing_caution(Standing(9000, 9000, 7200), "us").text
    assert "between 40 and 140 °F (4.4 and 60 °C)" in standing_us
    assert "at least 160 °F (71 °C), measured" in core_caution("us").text
    assert "kept at 135 °F (57 °C) or more" in core_caution("us").text
    short = egg_core_caution(70.9, "us")
    assert short is not None
    assert "at least 160 °F (71 °C). Bake it longer" in short.text
    assert "between 8 and 63 °C out of the cold for" in standing_caution(Standing(20000), "uk").text
    assert "between 5 and 60 °C out of the cold for" in standing_caution(Standing(9000, 9000, 7200), "eu").text


@pytest.mark.parametrize("region", REGIONS)
def test_every_caution_puts_local_rules_and_licensed_advice_first(region: Region) -> None:
    cautions: list[Caution | None] = [
        standing_caution(Standing(9000, 9000, 7200), region),
        core_caution(region),
        oven_caution(),
        raw_flour_caution(),
        allergen_caution(["milk"]),
    ]
    for caution in cautions:
        assert caution is not None
        assert caution.text.endswith(LOCAL_FIRST)
        assert caution.source


def test_cautions_carry_the_figures_of_the_place() -> None:
    assert "71 °C" in core_caution("us").text
    assert (
        "70 °C for 2 minutes (or 60 °C for 45 min, 65 °C for 10 min, 75 °C for 30 s or 80 °C for 6 s)"
        in core_caution("uk").text
    )
    assert "70 °C, measured" in core_caution("eu").text
    assert "SR 2006/3" in standing_caution(Standing(20000), "uk").source
    assert "SR 2006/3" in standing_caution(Standing(20000), "eu").source
    said = standing_caution(Standing(9000, 9000, 7200), "uk").text
    assert "8 and 63 °C" in said
    assert "2.5 h" in said
    assert "2 h" in said


def test_no_allergens_no_caution() -> None:
    assert allergen_caution([]) is None
    listed = allergen_caution(["egg", "milk"])
    assert listed is not None
    assert "egg, milk" in listed.text


def test_each_caution_goes_by_a_word_that_scripts_may_rely_on() -> None:
    listed = allergen_caution(["milk"])
    assert listed is not None
    cautions = [
        standing_caution(Standing(9000, 9000, 7200), "eu"),
        core_caution("eu"),
        oven_caution(),
        raw_flour_caution(),
        listed,
    ]
    assert [caution.about for caution in cautions] == ["standing", "core", "oven", "raw flour", "allergens"]


def test_each_places_core_figure_names_its_authority() -> None:
    assert "USDA" in core_caution("us").source
    assert "Food Standards Agency" in core_caution("uk").source
    assert "WHO" in core_caution("eu").source


def test_a_dough_that_stays_just_at_the_edge_is_not_in_the_zone() -> None:
    assert in_zone_s(Stand(5, 5, 6000, 100), ZONES["eu"]) == 0
    assert not standing([Stand(25, ZONES["us"].warm_c or 0, 6000, 4000)], "us").over


def test_long_standing_is_told_in_hours() -> None:
    said = standing_caution(Standing(100 * 3600.0, 99 * 3600.0, 20 * 3600.0), "uk").text
    assert "100.0 h" in said
    assert "20 h" in said
    assert "200.0 h" in standing_caution(Standing(200 * 3600.0), "uk").text


@pytest.mark.parametrize(
    ("core_c", "region", "words", "source"),
    [
        (70.9, "us", "160 °F (71 °C). Bake", "USDA FSIS"),
        (69.9, "eu", "70 °C. Bake", "WHO, Five Keys"),
        (59.0, "uk", "70 °C for 2 minutes. Bake", "Food Standards Agency"),
        (65.0, "uk", "70 °C for 2 minutes; at 65 °C the same list asks for 10 min. Bake", "Food Standards Agency"),
        (69.7, "uk", "70 °C for 2 minutes; at 69 °C the same list asks for 10 min. Bake", "Food Standards Agency"),
    ],
)
def test_a_core_that_is_too_cool_is_told_with_its_authoritys_figure(
    core_c: float, region: Region, words: str, source: str
) -> None:
    # USDA FSIS: 160 °F. WHO, Five Keys to Safer Food Manual, 2006: 70 °C. UK Food Standards Agency: 70 °C for 2
    # minutes, 65 °C for 10 and 60 °C for 45; below 60 °C the list has no time.
    found = egg_core_caution(core_c, region)
    assert found is not None
    assert found.about == "core"
    assert (
        found.text == f"With egg in it the core should reach at least {words} it longer and read again. {LOCAL_FIRST}"
    )
    assert source in found.source


def test_a_core_that_reaches_the_figure_needs_no_caution() -> None:
    # 70.96 °C is read as 71.0 °C, which is the figure that USDA FSIS prints for 160 °F.
    assert egg_core_reached(70.96, "us")
    assert egg_core_caution(71.0, "us") is None
    assert egg_core_caution(70.0, "uk") is None
    assert egg_core_caution(70.0, "eu") is None


def test_the_laws_and_authorities_behind_the_cautions_are_named() -> None:
    listed = allergen_caution(["milk"])
    assert listed is not None
    assert listed.source == "Regulation (EU) 1169/2011, Annex II; US FASTER Act of 2021"
    assert raw_flour_caution().source == "US FDA 2016 and UK Food Standards Agency 2017, on raw dough"
