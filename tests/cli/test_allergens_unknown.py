"""Where a list of allergens is shown, it says what is not known: as a command, on the bench, in the log, on paper."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from proofbell.app.weigh.weigh_words import allergen_words
from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.cli import main
from proofbell.formula.model import Ingredient
from proofbell.kitchen.model import Kitchen
from tests.support.bakes import house
from tests.support.stage import FORMULAS

MAYONNAISE = """
[[ingredients]]
name = "mayonnaise"
kind = "other"
use = "finish"
each = "5 g"
"""


@pytest.fixture
def knots(tmp_path: Path) -> str:
    text = (FORMULAS / "harbour-knots.toml").read_text(encoding="utf-8")
    path = tmp_path / "knots.toml"
    path.write_text(text.replace("[[stages]]", f"{MAYONNAISE}\n[[stages]]", 1), encoding="utf-8")
    return str(path)


@pytest.mark.parametrize("command", [["weigh"], ["shop"], ["plan", "--ready", "23:00"]])
def test_a_command_says_so_beside_each_list(command: list[str], knots: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([command[0], knots, *command[1:]]) in (0, 1)
    said = " ".join(capsys.readouterr().out.split())
    assert said.count("; not known: mayonnaise") == said.count("Allergens") > 0


@pytest.mark.parametrize("command", ["weigh", "shop", "plan"])
def test_their_json_has_it_as_a_field_of_its_own(command: str, knots: str, capsys: pytest.CaptureFixture[str]) -> None:
    more = ["--ready", "23:00"] if command == "plan" else []
    assert main([command, knots, *more, "--json"]) in (0, 1)
    told = json.loads(capsys.readouterr().out)
    listed = told["bakes"][0]["allergens"] if command == "plan" else told["allergens"]
    listed = listed[0] if command == "shop" else listed
    assert listed["unknown"] == ["mayonnaise"]
    assert "milk" in listed["eu"]


def test_the_wall_sheet_names_it_on_the_card(knots: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["plan", knots, "--ready", "23:00", "--sheet"]) in (0, 1)
    assert "not known: mayonnaise" in " ".join(capsys.readouterr().out.split())


def test_the_weigh_out_of_the_bench_and_its_caution_name_it() -> None:
    own = replace(house("harbour-knots"), outside=(Ingredient("mayonnaise", 0, "other", use="finish", each_g=5),))
    out = weigh_out(own, Kitchen())
    assert allergen_words(out)[0].plain.endswith("milk; not known: mayonnaise")
    (caution,) = (each for each in out.notes.cautions if each.about == "allergens")
    assert "not known: mayonnaise" in caution.text


def test_an_egg_that_names_only_milk_is_in_the_list_of_the_weigh_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = (FORMULAS / "harbour-knots.toml").read_text(encoding="utf-8").replace('contains = ["egg"]', "", 1)
    path = tmp_path / "knots.toml"
    path.write_text(text, encoding="utf-8")
    assert main(["weigh", str(path), "--json"]) == 0
    assert "egg" in json.loads(capsys.readouterr().out)["allergens"]["eu"]
    assert main(["check", str(path)]) == 0
    said = capsys.readouterr()
    assert 'contains = ["egg"]' in said.out + said.err
