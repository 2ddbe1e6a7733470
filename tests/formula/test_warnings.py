"""What is odd but legal: told, and never refused."""

import pytest

from proofbell.formula.read import read_formula
from proofbell.places import house_formulas

KNOTS = house_formulas()["harbour-knots"].read_text(encoding="utf-8")
LOAF = house_formulas()["quay-pan-loaf"].read_text(encoding="utf-8")
PHASES = house_formulas()["lamplighter-loaf"].read_text(encoding="utf-8")
PLAIT = house_formulas()["mooring-plait"].read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("text", "old", "new", "said", "field"),
    [
        (KNOTS, "percent = 1.8", "percent = 3.2", "Salt comes to 3.2 %", 'ingredient 5 "salt", percent'),
        (KNOTS, "percent = 1.8", "percent = 0", "no salt", "salt"),
        (KNOTS, "percent = 1.8", "percent = 0.07", "Salt comes to 0.07 %", 'ingredient 5 "salt", percent'),
        (KNOTS, "percent = 4.5\n", "percent = 9\n", "much for fresh yeast", "fresh yeast"),
        (KNOTS, "percent = 4.5\n", "percent = 0.01\n", "little for fresh yeast", "fresh yeast"),
        (LOAF, "percent = 1\n", "percent = 4\n", "much for instant yeast", "instant yeast"),
        (LOAF, "percent = 62", "percent = 40", "Hydration comes to 40 %", "water"),
        (LOAF, "percent = 62", "percent = 115", "Hydration comes to 115 %", "water"),
        (PLAIT, "percent = 36", "percent = 22", "All water, that in the egg included, comes to 38.8 %", "water"),
        (KNOTS, 'core    = ["88 °C", "94 °C"]\n', "", "no core temperature", 'stage 6 "Bake"'),
        (KNOTS, KNOTS[KNOTS.rindex("[[stages]]") :], "", "No cool stage", 'stage 6 "Bake"'),
        (KNOTS, 'temperature = "25 °C"', 'temperature = "31 °C"', "31.0 °C", "dough, temperature"),
        (KNOTS, 'time    = "70 min"\nstretch = ["50 min", "100 min"]', 'time = "125 min"', "egg stands", "First proof"),
        (KNOTS, 'time = "20 min"', 'time = "3 h"', "has stood 4 h 26 min", "Divide and tie"),
        (KNOTS, '"190 °C"', '"175 °F"', "An oven at 79 °C is cold", "oven, temperature"),
        (KNOTS, '"190 °C"', '"375 °C"', "An oven at 375 °C is very hot", "oven, temperature"),
        (PHASES, 'oven = "240 °C"', 'oven = "240 °F"', "An oven at 116 °C is cold", "phase 1, oven"),
        (LOAF, '"800 g"', '"1200 g"', "too full, 1.5 ml for each gram", "batch, tin"),
        (LOAF, '"1800 ml"', '"2800 ml"', "usual for an open home tin 1.6 to 3.2", "batch, tin"),
        (KNOTS, '"22 °C", time = "100 min"', '"22 °C", time = "101 min"', "outside the stretch", "band 1, time"),
    ],
)
def test_what_is_odd_is_a_warning_with_its_place(text: str, old: str, new: str, said: str, field: str) -> None:
    assert old in text
    formula, faults = read_formula(text.replace(old, new, 1), "x.toml")
    assert formula is not None
    fitting = [fault for fault in faults if said in fault.message]
    assert len(fitting) == 1, faults
    assert fitting[0].level == "warning"
    assert field in fitting[0].field
    assert fitting[0].line > 1
    assert fitting[0].remedy


@pytest.mark.parametrize(
    ("text", "old", "new"),
    [
        (KNOTS, "percent = 1.8", "percent = 3"),
        (KNOTS, '"190 °C"', '"120 °C"'),
        (KNOTS, '"190 °C"', '"320 °C"'),
        (LOAF, "percent = 62", "percent = 45"),
        (LOAF, "percent = 62", "percent = 110"),
        (PLAIT, "percent = 36", "percent = 29"),
        (KNOTS, 'temperature = "25 °C"', 'temperature = "30 °C"'),
        (KNOTS, 'style = "enriched"', 'style = "other"'),
    ],
)
def test_what_stands_on_the_bound_is_not_odd(text: str, old: str, new: str) -> None:
    formula, faults = read_formula(text.replace(old, new, 1), "x.toml")
    assert formula is not None
    assert faults == ()


def test_a_dough_in_the_cold_may_stand_long() -> None:
    text = KNOTS.replace('kind    = "proof"\ntime    = "70 min"', 'kind = "proof"\nplace = "4 °C"\ntime = "10 h"', 1)
    text = text.replace('stretch = ["50 min", "100 min"]\n', "", 1).replace("100 min", "99 min")
    _, faults = read_formula(text, "x.toml")
    assert faults == ()
