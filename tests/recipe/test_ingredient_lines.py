"""Forty ingredient lines in many habits, against readings worked out by hand (data/set-a-lines.json)."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from proofbell.formula.foods.densities import BY_NAME
from proofbell.recipe.reading.grams import weigh
from proofbell.recipe.reading.line import read_line
from proofbell.recipe.reading.numbers import plain
from proofbell.recipe.reading.sections import take_apart
from proofbell.recipe.tables.units import ML
from proofbell.recipe.tables.wares import WARES, ware_of

DATA = Path(__file__).parent / "data"
LINES: list[dict[str, Any]] = json.loads((DATA / "set-a-lines.json").read_text(encoding="utf-8"))["lines"]
MEASURES: dict[str, Any] = json.loads((DATA / "measures.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", LINES, ids=lambda case: f"{case['dialect']}: {case['line']}")
def test_a_line_is_read_as_by_hand(case: dict[str, Any]) -> None:
    expect = case["expect"]
    items = read_line(case["line"], 7)
    item, ware = items[0], items[0].ware
    assert ware is not None
    assert (item.line, item.name, ware.kind) == (7, expect["ingredient"], expect["kind"])
    assert sorted(ware.contains) == sorted(expect.get("contains", []))
    amount = item.amounts[0] if item.amounts else None
    assert (amount.unit if amount else None) == expect["unit"]
    assert (amount.low if amount else None) == pytest.approx(expect["amount"], abs=0.001)
    assert (amount.high if amount else None) == expect["amount_to"]
    grams = [weigh(each, case["dialect"]).grams for each in items]
    if expect["grams"] is None:
        assert grams == [None]
    else:
        share = max(expect["tolerance_percent"], 0.3) / 100
        assert sum(each or 0 for each in grams) == pytest.approx(expect["grams"], rel=share)
    if "form" in expect:
        assert (ware.form or "active dry") == expect["form"]
        assert (ware.form is None) == ("form" in expect.get("guess", ""))
    assert item.use == expect.get("use", "dough")
    assert item.extra == expect.get("also", {}).get("use")
    if "from" in expect:
        assert item.kept_c == pytest.approx(43.3, abs=0.05)
    for part, each in zip(expect.get("parts", []), items, strict=len(expect.get("parts", [])) > 0):
        assert (each.name, weigh(each, case["dialect"]).grams) == (part["ingredient"], part["grams"])


@pytest.mark.parametrize(
    ("line", "name", "grams"),
    [
        ("1 lb 2 oz strong flour", "strong flour", 510.3),
        ("2 x 7g sachets easy-blend yeast", "easy-blend yeast", 14.0),
        ("1 (7 g) envelope instant yeast", "instant yeast", 7.0),
        ("1-1/2 tsp table salt", "table salt", 9.1),
        ("1 cup plus 2 tbsp water", "water", 280.0),
        ("ca 250 g rye flour", "rye flour", 250.0),
        ("1,000 g bread flour", "bread flour", 1000.0),
        ("0,5 l milk", "milk", 515.5),
        ("• 3 egg yolks", "egg yolks", 54.0),
        ("Eggs: 3 (L)", "Eggs", 180.0),
        ("Water 320 ml, at 30C", "Water", 320.0),
        ("two tablespoons of honey", "honey", 43.0),
        ("1 kg wheat flour type 1050", "wheat flour type 1050", 1000.0),
        ("500g/1lb 2oz strong white flour", "strong white flour", 500.0),
    ],
)
def test_other_habits(line: str, name: str, grams: float) -> None:
    (item,) = read_line(line, 1)
    assert item.name == name
    assert weigh(item, "uk").grams == pytest.approx(grams, rel=0.01)


def test_one_of_two_eggs_may_be_for_the_glaze() -> None:
    dough, glaze = read_line("2 eggs, 1 beaten to glaze", 1)
    assert (dough.use, glaze.use) == ("dough", "finish")
    assert [each.amounts[0].low for each in (dough, glaze)] == [1.0, 1.0]


def test_an_australian_tablespoon_is_a_third_more() -> None:
    """NSW Health: 20 ml; the metric and the British one 15."""
    (item,) = read_line("3 tbsp olive oil", 1)
    assert weigh(item, "au").grams == pytest.approx((weigh(item, "uk").grams or 0) * 4 / 3)


def test_coarse_salt_and_a_cup_of_flour_are_asked() -> None:
    for line in ("2 tsp kosher salt", "3 cups bread flour"):
        (item,) = read_line(line, 1)
        found = weigh(item, "us")
        assert any(guess.ask for guess in found.guesses)
        assert found.low is not None
        assert found.high is not None
        assert found.low < (found.grams or 0) < found.high
    (fine,) = read_line("1 tsp fine salt", 1)
    assert not any(guess.ask for guess in weigh(fine, "us").guesses)


def test_densities_are_those_of_the_sources() -> None:
    """The published table that they were taken from (data/measures.json)."""
    assert {name: each.g_per_ml for name, each in BY_NAME.items()} == {
        each["name"]: each["g_per_ml"] for each in MEASURES["ingredients"]
    }
    assert all(each.low <= each.g_per_ml <= each.high for each in BY_NAME.values())
    for country in ("us", "au", "metric"):
        for unit in ("tsp", "tbsp", "cup"):
            assert ML[country][unit] == MEASURES["_units_ml"][country][unit]


def test_every_ware_points_at_a_density_and_at_known_allergens() -> None:
    from proofbell.formula.ingredients import ALLERGENS

    assert {ware.density for ware in WARES if ware.density} <= set(BY_NAME)
    assert {each for ware in WARES for each in ware.contains} <= set(ALLERGENS)


@pytest.mark.parametrize(
    ("name", "kind", "contains"),
    [
        ("oat milk", "milk", ("oats",)),
        ("peanut butter", "fat", ("peanut",)),
        ("buttermilk", "milk", ("milk",)),
        ("wholemeal spelt flour", "flour", ("wheat",)),
        ("rye starter", "preferment", ()),
        ("baking powder", "other", ()),
        ("potato flour", "other", ()),
        ("coconut oil", "fat", ()),
        ("sea lavender", None, ()),
    ],
)
def test_the_first_row_that_fits_holds(name: str, kind: str | None, contains: tuple[str, ...]) -> None:
    ware = ware_of(name)
    assert (ware.kind if ware else None) == kind
    assert (ware.contains if ware else ()) == contains


def test_fractions_keep_the_words_before_them() -> None:
    assert plain("Cream ½ oz, 1½ or 2 ¼") == "Cream 1/2 oz, 1 1/2 or 2 1/4"


@pytest.mark.parametrize(
    "line",
    [
        "You will need: two 900g loaf tins", "A clean tea towel", "baking paper", "a large bowl", "1 x 2lb loaf tin",
        "2 baking trays, lined with paper", "a 23 cm cake tin", "clingfilm", "a cloth for the bowl", "kitchen scales",
    ],
)  # fmt: skip
def test_a_thing_of_the_kitchen_is_no_ingredient(line: str) -> None:
    sheet = take_apart(f"Slipway loaf\n500 g strong flour\n{line}\n300 g water\n")
    assert [item.name for item in sheet.listed] == ["strong flour", "water"]
    assert [(each.line, line in each.text) for each in sheet.unread] in ([(3, True)], [])
    assert sheet.unread or sheet.tin


@pytest.mark.parametrize(
    "line",
    [
        "1 tin condensed milk", "a bowl of warm water", "7 g tin yeast", "oil, for the tin", "butter for the tins",
        "2 tbsp strong tea", "400 g tin of pumpkin", "50 g rolled oats for the tray", "1 pan of cold milk",
        "300 ml milk, in a jug", "You will need: 500 g rye flour",
    ],
)  # fmt: skip
def test_food_in_or_for_a_thing_of_the_kitchen_stays_an_ingredient(line: str) -> None:
    sheet = take_apart(f"Slipway loaf\n500 g strong flour\n{line}\n")
    assert [item.line for item in sheet.listed] == [2, 3]
    assert sheet.listed[1].ware is not None
