"""How long the oven is heated before a bake: kept in words where it belongs, and asked about."""

from __future__ import annotations

import pytest

from proofbell.formula.read import load
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.draft import Draft
from proofbell.recipe.toml_text import toml_text

LOAF = """\
Capstan loaf
500 g white flour
330 g water
10 g salt
7 g instant yeast

Method
Mix and knead for 10 minutes. Prove for 1 hour. Shape. Prove for 50 minutes.
HEAT
Bake for 35 minutes.
"""


def read(heat: str) -> Draft:
    draft = read_recipe(LOAF.replace("HEAT", heat))
    load(toml_text(draft).encode(), "loaf")
    return draft


@pytest.mark.parametrize(
    ("heat", "minutes"),
    [
        ("Preheat the oven with the pot to 250 °C for 45 min.", "45 min"),
        ("Heat the oven to 250 °C with a stone inside for at least 1 hour.", "1 h"),
        ("An hour before baking, heat the oven to 250 °C.", "1 h"),
        ("Put the lidded pot in the oven and preheat it to 250 °C for 40-50 minutes.", "45 min"),
        ("Preheat oven and iron pot 30 min at 250 °C.", "30 min"),
        ("Half an hour before you bake, heat the oven to 250 °C.", "30 min"),
    ],
)
def test_a_length_of_heating_is_told_before_the_bake_and_asked_about(heat: str, minutes: str) -> None:
    draft = read(heat)
    kinds = [(stage.kind, stage.seconds / 60) for stage in draft.stages[-3:]]
    assert kinds == [("proof", 50), ("bake", 35), ("cool", 90)]
    assert draft.oven_c == 250
    assert heat.rstrip(".").split(", ")[-1].split(" and ")[-1] in draft.stages[-3].text
    assert [guess.value for guess in draft.open if guess.field == "oven, heated for"] == [minutes]


def test_heating_without_a_length_asks_nothing() -> None:
    draft = read("Meanwhile heat the oven to 250 °C.")
    assert not [guess for guess in draft.guesses if guess.field == "oven, heated for"]
    assert draft.stages[-3].text == "Prove for 50 minutes"


def test_a_rest_before_baking_is_no_bake_of_its_own() -> None:
    draft = read("Rest for 10 minutes before baking.")
    assert [stage.kind for stage in draft.stages].count("bake") == 1
