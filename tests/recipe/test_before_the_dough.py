"""What stands before there is a dough: oats that soak wake no yeast, nor does a pinch of sugar take the rest along."""

from __future__ import annotations

import pytest

from proofbell.formula.read import load
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.draft import Draft
from proofbell.recipe.toml_text import toml_text

LOAF = """\
Gangway loaf
500 g flour
100 g rolled oats
40 g sugar
150 ml milk
250 ml water
10 g salt
7 g instant yeast

Method
LINES
Knead for 10 minutes. Prove for 1 hour. Shape. Prove for 40 minutes. Bake at 220C for 35 minutes.
"""


def read(lines: str) -> Draft:
    draft = read_recipe(LOAF.replace("LINES", lines))
    load(toml_text(draft).encode(), "loaf")
    return draft


def stages(draft: Draft) -> list[tuple[str, str, float]]:
    return [(stage.name, str(stage.kind), stage.seconds / 60) for stage in draft.stages][:-5]


@pytest.mark.parametrize(
    ("lines", "minutes"),
    [
        ("Soak the oats in the hot milk for 20 min. Mix in everything else.", 26),
        ("Pour the milk over the oats and let them stand for 15 minutes. Add all the rest and mix.", 21),
        ("Stir the oats into the warm milk. Leave to swell for 30 minutes. Mix in the rest.", 36),
        ("Tip the oats into the milk and water, set aside for 10 minutes, then add the rest and mix.", 16),
        ("Steep the oats in the milk for 25 minutes. Mix in flour, water, yeast, sugar and salt.", 31),
    ],
)
def test_a_short_soak_is_told_with_the_mixing(lines: str, minutes: float) -> None:
    draft = read(lines)
    assert stages(draft) == [("Mix", "hands", minutes), ("Knead", "hands", 10)]
    assert {part.at for part in draft.dough} == {""}


def test_a_long_soak_is_a_rest_of_its_own_and_all_else_comes_after_it() -> None:
    draft = read("Steep the oats in the milk overnight.\nNext day mix in the flour, water, yeast, sugar and salt.")
    assert stages(draft) == [("Soak", "rest", 720), ("Mix", "hands", 6), ("Knead", "hands", 10)]
    assert {part.name for part in draft.dough if not part.at} == {"rolled oats", "milk"}
    assert {part.at for part in draft.dough if part.at} == {"Mix"}


def test_flour_left_in_water_rests() -> None:
    draft = read("Mix flour and water and leave for 20 minutes. Add salt, milk, sugar, oats and yeast.")
    assert stages(draft)[:2] == [("Mix", "hands", 6), ("Rest", "rest", 20)]


@pytest.mark.parametrize(
    ("said", "at"),
    [
        ("a pinch of the sugar", "Mix"),
        ("a little of the sugar", "Mix"),
        ("1 tsp of the sugar", "Mix"),
        ("a spoonful of sugar", "Mix"),
        ("a touch of your sugar", "Mix"),
        ("the sugar", ""),
    ],
)
def test_a_little_of_it_with_the_yeast_leaves_the_rest_for_later(said: str, at: str) -> None:
    draft = read(
        f"Stir the yeast into the warm water with {said}, leave for 10 minutes until frothy.\n"
        "Add the flour, milk, oats, salt and the rest of the sugar and mix."
    )
    assert stages(draft)[:2] == [("Wake the yeast", "hands", 10), ("Mix", "hands", 6)]
    assert next(part.at for part in draft.dough if part.name == "sugar") == at
