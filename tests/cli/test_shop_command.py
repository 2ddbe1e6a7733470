"""``proofbell shop``: sums by hand, what is bought once and what is never bought."""

from __future__ import annotations

import json
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.cli import main
from proofbell.kitchen.model import Kitchen
from tests.support.bakes import house
from tests.support.stage import FORMULAS


def items(*formulas: str, capsys: pytest.CaptureFixture[str]) -> dict[str, tuple[float, list[str]]]:
    assert main(["shop", *formulas, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    return {item["name"]: (item["grams"], item["for"]) for item in told["items"]}


def test_what_two_doughs_share_stands_once_with_its_sum(capsys: pytest.CaptureFixture[str]) -> None:
    knots, plait = (items(name, capsys=capsys) for name in ("harbour-knots", "mooring-plait"))
    both = items("harbour-knots", "mooring-plait", capsys=capsys)
    grams, doughs = both["strong white flour"]
    assert grams == knots["strong white flour"][0] + plait["strong white flour"][0]
    assert doughs == ["Harbour knots", "Mooring plait"]
    assert both["sesame seed"] == (12, ["Mooring plait"]), "6 g on each of two pieces"


def test_a_dough_named_twice_is_made_twice(capsys: pytest.CaptureFixture[str]) -> None:
    once, twice = items("quay-pan-loaf", capsys=capsys), items("quay-pan-loaf", "quay-pan-loaf", capsys=capsys)
    assert {name: 2 * grams for name, (grams, _) in once.items()} == {name: grams for name, (grams, _) in twice.items()}


def test_a_preferment_is_bought_as_what_it_is_stirred_from(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["shop", "tidemark-sourdough", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    named = {item["name"]: item["grams"] for item in told["items"]}
    assert "ripe levain" not in named
    # 100 flour, 100 water, 20 ripe starter.
    # The levain's flour is the dough's white one too, and bought with it.
    own = weigh_out(house("tidemark-sourdough"), Kitchen())
    white = next(line.grams for line in own.lines if line.name == "strong white flour")
    assert (named["strong white flour"] - white) / named["ripe starter"] == pytest.approx(5, rel=0.02)
    assert "flour" not in named
    assert told["starter_g"] == pytest.approx(named["ripe starter"], abs=0.5)


def test_tins_are_counted_by_their_size(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["shop", "pilots-milk-buns", "quay-pan-loaf", "quay-pan-loaf"]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert "2 tins of 1620 ml" in said, "18 buns, 9 in a tin"
    assert "4 tins of 1800 ml" in said
    assert "From the fridge" in said


def test_without_a_formula_it_says_what_it_wants(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["shop"]) == 2
    assert "FORMULA" in capsys.readouterr().err


def fridge(*words: str, capsys: pytest.CaptureFixture[str]) -> list[dict[str, Any]]:
    assert main(["shop", *words, "--ready", "tomorrow 18:00", "--json"]) == 0
    told: list[dict[str, Any]] = json.loads(capsys.readouterr().out)["out_of_fridge"]
    return told


def test_with_a_time_it_says_what_leaves_the_fridge_when(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["shop", "regatta-brioche", "--json"]) == 0
    assert "out_of_fridge" not in json.loads(capsys.readouterr().out)
    outs = {each["name"]: each for each in fridge("regatta-brioche", "mooring-plait", capsys=capsys)}
    butter, milk = outs["butter"], outs["whole milk"]
    # The file reckons with butter of 16 °C and with milk from the fridge.
    assert (butter["how"], butter["wanted_c"], milk["how"]) == ("tempered", 16, "cold")
    # It is worked into a dough that has been mixed for 16 minutes.
    assert butter["earliest"] < butter["out"] < butter["latest"] < butter["used"]
    assert datetime.fromisoformat(butter["used"]) - datetime.fromisoformat(milk["used"]) == timedelta(minutes=16)
    assert milk["used"] == milk["out"]


def test_eggs_and_milk_never_stand_out_for_longer_than_two_hours(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """WHO, Five Keys to Safer Food Manual, 2006, key 4: no longer than 2 hours at room temperature."""
    text = (FORMULAS / "mooring-plait.toml").read_text("utf-8").replace("pieces = 2", "pieces = 60")
    (tmp_path / "many.toml").write_text(text, "utf-8")
    (egg,) = [each for each in fridge(str(tmp_path / "many.toml"), capsys=capsys) if each["how"] == "tempered"]
    ahead = datetime.fromisoformat(egg["used"]) - datetime.fromisoformat(egg["earliest"])
    assert egg["kind"] == "egg"
    assert ahead == timedelta(hours=2)


def test_ripe_starter_is_told_for_when_the_levain_is_stirred(capsys: pytest.CaptureFixture[str]) -> None:
    (starter,) = [each for each in fridge("tidemark-sourdough", capsys=capsys) if each["how"] == "ripe"]
    assert starter["stage"] == "Feed the levain"


def test_the_allergens_of_each_dough_stand_below_the_list_and_in_the_plan(capsys: pytest.CaptureFixture[str]) -> None:
    # By the ingredients of the files, and the order of Regulation (EU) 1169/2011, Annex II.
    doughs = ("mooring-plait", "quay-pan-loaf", "quay-pan-loaf")
    assert main(["shop", *doughs]) == 0
    lines = capsys.readouterr().out.splitlines()
    told = [line for line in lines if line.startswith("Allergens")]
    assert told == ["Allergens, Mooring plait: wheat, egg, sesame", "Allergens, Quay pan loaf: wheat, milk"]
    assert main(["plan", *doughs[:2], "--start", "in 1 h"]) in (0, 1)
    told = [line for line in capsys.readouterr().out.splitlines() if line.startswith("Allergens")]
    assert told == ["Allergens A: wheat, egg, sesame", "Allergens B: wheat, milk"]


def test_allergens_of_each_dough_are_told_to_scripts_too(capsys: pytest.CaptureFixture[str]) -> None:
    """Wheat flour, egg in and on the plait, sesame on it: Regulation (EU) 1169/2011, Annex II; FALCPA, FASTER Act."""
    assert main(["shop", "mooring-plait", "mooring-plait", "boathook-baguettes", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)["allergens"]
    assert [each["formula"] for each in told] == ["Mooring plait", "Boathook baguettes"]
    assert told[0]["eu"] == ["cereals containing gluten (wheat)", "egg", "sesame"]
    assert set(told[0]["us"]) == {"wheat", "egg", "sesame"}
