"""A card written by hand: its words are read as they are meant, and it is said which."""

from __future__ import annotations

import pytest

from proofbell.formula.read import load
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.reading.spelling import spelled
from proofbell.recipe.toml_text import toml_text

CARD = """\
nans bred
1 lb flower
half pint milk
1 oz yest
2 oz shuger
tsp salt
hand full curants

creem yest with a litle warm milk
mix to a soft dow & need well
leave to rise till dubble
nock back and put in tin
let rise agen
bake in hot oven 40 mins
"""


def test_a_card_in_poor_spelling_becomes_a_bread() -> None:
    draft = read_recipe(CARD)
    load(toml_text(draft), "bread")
    assert {part.name: part.kind for part in draft.dough} == {
        "flour": "flour", "milk": "milk", "yeast": "yeast", "sugar": "sugar", "salt": "salt", "currants": "other",
    }  # fmt: skip
    assert next(part.amount for part in draft.dough if part.name == "salt") == pytest.approx(6.1, abs=0.2)
    assert [(stage.name, stage.kind) for stage in draft.stages] == [
        ("Mix", "hands"), ("Knead", "hands"), ("First proof", "proof"), ("Knock back", "hands"),
        ("Second proof", "proof"), ("Bake", "bake"), ("Cool", "cool"),
    ]  # fmt: skip
    assert draft.allergens == ("milk", "wheat")
    assert draft.unread == ()


def test_each_word_that_was_read_as_another_is_told_and_what_is_in_it_is_asked_about() -> None:
    guesses = {guess.field: guess for guess in read_recipe(CARD).guesses if guess.why.startswith("spelling")}
    assert [(guesses[word].line, guesses[word].value, guesses[word].ask) for word in ("flower", "yest", "dow")] == [
        (2, "flour", True), (4, "yeast", True), (10, "dough", False),
    ]  # fmt: skip
    assert {word for word, guess in guesses.items() if guess.ask} == {"flower", "yest", "shuger", "curants"}


@pytest.mark.parametrize(("word", "held"), [("seseme seeds", "sesame"), ("almands", "almond"), ("buter", "milk")])
def test_an_allergen_is_one_in_any_spelling(word: str, held: str) -> None:
    draft = read_recipe(f"Loaf\n500 g flour\n300 ml water\n30 g {word}\nKnead. Bake 30 min at 200C.")
    assert (held in draft.allergens, draft.unknown) == (True, ())


@pytest.mark.parametrize(
    "line",
    ["1 tbsp orange flower water", "2 tsp sunflower oil", "You will need for the dough:", "6 elderflower heads",
     "3 tbsp crème fraîche", "all that you need"],
)  # fmt: skip
def test_what_is_spelt_well_stays(line: str) -> None:
    assert spelled(line) == (line, [])


def test_a_card_that_measures_in_mugs_is_weighed_and_each_is_asked_about() -> None:
    listed = "2 mugs strong flour\n1 mug milk\n1 sachet fast yeast\n2 dessertspoons sugar\n1 tsp salt"
    draft = read_recipe(f"Plait\n{listed}\nKnead. Bake 30 min.")
    flour, milk, _, sugar, _ = (part.amount or 0.0 for part in draft.dough)
    assert [flour, milk, sugar] == pytest.approx([330, 309, 17], rel=0.1)
    asked = {guess.field: guess.why for guess in draft.open if "taken as" in guess.why}
    assert asked == {
        "strong flour": "a mug taken as 300 ml", "milk": "a mug taken as 300 ml",
        "sugar": "a dessertspoon taken as 10 ml",
    }  # fmt: skip
