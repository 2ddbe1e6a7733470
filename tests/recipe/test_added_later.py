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
