"""Headings with other words round the name, and lists that run on without one."""

from __future__ import annotations

import pytest

from proofbell.formula.read import load
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.draft import Draft
from proofbell.recipe.reading.headings import named_alone
from proofbell.recipe.toml_text import toml_text

LEVAIN = """\
Breakwater loaf

Levain
20 g ripe starter
60 g rye flour
60 g water

HEADING
440 g strong white flour
280 g water
all of the levain
9 g salt
25 g butter

Method
Mix everything and knead for 8 minutes. Prove for 3 hours. Shape. Prove for 2 hours. Bake at 230C for 40 minutes.
"""
DOUGH = {"levain": 140, "strong white flour": 440, "water": 280, "salt": 9, "butter": 25}


def grams(draft: Draft) -> dict[str, float | None]:
    load(toml_text(draft).encode(), "loaf")
    return {part.name: part.amount for part in draft.dough}


@pytest.mark.parametrize(
    "heading",
    [
        "Next morning - main dough",
        "Main dough (next morning)",
        "For the dough, next morning",
        "The next morning:",
        "The following day",
        "Day 2: the final dough",
        "On baking day, the dough",
        "Dough - Sunday 7 am",
        "The dough itself (8 hours later)",
        "Bread dough [the morning after]",
        "Ingredients for the dough, in the morning",
        "**Stage 2 / final mix**",
    ],
)
def test_a_heading_is_one_whatever_says_when_beside_it(heading: str) -> None:
    draft = read_recipe(LEVAIN.replace("HEADING", heading))
    assert grams(draft) == DOUGH
    assert draft.unread == ()
    assert next(part.made_of for part in draft.dough if part.name == "levain") == {
        "flour": 60, "water": 60, "starter": 20,
    }  # fmt: skip


@pytest.mark.parametrize("heading", ["Levain (the evening before, 9 pm)", "The night before: levain", "Day 1 - levain",
                                     "For the levain - the night before", "LEVAIN, 10 pm"])  # fmt: skip
def test_so_is_a_preferments(heading: str) -> None:
    text = LEVAIN.replace("Levain\n", f"{heading}\n", 1).replace("HEADING", "Dough")
    assert grams(read_recipe(text)) == DOUGH


def test_words_for_when_are_left_out_of_a_heading() -> None:
    assert named_alone("Main dough (next morning, 7 am)") == "Main dough"
    assert named_alone("The evening before:") == ""


@pytest.mark.parametrize("heading", ["", "What the gulls leave", "Into the wide bowl go"])
def test_a_list_that_runs_on_without_a_heading_that_is_read_is_the_doughs_and_is_asked_about(heading: str) -> None:
    draft = read_recipe(LEVAIN.replace("HEADING", heading))
    assert grams(draft) == DOUGH
    assert [guess.line for guess in draft.open if guess.field == "strong white flour, where"] == [9]


def test_a_bit_of_the_old_levain_in_the_new_one_is_no_sign_that_the_dough_begins() -> None:
    text = LEVAIN.replace("20 g ripe starter\n", "").replace("60 g water\n", "60 g water\n20 g levain\n")
    assert grams(read_recipe(text.replace("HEADING", "Dough"))) == DOUGH


@pytest.mark.parametrize(
    ("line", "name"), [("20 g butter", "butter"), ("15 g honey", "honey"), ("1 egg", "egg"), ("10 g seeds", "seeds")]
)
def test_what_a_preferment_cannot_hold_stays_in_the_dough_and_is_asked_about(line: str, name: str) -> None:
    text = LEVAIN.replace("25 g butter\n", "").replace("60 g water\n", f"60 g water\n{line}\n")
    draft = read_recipe(text.replace("HEADING", "Dough"))
    assert grams(draft).keys() == (DOUGH.keys() - {"butter"}) | {name}
    assert grams(draft)["levain"] == 140
    assert [guess.value for guess in draft.open if guess.field == f"{name}, where"] == ["in the dough"]


def test_milk_in_a_preferment_is_its_water_and_is_asked_about() -> None:
    draft = read_recipe(LEVAIN.replace("60 g water", "60 g milk").replace("HEADING", "Dough"))
    levain = next(part for part in draft.dough if part.name == "levain")
    assert (levain.made_of, levain.contains) == ({"flour": 60, "water": 60, "starter": 20}, ("rye", "milk"))
    assert any(guess.field == "milk, in the levain" for guess in draft.open)
