"""``proofbell shop``: sums by hand, what is bought once and what is never bought."""

from __future__ import annotations

import json

import pytest

from proofbell.cli import main


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
    assert named["flour"] / named["ripe starter"] == pytest.approx(5, rel=0.02)
    assert told["starter_g"] == pytest.approx(named["ripe starter"], abs=0.5)


def test_tins_are_counted_by_their_size(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["shop", "pilots-milk-buns", "quay-pan-loaf", "quay-pan-loaf"]) == 0
    said = capsys.readouterr().out
    assert "2 tins of 1620 ml" in said, "18 buns, 9 in a tin"
    assert "4 tins of 1800 ml" in said
    assert "From the fridge" in said


def test_without_a_formula_it_says_what_it_wants(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["shop"]) == 2
    assert "FORMULA" in capsys.readouterr().err
