"""What is typed wrongly on the command line is met with what can be typed instead."""

from __future__ import annotations

from pathlib import Path

import pytest

from proofbell.cli import main


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["plan", "harbour-knots", "--ready", "18:00", "--sheet", "day.html"], "Did you mean --html day.html?"),
        (["journal", "week", "--since", "2026-03-09"], '"proofbell journal week --help" shows what it takes.'),
        (["journal", "week", "--form", "2026-03-09"], "Did you mean --from?"),
        (["plan", "harbour-knots", "--ready", "18:00", "day.ics"], "Did you mean --ics day.ics?"),
        (["weigh", "Harbour", "knots"], "Did you mean harbour-knots?"),
        (["weigh", "harbour knots"], "Did you mean harbour-knots?"),
        (["shop", "Harbour", "knots"], "Did you mean harbour-knots?"),
        # By hand: a tonne of dough in pieces of 75 g with 2 % left on bowl and hands, 76.53 g each.
        (["weigh", "harbour-knots", "--pieces", "999999999"], "The greatest number of pieces of this weight is 13066."),
        (["weigh", "quay-pan-loaf", "--tins", "9999999"], "The greatest number is 999999."),
    ],
)
def test_what_was_typed_wrongly_is_met_with_what_can_be_typed(
    arguments: list[str], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == 2
    assert told in capsys.readouterr().err


@pytest.mark.parametrize("command", ["weigh", "check", "plan", "start"])
def test_a_recipe_is_no_formula_and_the_way_to_one_is_said(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    recipe = tmp_path / "recipe.txt"
    recipe.write_text("Slipway loaf\n500 g strong flour\n300 g water\nBake at 200C = hot oven\n", encoding="utf-8")
    assert main([command, str(recipe)]) == 2
    told = capsys.readouterr().err
    assert "it looks like a recipe" in told
    assert "Make one of it: proofbell new --own --from" in told
    recipe.write_text('name = "Slipway loaf"\n500 g strong flour\n', encoding="utf-8")
    assert main([command, str(recipe)]) == 2
    assert "looks like a recipe" not in capsys.readouterr().err
