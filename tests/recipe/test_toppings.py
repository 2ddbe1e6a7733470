"""What goes on the piece, listed in a line of its own: an ingredient with its allergens, not a heading of nothing."""

from __future__ import annotations

import pytest

from proofbell.formula.read import load
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.draft import Draft
from proofbell.recipe.toml_text import toml_text

BUNS = """\
Slip buns
500 g strong white flour
300 ml water
7 g instant yeast
LISTED
10 g salt

Method
Mix everything and knead for 10 minutes. Prove for 1 hour. Divide into 8 and shape. Prove for 45 minutes.
Bake at 200C for 18 minutes.
"""


def on_top(draft: Draft) -> dict[str, tuple[str, ...]]:
    load(toml_text(draft), "buns")
    return {part.name.lower(): part.contains for part in draft.outside if part.use == "finish"}


EGG, SESAME = ("egg",), ("sesame",)


@pytest.mark.parametrize(
    ("line", "tops"),
    [
        ("egg wash", {"egg wash": EGG}),
        ("- Egg-wash (optional)", {"egg-wash": EGG}),
        ("egg wash, to finish", {"egg wash": EGG}),
        ("Egg wash: 1 egg", {"egg": EGG}),
        ("Egg wash (1 egg + 1 tbsp milk)", {"egg": EGG, "milk": ("milk",)}),
        ("egg wash, sesame seeds and flaky salt", {"egg wash": EGG, "sesame seeds": SESAME, "flaky salt": ()}),
        ("To finish: egg wash", {"egg wash": EGG}),
        ("For the glaze: 1 beaten egg", {"egg": EGG}),
        ("Glaze: 1 egg yolk, beaten with 1 tbsp cream", {"egg yolk": EGG, "cream": ("milk",)}),
        ("For glazing: milk", {"milk": ("milk",)}),
        ("Topping: 2 tbsp sesame seeds and 1 tbsp poppy seeds", {"sesame seeds": SESAME, "poppy seeds": ()}),
        ("beaten egg, to glaze", {"egg": EGG}),
        ("sesame seeds to sprinkle", {"sesame seeds": SESAME}),
        ("Sesame seeds for topping", {"sesame seeds": SESAME}),
    ],
)
def test_a_line_of_its_own_is_what_goes_on_top_and_what_follows_stays_in_the_dough(
    line: str, tops: dict[str, tuple[str, ...]]
) -> None:
    draft = read_recipe(BUNS.replace("LISTED", line))
    assert on_top(draft) == tops
    assert [part.name for part in draft.dough] == ["strong white flour", "water", "instant yeast", "salt"]
    assert (draft.open, draft.unread) == ((), ())


@pytest.mark.parametrize("heading", ["For the egg wash", "Egg wash:", "Egg wash", "EGG WASH", "For the glaze"])
def test_a_heading_with_its_list_under_it_stays_one(heading: str) -> None:
    text = BUNS.replace("LISTED\n", "").replace("\nMethod", f"\n{heading}\n1 egg\n1 tbsp milk\n\nMethod")
    draft = read_recipe(text)
    assert on_top(draft) == {"egg": EGG, "milk": ("milk",)}
    assert [part.amount for part in draft.outside] == [51.0, pytest.approx(15.5, abs=0.1)]


def test_a_heading_of_the_top_with_nothing_under_it_is_shown_as_not_read() -> None:
    text = BUNS.replace("LISTED\n", "").replace("\nMethod", "\nFor the glaze\n\nMethod")
    assert [(each.line, each.text) for each in read_recipe(text).unread] == [
        (7, "For the glaze: nothing is listed under it")
    ]


def test_one_that_names_a_thing_is_that_thing() -> None:
    text = BUNS.replace("LISTED\n", "").replace("\nMethod", "\nFor the egg wash\n\nMethod")
    assert on_top(read_recipe(text)) == {"egg wash": EGG}


def test_what_is_done_with_it_is_a_step() -> None:
    text = BUNS.replace("LISTED\n", "").replace("\nMethod\n", "\n").replace(
        "Bake at", "To finish: brush with milk.\nBake at"
    )  # fmt: skip
    draft = read_recipe(text)
    assert "brush with milk" in next(stage.loading for stage in draft.stages if stage.kind == "bake").lower()
    assert on_top(draft) == {"milk": ("milk",)}


def test_of_seeds_without_an_amount_each_piece_gets_some_and_of_salt_little_in_all() -> None:
    draft = read_recipe(BUNS.replace("LISTED", "egg wash, sesame seeds and flaky salt"))
    assert [(part.name, part.each_g) for part in draft.outside] == [
        ("egg wash", 4.0), ("sesame seeds", 3.0), ("flaky salt", None),
    ]  # fmt: skip
    assert [guess.value for guess in draft.guesses if guess.field == "sesame seeds"] == ["3 g a piece"]


def test_what_is_brushed_on_is_told_when_it_is_done() -> None:
    text = BUNS.replace("LISTED", "egg wash").replace(
        "Prove for 1 hour.", "Brush a bowl with oil, put it in and prove for 1 hour."
    )
    late = read_recipe(text.replace("Bake at", "Egg wash the buns. Slash them. Bake at"))
    bake = next(stage for stage in late.stages if stage.kind == "bake")
    assert (bake.loading, bake.text) == ("Egg wash the buns. Slash them", "Bake at 200C for 18 minutes")
    assert load(toml_text(late), "buns").stages[-2].loading == "Egg wash the buns. Slash them."
    told = {stage.name: stage.text for stage in late.stages}
    assert told["First proof"].startswith("Brush a bowl with oil")
    soon = read_recipe(text.replace("shape. Prove", "shape. Egg wash them. Prove"))
    assert [(stage.name, stage.loading, stage.text) for stage in soon.stages][-3:-1] == [
        ("Final proof", "", "Egg wash them. Prove for 45 minutes"),
        ("Bake", "", "Bake at 200C for 18 minutes"),
    ]
