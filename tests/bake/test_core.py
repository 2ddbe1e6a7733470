"""The core temperature that a bake is done at: the formula's, else the one usual for its style."""

from dataclasses import replace

import pytest

from proofbell.bake.advice.core_words import core_says
from proofbell.bake.core import core_in, core_wanted
from proofbell.bake.decisions.ask_first import ask_first
from proofbell.bake.prompts import prompts
from proofbell.bake.readings import READINGS
from proofbell.bake.rehearse import Scripted, on_target, rehearse
from proofbell.bake.stamp import Stamp
from proofbell.formula.danger_zone import Region
from proofbell.formula.model import Check, Formula, Ingredient, Stage, Style
from proofbell.kitchen.model import Kitchen
from tests.support.baking import Baking, formula

BAKE = Stage("Bake", "bake", 30 * 60.0)
COOL = Stage("Cool", "cool", 30 * 60.0)
SEA = Kitchen()


def of_style(style: Style, *stages: Stage) -> Formula:
    """A formula of a style, for its own bake or that one."""
    return replace(formula(*(stages or (BAKE, COOL))), style=style)


def due_words(baking: Baking) -> str:
    """What the running stage asks for at its end."""
    return next(each.words for each in prompts(baking.state) if each.kind == "due")


# A. Cohn, bread-bakers list, 2008: lean 200 to 208 °F, enriched 185 to 195 °F.
@pytest.mark.parametrize(("style", "low_f", "high_f"), [("lean", 200, 208), ("enriched", 185, 195)])
def test_a_bake_without_a_core_of_its_own_has_the_one_published_for_its_style(
    style: Style, low_f: float, high_f: float
) -> None:
    wanted = core_wanted(of_style(style), SEA, 0)
    assert wanted is not None
    assert wanted.low_c == pytest.approx((low_f - 32) / 1.8, abs=0.5)
    assert wanted.high_c == pytest.approx((high_f - 32) / 1.8, abs=0.5)
    assert f"usual for {style} dough" in wanted.words


def test_the_formulas_own_core_goes_first_and_is_not_called_usual() -> None:
    wanted = core_wanted(of_style("lean", replace(BAKE, core=(88.0, 94.0))), SEA, 0)
    assert wanted is not None
    assert (wanted.low_c, wanted.high_c, wanted.words) == (88.0, 94.0, "88 to 94 °C")


def test_a_dough_of_no_style_and_a_stage_that_is_no_bake_have_none() -> None:
    assert core_wanted(of_style("other"), SEA, 0) is None
    assert core_wanted(of_style("lean"), SEA, 1) is None


def test_a_loaf_that_is_baked_twice_need_only_be_done_the_second_time() -> None:
    twice = of_style("lean", replace(BAKE, name="First bake"), COOL, BAKE)
    assert core_wanted(twice, SEA, 0) is None
    assert core_wanted(twice, SEA, 2) is not None


def test_high_up_the_usual_band_stays_below_boiling_water() -> None:
    # ISO 2533 and IAPWS-IF97: water boils at 93.3 °C at 2000 m.
    wanted = core_wanted(of_style("lean"), Kitchen(altitude_m=2000.0), 0)
    assert wanted is not None
    assert wanted.high_c == pytest.approx(92.3, abs=0.05)


def test_the_bakes_end_names_the_band_and_says_that_it_is_the_styles() -> None:
    baking = Baking(of_style("enriched"))
    baking.to_stage(0)
    assert due_words(baking) == "take it out, then cool, at 85 to 91 °C inside, usual for enriched dough"
    assert "The core was not read; 85 °C or more is usual for enriched dough." in ask_first(baking.state, 1800.0)
    baking.read(80.0, "core temperature")
    assert due_words(baking) == "take it out, then cool, at 85 to 91 °C inside; it was 80"
    baking.wait(minutes=30)
    baking.read(80.0, "core temperature")
    # From 80 to 85 °C: 0.08 of the half hour so far by the published curve, and two minutes either way at least.
    assert due_words(baking) == "core 80 °C, 85 wanted: 2 min longer (up to 5)"
    baking.read(86.0, "core temperature")
    assert due_words(baking) == "take it out, then cool"
    assert ask_first(baking.state, baking.now_s) == ()


def test_a_dough_of_no_style_is_taken_out_by_the_clock() -> None:
    baking = Baking(of_style("other"))
    baking.to_stage(0)
    assert due_words(baking) == "take it out, then cool"
    assert ask_first(baking.state, 1800.0) == ()


def test_a_rehearsal_answers_the_core_in_the_middle_of_the_usual_band() -> None:
    asked = replace(BAKE, checks=(Check("core temperature", "end"),))
    baking = Baking(of_style("enriched", asked))
    assert on_target(baking.state, 0, asked.checks[0]) == pytest.approx(88.0)
    state = rehearse(
        of_style("enriched", asked),
        baking.state.batch,
        SEA,
        start=Stamp(0, 0, "rehearsal"),
        version="0",
        readings=(Scripted("Bake", "core temperature", "90"),),
    )
    assert [reading.value for reading in state.readings] == [90.0]
    assert "core temperature" in READINGS


def test_a_core_reading_says_whether_the_bake_is_done() -> None:
    state = Baking(of_style("lean")).state
    wanted = core_in(state, 0)
    assert wanted is not None
    assert core_says(state, 0, wanted.low_c - 0.1) == (
        "Core 92.9 °C: not done yet; 93 to 98 °C, usual for lean dough.",
    )
    assert "done, if the crust is too;" in core_says(state, 0, wanted.low_c)[0]
    assert "hotter than wanted" in core_says(state, 0, wanted.high_c + 0.1)[0]
    assert core_says(state, None, 60.0) == ()


# USDA FSIS: egg dishes to 160 °F, told as 71 °C. UK Food Standards Agency: 70 °C for 2 minutes, or 65 °C for 10.
@pytest.mark.parametrize(
    ("region", "safe_c", "short_c", "told"),
    [
        ("us", 71.0, 70.9, "71 °C"),
        ("uk", 70.0, 66.0, "66 °C the same list asks for 10 min"),
        ("eu", 70.0, 69.9, "70 °C"),
    ],
)
def test_a_core_below_the_official_figure_for_egg_is_cautioned(
    region: Region, safe_c: float, short_c: float, told: str
) -> None:
    with_egg = replace(
        of_style("other"), ingredients=(Ingredient("flour", 100.0, "flour"), Ingredient("egg", 30.0, "egg"))
    )
    state = Baking(with_egg, Kitchen(region=region)).state
    assert core_says(state, 0, safe_c) == ()
    (said,) = core_says(state, 0, short_c)
    assert told in said
    assert "licensed" in said
    assert core_says(Baking(of_style("other"), Kitchen(region=region)).state, 0, short_c) == ()
