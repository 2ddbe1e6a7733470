"""What the baker says to a guess changes the formula, and outlives what is typed elsewhere."""

from __future__ import annotations

import pytest

from proofbell.app.recipe.answering import Answering
from proofbell.errors import Failure
from proofbell.formula.read import load
from proofbell.recipe.answers import NO_INGREDIENT, YES, Answers, Key, read_answer
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.draft import Draft
from proofbell.recipe.model import Guess
from proofbell.recipe.toml_text import toml_text

TEXT = """\
Slipway loaf
2 cups plain flour
1 cup water
1 tsp coarse salt
2 tsp dried yeast
1 egg
1 tbsp seaweed
Knead. Leave to prove 1 hour.
Bake 30 min.
"""


def asked(draft: Draft, field: str) -> Guess:
    return next(guess for guess in draft.guesses if guess.field == field)


def answered(said: dict[str, str], text: str = TEXT) -> Draft:
    """Read with what was typed as answers, by their fields."""
    before = read_recipe(TEXT, "us")
    answers = Answers.to(TEXT, None)
    told: dict[Key, str] = {}
    for field, typed in said.items():
        guess = asked(before, field)
        told[answers.key(guess.line, field)] = read_answer(guess, typed)
    return read_recipe(text, "us", said=told)


def grams(draft: Draft, name: str) -> float:
    found = next(part.amount for part in draft.dough if part.name == name)
    assert found is not None
    return found


@pytest.mark.parametrize(("said", "a_cup_g"), [("spooned", 120.0), ("scooped", 142.0), ("sifted", 113.0)])
def test_a_cup_of_plain_flour_by_how_it_is_filled(said: str, a_cup_g: float) -> None:
    """Beranbaum, *The Cake Bible*: 113 g sifted, 120 g spooned, 142 g dipped; to the 4 % of our own band."""
    draft = answered({"plain flour": said})
    assert grams(draft, "plain flour") == pytest.approx(2 * a_cup_g, rel=0.04)
    assert asked(draft, "plain flour").said == said
    assert not [guess for guess in draft.guesses if guess.field == "hydration"]


def test_every_kind_of_answer_stands_in_the_file_and_is_open_no_more() -> None:
    said = {
        "plain flour": "250", "coarse salt": "flakes", "dried yeast, form": "inst", "egg": "XL", "style": "other",
        "seaweed": "6 g", "seaweed, allergens": "fish, Molluscs", "Knead, time": "12", "oven temperature": "220 °C",
        "dough temperature": "24",
    }  # fmt: skip
    draft = answered(said)
    text = toml_text(draft)
    formula = load(text, "x")
    assert draft.open == ()
    assert "# open" not in text
    assert grams(draft, "plain flour") == 250
    assert grams(draft, "coarse salt") == pytest.approx(2.8, abs=0.05)  # two pages: 2.8 to 3 g a teaspoon of flakes
    assert grams(draft, "egg") == 56  # USDA 01123: an extra large egg without its shell
    assert grams(draft, "seaweed") == 6
    assert next(line.form for line in formula.ingredients if line.kind == "yeast") == "instant"
    assert (formula.style, formula.dough.temperature_c) == ("other", 24)
    assert set(next(line.contains for line in formula.ingredients if line.name == "seaweed")) == {"fish", "molluscs"}
    assert next(stage.time_s for stage in formula.stages if stage.name == "Knead") == 720
    assert 'temperature = "220 °C"\n' in text


def test_yes_keeps_the_value_and_takes_the_guess_out_of_the_file() -> None:
    before, after = read_recipe(TEXT, "us"), answered({"plain flour": YES, "dried yeast, form": YES, "proofs": YES})
    assert grams(after, "plain flour") == grams(before, "plain flour")
    assert "spooned or scooped" in toml_text(before)
    assert "spooned or scooped" not in toml_text(after)
    assert "a quarter to either side" not in toml_text(after)
    assert {guess.field for guess in after.open} == {guess.field for guess in before.open} - {
        "plain flour", "dried yeast, form",
    }  # fmt: skip


def test_a_country_is_one_guess_and_changes_every_spoon() -> None:
    text = TEXT + "3 tbsp honey\n"
    answers: dict[Key, str] = {("", "country"): "au"}
    draft = read_recipe(text, said=answers)
    assert grams(draft, "honey") == pytest.approx(3 * 20 * 1.433, rel=0.02)  # NSW Health: a tablespoon is 20 ml
    assert asked(draft, "country").value == "au"


