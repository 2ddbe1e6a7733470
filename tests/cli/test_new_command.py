"""``proofbell new``: what it prints and writes, where, and its exit status."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path

import pytest

from proofbell.cli import main
from proofbell.formula.read import load

RECIPE = """\
Quay buns
Makes 8
500g strong white bread flour
1 x 7g sachet fast-action dried yeast
1½ tsp fine salt
300ml milk
1 egg, beaten, to glaze
Knead for 10 minutes. Prove for 1 hour. Shape into 8 rolls. Prove for 40 minutes.
Brush with egg and bake at 200C for 18 minutes. Blorp the wibble.
Xyzzy plugh
"""


@pytest.fixture
def recipe(tmp_path: Path) -> Path:
    path = tmp_path / "recipe.txt"
    path.write_text(RECIPE, encoding="utf-8")
    return path


def test_a_formula_is_written_that_check_accepts(
    recipe: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "buns.toml"
    assert main(["new", "--from", str(recipe), "--out", str(out)]) == 0
    said = capsys.readouterr()
    assert said.out == f"{out}: written.\n"
    assert "guess: line 5: fine salt 9.1 g (1.5 tsp" in said.err
    assert "not read: line 10: Xyzzy plugh" in said.err
    assert main(["check", str(out)]) == 0
    formula = load(out.read_bytes(), str(out))
    assert (formula.name, formula.batch.pieces) == ("Quay buns", 8)


def test_without_a_place_it_is_printed(recipe: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", "--from", str(recipe), "--name", "Pier buns"]) == 0
    text = capsys.readouterr().out
    assert load(text, "printed").name == "Pier buns"
    assert "# guess: no time written" in text


def test_a_dash_is_standard_output_and_no_files_name(
    recipe: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["new", "--from", str(recipe), "--out", "-"]) == 0
    assert load(capsys.readouterr().out, "printed").name == "Quay buns"
    assert main(["check", "-"]) == 2
    assert "- names no file here" in capsys.readouterr().err
    assert not Path("-").exists()


def test_an_own_formula_is_found_by_its_name_and_goes_before_a_house_formula(
    recipe: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("PROOFBELL_KITCHEN", str(tmp_path / "kitchen.toml"))
    assert main(["new", "--from", str(recipe)]) == 0
    assert f"--own writes it into {tmp_path / 'formulas'}\n" in capsys.readouterr().err
    for name in ("Pier buns", "Harbour knots"):
        assert main(["new", "--from", str(recipe), "--own", "--name", name]) == 0
    assert capsys.readouterr().out.splitlines()[0] == f"{tmp_path / 'formulas' / 'pier-buns.toml'}: written."
    assert main(["weigh", "pier-buns"]) == 0
    assert "8 × " in capsys.readouterr().out
    assert main(["weigh", "harbour-knots"]) == 0
    assert "your own formula, not the house formula" in capsys.readouterr().err
    assert main(["weigh", "pier-bun"]) == 2
    assert "pier-buns" in capsys.readouterr().err

    (tmp_path / "kitchen.toml").write_text('formulas = ["mine", "formulas"]\n', encoding="utf-8")
    assert main(["new", "--from", str(recipe), "--own"]) == 0
    assert (tmp_path / "mine" / "quay-buns.toml").is_file()
    assert main(["check", "quay-buns", "pier-buns"]) == 0


def test_nothing_is_replaced(recipe: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "there.toml"
    out.write_text("mine", encoding="utf-8")
    assert main(["new", "--from", str(recipe), "--out", str(out)]) == 2
    assert "there already" in capsys.readouterr().err
    assert out.read_text(encoding="utf-8") == "mine"


def test_standard_input_and_country(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    text = RECIPE.replace("300ml milk", "1 cup milk\n3 tbsp water")
    for country, grams in (("us", 244.0), ("au", 257.8)):
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))
        assert main(["new", "--from", "-", "--country", country, "--json"]) == 0
        said = capsys.readouterr()
        document = json.loads(said.out)
        milk = next(each for each in document["formula"]["ingredients"] if each["name"] == "milk")
        assert float(milk["weight"].removesuffix(" g")) == pytest.approx(grams, abs=0.2)
        assert said.err == ""


def test_json_has_every_guess_and_what_was_not_read(recipe: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", "--from", str(recipe), "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["country"] == "uk"
    assert document["allergens"] == ["egg", "milk", "wheat"]
    assert document["totals"]["hydration_percent"] == pytest.approx(61.86)
    assert {"line": 10, "text": "Xyzzy plugh"} in document["unread"]
    assert set(document["guesses"][0]) == {"line", "field", "value", "why", "ask"}
    assert [each["use"] for each in document["outside"]] == ["finish"]
    assert document["file"] is None
    out = recipe.parent / "made.toml"
    assert main(["new", "--from", str(recipe), "--out", str(out), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["file"] == str(out)
    assert out.exists()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--json"], "--from"),
        (["--from", "no-such-file.txt"], "There is no file"),
        (["--from", "/"], "a folder"),
        (["--from", "{recipe}", "--country", "mars"], "country"),
        (["--from", "{empty}"], "nothing is in it"),
        (["--from", "{latin}"], "UTF-8"),
        (["--from", "{recipe}", "--out", "{folder}/no/such/place.toml"], "cannot be written"),
    ],
)
def test_what_cannot_be_done_is_said(
    arguments: list[str], words: str, recipe: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    empty, latin = tmp_path / "empty.txt", tmp_path / "latin.txt"
    empty.write_text(" \n", encoding="utf-8")
    latin.write_bytes(b"500 g flour, cr\xe8me")
    named = {"recipe": recipe, "empty": empty, "latin": latin, "folder": tmp_path}
    status = main(["new", *(each.format(**named) for each in arguments)])
    assert status == (1 if "written" in words else 2)
    assert words in capsys.readouterr().err


@pytest.mark.parametrize("how", [[], ["--json"], ["--out", "buns.toml"]])
def test_a_recipe_without_a_bake_is_warned_of(
    how: list[str], recipe: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(recipe.parent)
    recipe.write_text(RECIPE.replace("Brush with egg and bake at 200C for 18 minutes. ", ""), encoding="utf-8")
    assert main(["new", "--from", str(recipe), *how]) == 0
    assert "no bake was found in the recipe" in capsys.readouterr().err
