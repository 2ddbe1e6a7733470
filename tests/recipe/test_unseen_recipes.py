"""Five more recipes of our own, not built against, with readings worked out by hand; and odd texts."""

from __future__ import annotations

from pathlib import Path

import pytest

from proofbell.errors import Failure
from proofbell.formula.read import load, read_formula
from proofbell.recipe.assembly import MOST_LETTERS, read_recipe
from proofbell.recipe.document import as_document
from proofbell.recipe.draft import Draft
from proofbell.recipe.toml_text import toml_text

DATA = Path(__file__).parent / "data"
SMALL = """\
Quick loaf
500 g flour
320 g water
9 g salt
7 g instant yeast
Knead 10 min. Prove 1 hour. Shape. Prove 40 min.
"""


def read(name: str) -> Draft:
    draft = read_recipe((DATA / f"{name}.txt").read_text(encoding="utf-8"))
    load(toml_text(draft), name)
    return draft


def stages(draft: Draft) -> list[tuple[str, float]]:
    return [(stage.kind, stage.seconds / 60) for stage in draft.stages]


def grams(draft: Draft) -> dict[str, float | None]:
    return {part.name: part.amount and round(part.amount, 1) for part in draft.dough}


def test_knots_with_a_filling() -> None:
    draft = read("b-slipway-knots")
    assert (draft.country, draft.style, draft.pieces, draft.oven_c) == ("uk", "enriched", 10, 200.0)
    assert grams(draft) == {
        "plain flour": 450, "easy-blend yeast": 6.3, "light brown sugar": 60, "ground cardamom": 2.0, "salt": 3.0,
        "oat milk": 227.9, "butter": 75, "egg": 51,
    }  # fmt: skip
    assert draft.allergens == ("almond", "egg", "milk", "oats", "wheat")
    assert stages(draft) == [
        ("hands", 6), ("hands", 8), ("proof", 75), ("hands", 20), ("proof", 35), ("bake", 16.5), ("cool", 20),
    ]  # fmt: skip
    assert {part.name for part in draft.outside} >= {"butter for the filling", "egg to finish", "flaked almonds"}


def test_a_rye_on_a_sour() -> None:
    draft = read("b-keepers-rye")
    assert (draft.style, draft.pieces, draft.allergens) == ("rye", 2, ("rye", "wheat"))
    document = as_document(draft, toml_text(draft))
    # By hand: 300 g of rye and half of 30 g of starter in 630 g of sour, of which 600 g are used.
    assert document["totals"]["flour_g"] == pytest.approx(700 + 600 / 2, abs=0.5)
    assert document["totals"]["hydration_percent"] == pytest.approx(69.0, abs=0.1)
    assert stages(draft) == [
        ("hands", 5), ("proof", 840), ("hands", 6), ("proof", 40), ("hands", 10), ("proof", 65), ("bake", 55),
        ("cool", 1440),
    ]  # fmt: skip
    assert next(stage.core_c for stage in draft.stages if stage.kind == "bake") == 97.0


def test_percentages_and_a_fold_that_splits_the_bulk() -> None:
    draft = read("b-pilots-baguettes")
    assert draft.in_percent
    assert draft.dough_c == 24.0
    assert stages(draft) == [
        ("hands", 4), ("rest", 30), ("hands", 3), ("proof", 45), ("hands", 3), ("proof", 45), ("hands", 8),
        ("rest", 20), ("hands", 5), ("proof", 50), ("bake", 22), ("cool", 90),
    ]  # fmt: skip
    assert [phase.steam for phase in draft.stages[-2].phases] == [True]


def test_a_brioche_that_is_chilled() -> None:
    draft = read("b-brioche-buns")
    assert (draft.style, draft.pieces, draft.oven_c) == ("enriched", 8, 190.0)
    assert grams(draft)["Eggs"] == 180  # three of size L, Regulation (EC) 589/2008: 60 g without the shell
    assert stages(draft)[2:5] == [("proof", 60), ("chill", 720), ("hands", 15)]
    assert {part.name for part in draft.outside} == {"Egg yolk", "cream"}