def test_an_answer_outlives_lines_above_it_and_lapses_with_its_own() -> None:
    assert grams(answered({"plain flour": "250 g"}, f"Quay\n\n{TEXT}"), "plain flour") == 250
    draft = answered({"plain flour": "250 g"}, TEXT.replace("2 cups plain", "3 cups plain"))
    assert asked(draft, "plain flour") in draft.open


@pytest.mark.parametrize(
    ("field", "typed"),
    [("plain flour", "lots"), ("plain flour", "20 °C"), ("plain flour", "900 kg"), ("dried yeast, form", "old"),
     ("seaweed, allergens", "cats"), ("proofs", "no"), ("egg", "")],
)  # fmt: skip
def test_what_is_no_answer_is_refused_with_what_would_be(field: str, typed: str) -> None:
    with pytest.raises(Failure) as refused:
        read_answer(asked(read_recipe(TEXT, "us"), field), typed)
    assert refused.value.remedy


@pytest.mark.parametrize(("method", "said", "use"), [
    ("Mix and knead 10 min.", "", "dough"), ("Mix and knead 10 min.", "on", "finish"),
    ("Mix everything.", None, "dough"), ("Mix. Knead in the sesame.", None, "dough"),
])  # fmt: skip
def test_seeds_that_the_method_does_not_name_are_asked_about(method: str, said: str | None, use: str) -> None:
    text = f"Loaf\n500 g flour\n300 g water\n7 g instant yeast\n9 g salt\n20 g sesame seeds\n{method}\nBake 30 min."
    found = [guess for guess in read_recipe(text).guesses if guess.field == "sesame seeds, use"]
    assert [(guess.value, guess.ask) for guess in found] == ([] if said is None else [("in the dough", True)])
    told = {Answers.to(text, None).key(6, guess.field): read_answer(guess, said) for guess in found if said}
    draft = read_recipe(text, said=told)
    (sesame,) = [part for part in draft.parts if part.name == "sesame seeds"]
    assert sesame.use == use
    load(toml_text(draft), "seeds")


def test_a_line_that_is_no_ingredient_is_left_out_and_comes_back_when_that_is_taken_back() -> None:
    whole = read_recipe(TEXT, "us")
    draft = answered({"seaweed, allergens": "x"})
    assert "seaweed" in [part.name for part in whole.dough]
    assert "seaweed" not in [part.name for part in (*draft.parts, *draft.left_out)]
    assert [guess.field for guess in draft.guesses if guess.said == NO_INGREDIENT] == ["seaweed, allergens"]
    assert "seaweed" not in [guess.field for guess in draft.open]
    again = Answering()
    again.said = {Answers.to(TEXT, None).key(7, "seaweed, allergens"): NO_INGREDIENT}
    again.no_ingredient(asked(draft, "seaweed, allergens"), TEXT)
    assert again.said == {}


def test_the_only_flour_and_the_steps_cannot_be_said_to_be_no_ingredient() -> None:
    draft = read_recipe(TEXT, "us")
    assert {guess.line for guess in draft.guesses if guess.may_go} == {4, 5, 6, 7}
    with pytest.raises(Failure):
        read_answer(asked(draft, "plain flour"), "x")


@pytest.mark.parametrize(("line", "name"), [("A good pinch of salt", "salt"), ("1 g fine salt", "fine salt")])
def test_a_pinch_of_salt_in_a_whole_dough_is_asked_about_until_somebody_says(line: str, name: str) -> None:
    # Published formulas have 1.2 to 2.5 % (tests/formula/published_ranges.py).
    text = f"Slipway loaf\n500 g strong flour\n300 g water\n7 g instant yeast\n{line}\nProve 1 hour. Bake 30 min.\n"
    draft = read_recipe(text)
    guess = asked(draft, name)
    assert guess in draft.open
    assert "% of the flour, usual is 2 %" in guess.why
    key = Answers.to(text, None).key(5, name)
    for said, weighs in (("9", 9.0), ("yes", grams(draft, name))):
        answered_ = read_recipe(text, said={key: read_answer(guess, said)})
        assert name not in [each.field for each in answered_.open]
        assert grams(answered_, name) == pytest.approx(weighs)


def test_salt_as_published_is_not_asked_about() -> None:
    text = "Slipway loaf\n500 g strong flour\n300 g water\n7 g instant yeast\n6 g salt\nProve 1 hour. Bake 30 min.\n"
    assert "salt" not in [guess.field for guess in read_recipe(text).guesses]
