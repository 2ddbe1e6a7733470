"""What is bought as a mixture is asked about, wherever it is used; until then its file says that nobody knows."""

from __future__ import annotations

import pytest

from proofbell.formula.foods.contains import not_known
from proofbell.formula.read import load, read_formula
from proofbell.recipe.answers import Answers, Key, read_answer
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.draft import Draft
from proofbell.recipe.toml_text import toml_text

DOUGH = "Ropewalk buns\n\n500 g strong flour\n320 ml water\n10 g salt\n7 g instant yeast\n"
METHOD = "\nKnead 10 min. Prove 1 hour. Shape into 8 buns. Bake 20 min at 200C.\n"
TOPPED = f"{DOUGH}\nFor the topping:\n30 g mayonnaise\n20 g pesto\n10 ml soy sauce\n{METHOD}"


def asked(draft: Draft) -> dict[str, str]:
    return {guess.field: guess.why for guess in draft.open if guess.takes == "allergens"}


def answered(text: str, said: dict[str, str]) -> Draft:
    told: dict[Key, str] = {}
    for guess in read_recipe(text).guesses:
        if guess.field in said:
            told[Answers.to(text, None).key(guess.line, guess.field)] = read_answer(guess, said[guess.field])
    return read_recipe(text, said=told)


def test_what_goes_on_top_is_asked_about_as_in_the_dough_with_a_hint() -> None:
    why = asked(read_recipe(TOPPED))
    assert set(why) == {"mayonnaise, allergens", "pesto, allergens", "soy sauce, allergens"}
    assert "usually egg, mustard" in why["mayonnaise, allergens"]


@pytest.mark.parametrize("name", ["mixed seeds", "margarine", "soy sauce", "pesto", "granary flour", "dark chocolate"])
def test_a_mixture_in_the_dough_is_asked_about(name: str) -> None:
    draft = read_recipe(f"{DOUGH}40 g {name}\n{METHOD}")
    assert set(asked(draft)) == {f"{name}, allergens"}
    assert draft.unknown == (name,)


def test_a_hint_is_no_answer_and_the_file_carries_what_is_open() -> None:
    draft = read_recipe(TOPPED)
    assert draft.allergens == ("soya", "wheat")  # Soy sauce is a product of soya whoever makes it.
    assert draft.unknown == ("mayonnaise", "pesto", "soy sauce")
    formula = load(toml_text(draft), "buns")
    assert not_known(formula) == ("mayonnaise", "pesto", "soy sauce")
    _, faults = read_formula(toml_text(draft).encode(), "buns.toml")
    assert len([fault for fault in faults if "Nobody has said" in fault.message]) == 3


def test_an_answer_is_in_the_file_even_where_it_is_none() -> None:
    said = {"mayonnaise, allergens": "egg, mustard", "pesto, allergens": "none", "soy sauce, allergens": "soya, wheat"}
    draft = answered(TOPPED, said)
    assert (asked(draft), draft.unknown) == ({}, ())
    formula = load(toml_text(draft), "buns")
    assert not_known(formula) == ()
    contains = {line.name: line.contains for line in formula.outside}
    assert contains == {"mayonnaise": ("egg", "mustard"), "pesto": (), "soy sauce": ("soya", "wheat")}
    assert "contains = []" in toml_text(draft)


def test_what_stands_in_dough_and_topping_is_asked_about_in_both() -> None:
    draft = read_recipe(f"{DOUGH}40 g mixed seeds\n\nFor the topping:\n20 g mixed seeds\n{METHOD}")
    assert [guess.line for guess in draft.open if guess.takes == "allergens"] == [7, 10]


def test_what_has_no_amount_is_asked_about_too() -> None:
    draft = read_recipe(f"{DOUGH}mixed seeds\n{METHOD}")
    assert "mixed seeds, allergens" in asked(draft)
    assert draft.unknown == ("mixed seeds",)


def test_plain_foods_and_those_with_a_known_allergen_are_not_asked_about() -> None:
    names = ("butter", "poppy seeds", "olive oil", "walnuts", "raisins", "sesame seeds", "milk", "sugar", "rosemary")
    draft = read_recipe(DOUGH + "".join(f"20 g {name}\n" for name in names) + METHOD)
    assert asked(draft) == {}
    assert not_known(load(toml_text(draft), "buns")) == ()
