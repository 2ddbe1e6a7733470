"""Ingredients outside the dough, cook's measures, tins of several pieces, a bake without a core."""

from __future__ import annotations

import pytest
import tomli
import tomlkit

from proofbell.faults import Fault
from proofbell.formula.foods.densities import DENSITIES
from proofbell.formula.foods.measured import EGG_G
from proofbell.formula.model import Formula, hydration_percent
from proofbell.formula.read import read_formula
from proofbell.formula.tin_load import fill, load
from proofbell.places import house_formulas

KNOTS = house_formulas()["harbour-knots"].read_text(encoding="utf-8")
EACH = 'each     = "2 g"\n'


def read(text: str) -> tuple[Formula, tuple[Fault, ...]]:
    formula, faults = read_formula(text, "x.toml")
    assert formula is not None, faults
    return formula, faults


def refused(old: str, new: str, text: str = KNOTS) -> Fault:
    """The one fault that a change makes."""
    assert old in text
    formula, faults = read_formula(text.replace(old, new, 1), "x.toml")
    assert formula is None
    (fault,) = [fault for fault in faults if fault.is_error]
    assert fault.remedy
    return fault


def test_what_is_outside_the_dough_is_in_no_figure_of_it() -> None:
    formula, _ = read(KNOTS)
    (milk,) = formula.outside
    without, _ = read(KNOTS.replace('use      = "finish"\n' + EACH + "guess    = true\n", "percent  = 0\n"))
    assert (milk.name, milk.use, milk.each_g, milk.percent) == ("milk for brushing", "finish", 2.0, 0.0)
    assert hydration_percent(formula.ingredients) == hydration_percent(without.ingredients) == 48
    assert [each.name for each in formula.ingredients] == [each.name for each in without.ingredients[:-1]]


@pytest.mark.parametrize(
    ("fields", "stages"),
    [
        ('use = "finish"', ["Bake"]),
        ('use = "tin"', ["Divide and tie"]),
        ('use = "finish"\nat = "final proof"', ["Final proof"]),
        ('use = "finish"\nat = ["Bake", "Final proof"]', ["Final proof", "Bake"]),
    ],
)
def test_it_is_wanted_before_the_bake_the_last_hands_or_the_stages_named(fields: str, stages: list[str]) -> None:
    formula, _ = read(KNOTS.replace('use      = "finish"', fields))
    assert [formula.stages[index].name for index in formula.outside[0].at] == stages


@pytest.mark.parametrize(
    ("old", "new", "message", "remedy"),
    [
        (EACH, EACH + "percent = 2\n", "says it already", "Keep one"),
        (EACH, "", "Nothing says how much", 'each = "3 g"'),
        (EACH, 'weight = "20 g"\n', "in percentages", "each"),
        (EACH, EACH + "heat = true\n", "is warmed for the dough goes into it", "a liquid of the dough"),
        (EACH, EACH + 'at = "Final prof"\n', 'no stage "Final prof"', 'Did you mean "Final proof"?'),
        (EACH, EACH + 'at = ["Bake", "Oven"]\n', 'no stage "Oven"', "The stages are"),
        ('use      = "finish"\n', "", "goes into it", 'use = "finish"'),
        ('pieces = 12\npiece  = "75 g"\nloss   = "2 %"', 'dough = "900 g"', "how many pieces", "[batch]"),
        ('use      = "finish"', 'use      = "glaze"', "not a use", 'Did you mean "finish"?'),
    ],
)
def test_a_wrong_use_is_refused_where_it_stands(old: str, new: str, message: str, remedy: str) -> None:
    text = KNOTS.replace('kind     = "milk"\nheat     = true', 'kind     = "milk"') if "heat" in new else KNOTS
    fault = refused(old, new, text)
    assert message in fault.message
    assert remedy in fault.remedy
    line = KNOTS.split('"milk for brushing"')[0].count("\n") + 1
    assert line - 1 <= fault.line <= line + 6


def test_a_guess_is_for_what_is_outside_the_dough() -> None:
    formula, _ = read(KNOTS)
    assert [line.guess for line in (*formula.ingredients, *formula.outside)] == [False] * 8 + [True]
    assert "no guess" in refused('kind     = "fat"\n', 'kind     = "fat"\nguess = true\n').message


def test_a_file_in_weights_takes_a_weight_outside_the_dough_and_each() -> None:
    tree = tomli.loads(KNOTS)
    for each in tree["ingredients"][:-1]:
        each["weight"] = f"{each.pop('percent') * 5} g"
    tree["ingredients"].append({"name": "seed", "kind": "other", "use": "finish", "weight": "15 g"})
    formula, _ = read(tomlkit.dumps(tree))
    assert [line.percent for line in formula.outside] == pytest.approx([0, 3])
    assert formula.batch.flour_g is None


