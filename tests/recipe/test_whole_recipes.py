"""Eight whole recipes in eight habits, against readings worked out by hand (data/a*.json)."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from proofbell.dough.weights import shares
from proofbell.formula.model import Formula
from proofbell.formula.read import load, read_formula
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.draft import Draft
from proofbell.recipe.toml_text import toml_text

DATA = Path(__file__).parent / "data"
NAMES = sorted(path.stem for path in DATA.glob("a*.txt"))
COUNTRIES = {"a1": "uk", "a2": "us", "a3": "au", "a4": "metric", "a5": "metric", "a6": "uk", "a8": "us"}
GUESS_SHARE = 0.2
"""A length that the recipe does not give is a guess, and so was the hand's."""

pytestmark = pytest.mark.parametrize("name", NAMES)


@cache
def read(name: str) -> tuple[Draft, Formula, dict[str, Any]]:
    draft = read_recipe((DATA / f"{name}.txt").read_text(encoding="utf-8"))
    known = json.loads((DATA / f"{name}.json").read_text(encoding="utf-8"))
    return draft, load(toml_text(draft), name), {**known["expect"], "style": known["style"]}


def alike(name: str) -> str:
    return name.casefold().removesuffix("s")


def test_grams_and_percent(name: str) -> None:
    draft, formula, expect = read(name)
    percents = {alike(line.name): line.percent for line in formula.ingredients}
    for each in expect["ingredients"]:
        share = max(each.get("tolerance_percent", 0), 0.5) / 100
        if "in" in each:
            made_of = next(part.made_of or {} for part in draft.dough if part.kind == "preferment")
            sort = each["kind"]
            grams = made_of.get(sort, 0.0) + (made_of.get("starter", 0.0) / 2 if sort in ("flour", "water") else 0)
        else:
            part = next(part for part in draft.dough if alike(part.name) == alike(each["name"]))
            grams = part.amount or 0.0
            assert part.kind == each["kind"]
            assert sorted(part.contains) == sorted(each.get("contains", []))
            assert part.form == each.get("form")
            assert percents[alike(each["name"])] == pytest.approx(each["percent"], rel=max(share, 0.01))
        assert grams == pytest.approx(each["grams"], rel=share)
    made = sum(part.kind == "preferment" for part in draft.dough)
    assert len(draft.dough) - made == sum("in" not in each for each in expect["ingredients"])


def test_the_dough_as_a_whole(name: str) -> None:
    draft, formula, expect = read(name)
    of = shares(formula.ingredients)
    assert of.hydration == pytest.approx(expect["hydration_percent"], abs=0.1)
    assert of.water == pytest.approx(expect["all_water_percent"], abs=0.2)
    assert of.prefermented == pytest.approx(expect["prefermented_flour_percent"], abs=0.1)
    salt = sum(line.percent for line in formula.ingredients if line.kind == "salt")
    assert salt == pytest.approx(expect["salt_percent"], abs=0.01)
    assert sum(part.amount or 0 for part in draft.dough) == pytest.approx(expect["dough_total"], rel=0.001)
    assert [part.name for part in draft.dough if part.heat] == [expect["liquid_to_heat"]]
    assert draft.style == expect["style"]
    assert draft.pieces == expect["batch"]["pieces"]


def test_allergens_with_what_is_on_the_piece(name: str) -> None:
    draft, formula, expect = read(name)
    assert sorted(draft.allergens) == expect["allergens"]
    assert (
        sorted({each for line in (*formula.ingredients, *formula.outside) for each in line.contains})
        == expect["allergens"]
    )
    told = {(part.kind, tuple(part.contains)) for part in draft.outside}
    assert told == {(each["kind"], tuple(each["contains"])) for each in expect["outside_the_dough"]}
    for each in expect["outside_the_dough"]:
        if each["grams"] is not None:
            part = next(part for part in draft.outside if alike(part.name).startswith(alike(each["name"])))
            assert part.amount == pytest.approx(each["grams"], rel=0.02)


def test_stages(name: str) -> None:
    draft, formula, expect = read(name)
    assert [stage.kind for stage in draft.stages] == [each["kind"] for each in expect["stages"]]
    for stage, each in zip(draft.stages, expect["stages"], strict=True):
        guessed = "guess" in each["note"]
        share = GUESS_SHARE if guessed else 1e-6
        assert stage.seconds / 60 == pytest.approx(each["minutes"], rel=share), stage.name
        assert bool(stage.guess) == guessed, stage.name
    assert [stage.name for stage in formula.stages] == [stage.name for stage in draft.stages]


def test_the_heats_of_the_oven(name: str) -> None:
    _, formula, expect = read(name)
    bake = next(stage for stage in formula.stages if stage.kind == "bake")
    heats: list[float | None] = [phase.oven_c for phase in bake.phases]
    heats = heats or [formula.oven.temperature_c]
    assert heats == [pytest.approx(each, abs=0.1) for each in expect["oven_c"]]


def test_nothing_is_dropped_and_the_country_is_right(name: str) -> None:
    draft, _, _ = read(name)
    assert draft.unread == ()
    assert draft.country == COUNTRIES.get(name[:2], draft.country)


def test_check_has_nothing_to_refuse(name: str) -> None:
    draft, _, _ = read(name)
    _, faults = read_formula(toml_text(draft), name)
    assert not [fault for fault in faults if fault.is_error]