def test_a_pan_bread_in_cups() -> None:
    draft = read("b-salt-store-pan-bread")
    assert draft.country == "us"
    assert grams(draft)["water"] == pytest.approx(1.75 * 236.588 + 2 * 14.787, abs=0.1)
    assert draft.oven_c == pytest.approx(232.2, abs=0.1)
    assert any(guess.field == "kosher salt" and guess.ask for guess in draft.guesses)
    assert ("chill", 900) in stages(draft)


def test_the_country_can_be_changed() -> None:
    text = SMALL + "2 tbsp honey\n"
    honey = {
        country: next(part.amount for part in read_recipe(text, country).dough if part.name == "honey")
        for country in ("us", "uk", "metric", "au")
    }
    assert honey["us"] == pytest.approx(42.4, abs=0.1)
    assert honey["uk"] == honey["metric"] == pytest.approx(43.0, abs=0.1)
    assert honey["au"] == pytest.approx(57.3, abs=0.1)


def test_what_cannot_be_read_is_kept_and_shown() -> None:
    draft = read_recipe(SMALL + "Sing to the tide until it answers.\nBake 35 min at 220C.\n")
    text = toml_text(draft)
    assert "Sing to the tide" in text
    lost = read_recipe("Quick loaf\nWxyz qwert\n" + SMALL.removeprefix("Quick loaf\n"))
    assert [(each.line, each.text) for each in lost.unread] == [(2, "Wxyz qwert")]
    assert "# not read, line 2: Wxyz qwert" in toml_text(lost)


def test_what_matters_and_is_not_said_is_asked() -> None:
    draft = read_recipe(
        "Loaf\n3 cups bread flour\n1 cup water\n1 tsp coarse salt\n7 g dried yeast\n2 eggs\nKnead 5 min.\n"
    )
    asked = {guess.field for guess in draft.guesses if guess.ask}
    assert asked >= {"bread flour", "coarse salt", "dried yeast, form", "eggs", "Bake"}


def test_cups_of_flour_leave_the_hydration_open() -> None:
    """3¼ cups to 298 g of liquid: 81 to 58 % by sifted (113 g) and heaped (159 g) cups; our band is narrower."""
    draft = read_recipe((DATA / "a2-pier-loaf.txt").read_text(encoding="utf-8"))
    (found,) = [guess for guess in draft.guesses if guess.field == "hydration"]
    assert (found.value, found.ask) == ("70 %", True)
    assert found.why.startswith("59 to 76 %")
    weighed = read_recipe((DATA / "a1-ferry-buns.txt").read_text(encoding="utf-8"))
    assert not [guess for guess in weighed.guesses if guess.field == "hydration"]


def test_salt_to_taste_is_a_guess_and_water_without_an_amount_is_not_read() -> None:
    draft = read_recipe("Loaf\n500 g flour\nsalt, to taste\nwater\n300 g milk\n7 g instant yeast\nKnead 5 min.\n")
    assert grams(draft)["salt"] == 10.0
    assert [each.text for each in draft.unread] == ["water: no amount"]


@pytest.mark.parametrize("text", ["", "hello", "1 tsp salt\n300 ml water", "…\n\n:::\n-\n( )"])
def test_without_flour_there_is_no_formula(text: str) -> None:
    with pytest.raises(Failure, match="No flour"):
        read_recipe(text)


def test_a_text_that_is_far_too_long_is_refused() -> None:
    with pytest.raises(Failure, match="too long"):
        read_recipe("flour " * MOST_LETTERS)


def test_hostile_text_makes_a_file_that_is_read() -> None:
    text = (
        'Loaf "\\" \x1b[31m\u202e\n500 g flour "]\\n\n300 g water # x\n'
        "9 g salt '''\n7 g instant yeast\n]]\x07\nBake \"40\" min at 220C\n"
    )
    written = toml_text(read_recipe(text))
    assert "\x1b" not in written
    formula, faults = read_formula(written, "x")
    assert formula is not None, faults


