"""A starter in the list as it goes in, and its feeding told in the method: an evening apart from the dough."""

from __future__ import annotations

import pytest

from proofbell.formula.read import load
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.draft import Draft
from proofbell.recipe.toml_text import toml_text

LOAF = """\
Bollard loaf
450 g strong white flour
330 g water
120 g active starter
10 g salt

FED
In the morning mix flour and water and leave for 45 minutes.
Add the starter and salt. Leave for 4 hours.
Shape, leave for 2 hours. Bake at 240C for 40 minutes.
"""
DOUGH = [("Mix", "hands"), ("Rest", "rest"), ("Add starter", "hands"), ("First proof", "proof"), ("Shape", "hands"),
         ("Final proof", "proof"), ("Bake", "bake"), ("Cool", "cool")]  # fmt: skip


def read(fed: str) -> Draft:
    draft = read_recipe(LOAF.replace("FED", fed))
    formula = load(toml_text(draft), "loaf")
    assert formula.dough_begins == (2 if fed else None)
    return draft


@pytest.mark.parametrize(
    ("fed", "made_of"),
    [
        ("The evening before, feed your starter: stir 20 g starter with 50 g flour and 50 g water and leave overnight.",
         {"flour": 50, "water": 50, "starter": 20}),
        ("Refresh the starter with 50 g flour and 50 g water.\nLeave it overnight.",
         {"flour": 50, "water": 50, "starter": 20}),
        ("The night before, feed the starter. Leave it for 8 hours.", {"flour": 48, "water": 48, "starter": 24}),
    ],
)  # fmt: skip
def test_it_is_fed_the_evening_before_and_goes_in_when_it_is_added(fed: str, made_of: dict[str, float]) -> None:
    draft = read(fed)
    (starter,) = [part for part in draft.dough if part.kind == "preferment"]
    assert starter.made_of == pytest.approx(made_of)
    assert (starter.name, starter.amount, starter.at) == ("active starter", 120, "Add starter")
    assert [(stage.name, stage.kind) for stage in draft.stages] == [
        ("Feed the starter", "hands"), ("Starter", "proof"), *DOUGH,
    ]  # fmt: skip
    assert [stage.made_for for stage in draft.stages[:3]] == ["active starter", "active starter", None]
    assert {part.name: part.amount for part in draft.dough if part.kind in ("flour", "water")} == {
        "strong white flour": 450, "water": 330,
    }  # fmt: skip


def test_nothing_that_is_told_of_the_feeding_is_lost() -> None:
    draft = read("Feed your starter: stir 20 g starter with 50 g flour and 50 g water and leave overnight.")
    assert draft.stages[0].text == "Feed your starter. Stir 20 g starter with 50 g flour and 50 g water"


def test_what_it_is_fed_with_is_asked_where_nobody_says() -> None:
    asked = {guess.field: guess.value for guess in read("The night before, feed the starter.").open}
    assert asked == {"active starter": "48 g flour, 48 g water, 24 g starter"}


def test_a_starter_that_nobody_feeds_is_taken_as_it_is() -> None:
    draft = read("")
    assert [(stage.name, stage.kind) for stage in draft.stages] == DOUGH


UNLISTED = LOAF.replace("120 g active starter\n", "").replace("Add the starter and salt.", "Add the salt.")


@pytest.mark.parametrize(
    "fed",
    [
        "The evening before, feed 30 g starter with 90 g flour and 90 g water. Leave overnight.",
        "The evening before, feed the starter: 30 g starter, 90 g flour and 90 g water. Leave overnight.",
        "Night before: mix 30 g starter, 90 g flour and 90 g water. Cover and leave till morning.",
        "The night before, stir 30 g starter into 90 g water and 90 g flour; leave overnight.",
    ],
)
def test_a_starter_that_the_list_forgets_is_fed_with_what_the_method_says_and_goes_in_whole(fed: str) -> None:
    draft = read_recipe(UNLISTED.replace("FED", fed))
    formula = load(toml_text(draft), "loaf")
    assert formula.dough_begins == 2
    parts = {part.name: part.amount for part in draft.dough}
    assert parts == {"strong white flour": 450, "water": 330, "salt": 10, "starter": 210}


@pytest.mark.parametrize(
    "mixed",
    [
        "Mix 100 g starter with 450 g strong white flour and 330 g water. Leave 1 hour.",
        "Mix 100 g starter with the flour and water. Leave 1 hour.",
        "Mix 100 g starter with 90 g flour, 90 g water and 10 g salt. Leave 1 hour.",
    ],
)
def test_a_starter_that_is_mixed_with_the_doughs_own_flour_is_not_being_fed(mixed: str) -> None:
    draft = read_recipe(UNLISTED.replace("FED", mixed))
    assert load(toml_text(draft), "loaf").dough_begins is None
    assert {part.name: part.amount for part in draft.dough}["starter"] == 100