MEASURED = """
name = "Jetty bread"
[oven]
temperature = "220 °C"
[[ingredients]]
name = "flour"
kind = "flour"
weight = "500 g"
[[ingredients]]
name = "water"
kind = "water"
weight = "250 ml"
[[ingredients]]
name = "eggs"
kind = "egg"
weight = "2"
size = "M"
[[ingredients]]
name = "salt"
kind = "salt"
weight = "2 tsp"
[[ingredients]]
name = "linden honey"
kind = "sugar"
weight = "2 tbsp"
like = "honey"
[[stages]]
name = "Bake"
kind = "bake"
time = "30 min"
core = "none"
[[stages]]
name = "Cool"
kind = "cool"
time = "30 min"
"""


def test_grams_follow_from_volumes_spoons_and_eggs() -> None:
    """USDA SR WEIGHT.txt: a teaspoon of salt 6.0 g (02047), a tablespoon of honey 21 g (19296); an M egg 53 to 63 g."""
    formula, faults = read(MEASURED)
    weights = {line.name: line.percent * 5 for line in formula.ingredients}
    assert weights["water"] == pytest.approx(250)
    assert weights["eggs"] == pytest.approx(2 * 58 * 0.885, abs=2)
    assert weights["salt"] == pytest.approx(2 * 6.0, abs=0.3)
    assert weights["linden honey"] == pytest.approx(2 * 21.0, abs=1.1)
    told = [fault for fault in faults if "scale" in fault.remedy]
    assert len(told) == 4
    assert all(not fault.is_error for fault in faults)


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ('size = "M"\n', "", "need a size"),
        ('weight = "250 ml"', 'weight = "1 cup"', "not the same everywhere"),
        ('weight = "250 ml"', 'weight = "250"', "does not say which unit"),
        ('kind = "salt"', 'kind = "other"', "is not known"),
        ('weight = "2 tbsp"', 'weight = "0 tbsp"', "no amount"),
        ('core = "none"\n', 'core = "none"\nchecks = [ { read = "core temperature" } ]\n', "no core to read"),
    ],
)
def test_a_measure_that_says_too_little_is_refused(old: str, new: str, message: str) -> None:
    assert message in refused(old, new, MEASURED).message


def test_the_table_of_measures_is_in_order() -> None:
    """US cups of USDA SR: milk 244 g (01077), honey 339 (19296), butter 227 (01145); each lies in its own spread."""
    cup_ml = 236.588
    cups = {row.name: row.g_per_ml * cup_ml for row in DENSITIES}
    assert (cups["milk, whole"], cups["honey"], cups["butter"]) == pytest.approx((244, 339, 227), abs=0.5)
    assert all(row.low <= row.g_per_ml <= row.high and row.source for row in DENSITIES)
    assert len(cups) == len(DENSITIES)
    assert all(least <= usual <= most for usual, least, most in EGG_G.values())


def test_a_bake_without_a_core_has_none_and_is_asked_for_none() -> None:
    text = KNOTS.replace('core    = ["88 °C", "94 °C"]', 'core    = "none"')
    head, _, tail = text.partition('  [[stages.checks]]\n  read   = "core temperature"')
    text = head + tail.partition('expect = ["88 °C", "94 °C"]\n')[2]
    formula, faults = read(text)
    bake = next(stage for stage in formula.stages if stage.kind == "bake")
    assert (bake.core, bake.no_core) == (None, True)
    assert faults == ()


def brioche(egg: float, milk: float) -> str:
    return KNOTS.replace("percent  = 12\n", f"percent  = {egg}\n").replace("percent  = 48\n", f"percent  = {milk}\n")


def test_egg_counts_as_water_where_oddity_is_judged() -> None:
    """A brioche of 14 % milk and 50 % egg is none too dry: all water 14 × 0.8813 + 50 × 0.7615 and the butter's."""
    _, faults = read(brioche(50, 14))
    assert not [fault for fault in faults if "comes to" in fault.message]
    _, faults = read(brioche(12, 14))
    (dry,) = [fault for fault in faults if "comes to" in fault.message]
    assert "All water" in dry.message


def test_pieces_in_a_tin_are_weighed_together_and_their_room_is_not_judged() -> None:
    usual = load("open", "enriched")
    assert fill(1620, 45, usual, 9).loading_ml == pytest.approx(4.0)
    assert fill(1620, 45, usual, 9).verdict == "sound"
    assert "not known" in fill(1620, 45, usual, 9).words
    assert fill(1620, 45, usual, 30).verdict == "too full"
    uneven, faults = read(KNOTS.replace('piece  = "75 g"', 'piece  = "75 g"\nin_tin = 9\nweigh = "10 min"'))
    assert ["the last tin" in fault.message for fault in faults] == [True]
    assert (uneven.batch.in_tin, uneven.weigh_s) == (9, 600.0)
    # A minute and 40 s for each of nine ingredients.
    assert read(KNOTS)[0].weigh_s == 60 + 9 * 40
