"""An allergen that any line or step names is asked about, and in the formula until that is answered.

Annex II of Regulation (EU) 1169/2011 wants every one declared, whatever a piece holds of it.
"""

from __future__ import annotations

import pytest

from proofbell.formula.read import read_formula
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.draft import Draft
from proofbell.recipe.toml_text import toml_text

ROLLS = "Quay rolls\n500 g strong flour\n320 ml water\n10 g salt\n7 g sachet of dried yeast\n"


def asked(draft: Draft) -> list[str]:
    return [guess.field for guess in draft.guesses if guess.ask and guess.field.endswith(", use")]


@pytest.mark.parametrize(
    ("more", "held"),
    [
        ("egg wash\nKnead 10 min. Bake 20 min at 200C.", {"egg"}),
        ("beaten egg, for brushing\nsesame seeds, to sprinkle\nBake 20 min at 200C.", {"egg", "sesame"}),
        ("milk and egg for brushing\nBake 20 min at 200C.", {"egg", "milk"}),
        ("Knead. Brush with beaten egg and sprinkle with sesame seeds. Bake 20 min at 200C.", {"egg", "sesame"}),
        ("beaten egg\npoppy seeds, sesame seeds\nBake 20 min at 200C.", {"egg", "sesame"}),
        ("Brush with soya milk. Bake 20 min at 200C.", {"soya"}),
    ],
)
def test_whatever_names_an_allergen_it_is_in_the_formula(more: str, held: set[str]) -> None:
    draft = read_recipe(ROLLS + more)
    assert set(draft.allergens) == {"wheat"} | held
    written, faults = read_formula(toml_text(draft), "rolls.toml")
    assert written is not None, faults
    contained = {name for line in (*written.ingredients, *written.outside) for name in line.contains}
    assert contained == {"wheat"} | held


@pytest.mark.parametrize(
    "more",
    [
        "Cream the yeast with a little water. Bake 20 min at 200C.",
        "Bake 20 min at 200C. There is no egg in it, and it is milk-free.",
    ],
)
def test_what_is_not_in_it_is_not_asked_about(more: str) -> None:
    draft = read_recipe(ROLLS + more)
    assert (set(draft.allergens), asked(draft)) == ({"wheat"}, [])


def test_it_may_be_answered_that_it_is_not_in_it() -> None:
    text = ROLLS + "Brush with beaten egg. Bake 20 min at 200C."
    (field,) = asked(read_recipe(text))
    draft = read_recipe(text, said={("Brush with beaten egg. Bake 20 min at 200C.", field): "not in it"})
    assert set(draft.allergens) == {"wheat"}


@pytest.mark.parametrize(
    ("line", "held"),
    [("20 ml walnut oil", "walnut"), ("40 g ground almonds", "almond"), ("50 g hazelnut flour", "hazelnut"),
     ("40 g nut meal", "nuts")],
)  # fmt: skip
def test_a_nut_that_is_named_is_told_by_its_name(line: str, held: str) -> None:
    draft = read_recipe(f"{ROLLS}{line}\nKnead. Bake 20 min at 200C.")
    assert draft.allergens == tuple(sorted(("wheat", held)))


def test_the_nuts_of_a_step_are_those_of_the_list() -> None:
    draft = read_recipe(f"{ROLLS}40 g hazelnuts\nKnead, fold in the nuts. Bake 20 min at 200C.")
    assert (draft.allergens, asked(draft)) == (("hazelnut", "wheat"), [])
    assert "nuts" in read_recipe(f"{ROLLS}Knead, fold in the nuts. Bake 20 min at 200C.").allergens