def test_each_guess_in_the_file_is_told_as_well() -> None:
    for path in sorted(DATA.glob("*-*.txt")):
        if path.stem.startswith("set"):
            continue
        draft = read_recipe(path.read_text(encoding="utf-8"))
        lengths = {guess.field for guess in draft.guesses}
        for stage in draft.stages:
            assert (f"{stage.name}, time" in lengths) == bool(stage.guess)
        assert ("Bake, core" in lengths) == ('core    = ["88 °C", "94 °C"]' in toml_text(draft))


def test_bold_letters_labels_and_fillings() -> None:
    draft = read_recipe(
        "# Knots\n**Yield:** 6 knots\n## Dough\n* 344g plain flour\n* 180ml milk\n* 2 and 1/4 teaspoons instant yeast\n"
        "## Filling\n* 12 walnut halves\n## Method\n1. **Make the dough:** Mix all. Knead 5 min.\n"
        "2. **Rise:** Leave to rise 1 hour. Shape into 6 knots. Prove 30 min.\n3. Bake 15 min at 190C.\n"
    )
    assert (draft.name, draft.pieces) == ("Knots", 6)
    assert grams(draft)["instant yeast"] == pytest.approx(7.1, abs=0.05)
    assert [stage.kind for stage in draft.stages] == ["hands", "hands", "proof", "hands", "proof", "bake", "cool"]
    assert "walnut" in draft.allergens
    assert "walnut" in toml_text(draft)


def test_what_stands_in_brackets_is_no_amount_where_there_is_one() -> None:
    draft = read_recipe(
        "Loaf\n500 g bread flour (12.5% protein)\n310 g water\n100 g starter (100% hydration)\n9 g salt\n"
    )
    assert not draft.in_percent
    assert grams(draft)["bread flour"] == 500
    assert any(guess.field == "starter" and guess.ask for guess in draft.guesses)


def test_an_ingredient_without_an_amount_still_names_its_allergens() -> None:
    draft = read_recipe("Loaf\n500 g flour\n310 g water\n9 g salt\nsesame seeds\nMix it all. Bake 40 min at 220C.\n")
    assert "sesame" in draft.allergens
    assert "sesame" in toml_text(draft)


def test_a_small_recipe_is_read_to_the_end() -> None:
    draft = read_recipe(SMALL)
    assert stages(draft) == [("hands", 6), ("hands", 10), ("proof", 60), ("hands", 5), ("proof", 40)]
    assert any(guess.field == "Bake" and guess.ask for guess in draft.guesses)


WASHED = """\
Seeded loaf
500 g strong white flour
300 g water
10 g salt
7 g sachet dried yeast
20 g sesame seeds
1 egg, for the wash
Mix and knead 10 min. Prove 1 hour. Shape into a loaf. Prove 45 min. Brush with the egg and bake at 220 °C for 35 min.
"""


@pytest.mark.parametrize("shaped", ["a loaf", "one loaf", "12 rolls"])
def test_the_egg_on_a_piece_goes_by_its_surface_and_is_told(shaped: str) -> None:
    """Of two bodies of one shape the surfaces go as the weights to two thirds: Galilei, Two New Sciences, 1638."""
    draft = read_recipe(WASHED.replace("a loaf", shaped))
    (egg,) = [part for part in draft.outside if part.kind == "egg"]
    piece_g = 837 / (draft.pieces or 0)
    assert egg.each_g == pytest.approx(3 * (piece_g / 75) ** (2 / 3), abs=0.5)
    assert [guess.value for guess in draft.guesses if guess.field == "egg"] == [f"{egg.each_g:g} g a piece"]
    load(toml_text(draft), "washed")


def test_a_glaze_without_an_amount_is_a_guess_in_its_file_and_on_the_weigh_out() -> None:
    draft = read_recipe(SMALL.replace("Knead", "1 beaten egg, to glaze\nMakes 8 rolls\nKnead"))
    formula = load(toml_text(draft), "rolls")
    (egg,) = [line for line in formula.outside if line.kind == "egg"]
    assert egg.guess
    assert [part.name for part in draft.outside] == [line.name for line in formula.outside]
