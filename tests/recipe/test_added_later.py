"""What goes into the dough later, by the plain words of a method; where they are not plain, all goes in at once."""

from __future__ import annotations

import pytest

from proofbell.formula.read import load
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.toml_text import toml_text

WOKEN = """\
Harbour milk loaf
500 g strong white flour
250 ml whole milk
1 egg
50 g butter
1 tbsp sugar
7 g sachet dried yeast
9 g fine salt

Method
Stir the yeast into the warm milk with a spoonful of the sugar and leave for 10 minutes until frothy.
Mix in the flour, egg, salt and the rest of the sugar to a dough.
Knead for 10 minutes, then add the butter bit by bit and knead for another 5 minutes.
Prove for 1 hour. Shape into a loaf, prove for 45 minutes. Bake at 190C for 30 minutes.
"""


def test_what_wakes_the_yeast_goes_first_the_flour_with_the_next_and_butter_when_it_is_added() -> None:
    # As the sentences say, by hand.
    draft = read_recipe(WOKEN)
    assert {part.name: part.at for part in draft.dough} == {
        "dried yeast": "", "whole milk": "", "sugar": "",
        "strong white flour": "Mix", "egg": "Mix", "fine salt": "Mix", "butter": "Knead",
    }  # fmt: skip
    assert load(toml_text(draft).encode(), "loaf").name == "Harbour milk loaf"


@pytest.mark.parametrize(
    ("said", "instead"),
    [
        ("Stir the yeast into the warm milk with", "Stir the yeast and a handful of flour into the warm milk with"),
        ("into the warm milk with", "into a little warm water with"),
        ("Mix in the flour, egg, salt and the rest of the sugar", "Mix everything"),
    ],
)
def test_where_it_is_not_plain_what_wakes_with_the_yeast_all_goes_in_as_the_dough_is_begun(
    said: str, instead: str
) -> None:
    draft = read_recipe(WOKEN.replace(said, instead))
    assert {part.at for part in draft.dough if part.kind in ("flour", "milk", "yeast", "egg")} == {""}


RESTED = """\
Slip loaf
450 g white flour
300 g water
9 g salt
30 g butter
6 g instant yeast

Method
Stir flour, yeast and water togetherSIGN. Rest for 20 minutes.
Add the salt and butter and knead for 8 minutes.
Prove for 1 hour. Shape. Prove for 45 minutes. Bake at 230C for 35 minutes.
"""


@pytest.mark.parametrize(
    "sign",
    [
        "",
        " until no dry flour is left",
        " until there are no dry bits",
        " until all the flour is wet",
        " till everything is moist",
        ", so that no dry patches remain",
        " until well mixed and nothing is dry any more",
        " just until the dry ingredients vanish, then cover",
        " until it holds together and could take the salt, and cover",
    ],
)
def test_a_sign_names_nothing_that_goes_in(sign: str) -> None:
    draft = read_recipe(RESTED.replace("SIGN", sign))
    assert {part.name: part.at for part in draft.dough} == {
        "white flour": "", "water": "", "instant yeast": "", "salt": "Add salt", "butter": "Add salt",
    }  # fmt: skip


def test_what_is_to_be_done_after_a_sign_counts() -> None:
    said = " until no dry flour is left, then add all the rest"
    assert {part.at for part in read_recipe(RESTED.replace("SIGN", said)).dough} == {""}


AUTOLYSED = """\
Shingle loaf

Levain
20 g ripe starter
60 g strong white flour
60 g water

Dough
440 g strong white flour
300 g water
all of the levain
10 g salt

Method
Mix the levain the evening before and leave for 10 hours.
METHOD
Prove for 4 hours. Shape. Prove for 2 hours. Bake at 240C for 40 minutes.
"""


@pytest.mark.parametrize(
    ("method", "levain", "salt"),
    [
        ("Mix flour and water. Rest 45 minutes. Add the levain and salt.", "Add levain", "Add levain"),
        ("Mix flour and water, leave for 30 minutes. Knead in the levain and salt.", "Knead", "Knead"),
        ("Mix flour and water. Rest 30 minutes. Pour over the starter, sprinkle on the salt and knead for 8 minutes.",
         "Add starter", "Add starter"),
        (("Autolyse the flour and water for 1 hour. Spread the levain on top, work it in. Rest 30 minutes. "
         "Sprinkle over the salt and fold."), "Knead", "Add salt"),
        ("Mix flour and water. Rest an hour. Work in the levain, then after 20 minutes the salt.",
         "Add levain", "Add levain"),
        ("Loosen the levain in the water and mix in the flour. Rest 30 minutes. Add the salt.", "", "Add salt"),
        ("Mix everything. Rest 30 minutes. Knead for 8 minutes.", "", ""),
        ("Mix flour, water and levain. Rest 30 minutes. Add the salt.", "", "Add salt"),
    ],
)  # fmt: skip
def test_a_levain_that_comes_after_flour_and_water_have_rested_is_weighed_then(
    method: str, levain: str, salt: str
) -> None:
    draft = read_recipe(AUTOLYSED.replace("METHOD", method))
    assert {part.name: part.at for part in draft.dough} == {
        "levain": levain, "strong white flour": "", "water": "", "salt": salt,
    }  # fmt: skip
    formula = load(toml_text(draft), "loaf")
    first = formula.stages[formula.dough_begins or 0]
    assert (first.name, first.kind) == ("Mix", "hands")


@pytest.mark.parametrize(
    ("list_", "method"),
    [
        ("6 g instant yeast\n", "Mix the flour and water and leave 30 minutes. Add the salt and yeast"),
        ("6 g instant yeast\n", "Mix the flour and water and leave 30 minutes. Sprinkle over the salt and yeast"),
    ],
)
def test_before_anything_raises_it_a_dough_rests_and_does_not_prove(list_: str, method: str) -> None:
    text = f"Loaf\n500 g flour\n320 g water\n9 g salt\n{list_}\nMethod\n{method} and knead for 8 minutes."
    draft = read_recipe(f"{text} Prove for 1 hour. Shape. Prove for 45 minutes. Bake at 230C for 35 minutes.")
    assert [(stage.name, stage.kind) for stage in draft.stages][:5] == [
        ("Mix", "hands"), ("Rest", "rest"), ("Add salt", "hands"), ("Knead", "hands"), ("First proof", "proof"),
    ]  # fmt: skip
    assert {part.name: part.at for part in draft.dough if part.at} == {"salt": "Add salt", "instant yeast": "Add salt"}


def test_what_is_sprinkled_on_before_the_dough_is_mixed_is_told_then_and_on_the_loaf_as_it_is_loaded() -> None:
    text = """\
Loaf
500 g flour
320 ml milk
7 g dried yeast
10 g salt
poppy seeds
Method
Sprinkle the yeast over the warm milk and leave for 10 minutes. Mix in the flour and salt and knead for 10 minutes.
Prove for 1 hour. Shape. Prove for 45 minutes. Sprinkle with poppy seeds. Bake at 200C for 30 minutes.
"""
    stages = {stage.name: stage for stage in read_recipe(text).stages}
    assert stages["Wake the yeast"].text == "Sprinkle the yeast over the warm milk. Leave for 10 minutes"
    assert stages["Bake"].loading == "Sprinkle with poppy seeds"
