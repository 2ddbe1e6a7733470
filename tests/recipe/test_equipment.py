"""Lists of what is needed beside the food: no ingredients, but a tin in them is a tin."""

from __future__ import annotations

import pytest

from proofbell.recipe.assembly import read_recipe

LOAF = (
    "Crane loaf\n{}\n500 g white flour\n330 g water\n10 g salt\n7 g instant yeast\nKnead 10 min. Bake 35 min at 220C.\n"
)
NAMES = ["white flour", "water", "salt", "instant yeast"]


@pytest.mark.parametrize(
    ("line", "tin"),
    [
        ("You will need: a large bowl, two 900 g loaf tins (2 lb), a 2 kg scale", "900 g loaf tins"),
        ("Equipment: proving basket, cast iron pot with lid, 5 kg scales", ""),
        ("You'll need a stand mixer with dough hook, a 900g tin and a probe thermometer", "900g tin"),
        ("Utensils: 2 litre mixing bowl; bench scraper; kitchen scales; 450 g loaf tin", "450 g loaf tin"),
        ("Tools: lame, baking stone, peel", ""),
        ("A 3 litre bowl, a 1 kg loaf tin, a whisk and a clean tea towel, baking paper, cling film", "1 kg loaf tin"),
        ("You will also need: 1 roll of string, a 1.5 litre jug, some kitchen paper", ""),
    ],
)
def test_a_list_of_equipment_is_no_ingredient_and_its_tin_is_one(line: str, tin: str) -> None:
    draft = read_recipe(LOAF.format(line))
    assert [part.name for part in draft.parts] == NAMES
    assert (draft.tin, draft.allergens) == (tin, ("wheat",))
    assert [each.line for each in draft.unread] == [2]


@pytest.mark.parametrize("line", ["You will need: 50 g butter, a brush", "Equipment: 50 g butter and a bowl"])
def test_food_among_it_is_food(line: str) -> None:
    draft = read_recipe(LOAF.format(line))
    assert "milk" in draft.allergens
    assert draft.unread == ()


@pytest.mark.parametrize("word", ["scale", "wholesale", "female", "tale"])
def test_a_word_that_ends_like_a_drink_is_no_ale(word: str) -> None:
    assert read_recipe(LOAF.format("") + f"Use the {word} here.\n").allergens == ("wheat",)
    assert "barley" in read_recipe(LOAF.format("") + "Brush with pale ale.\n").allergens
