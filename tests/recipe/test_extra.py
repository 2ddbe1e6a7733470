"""What goes on the piece beside what is in the dough: on the same line, or by a sentence of the method alone."""

from __future__ import annotations

import pytest

from proofbell.formula.read import load
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.draft import Draft
from proofbell.recipe.reading.line import read_line
from proofbell.recipe.toml_text import toml_text

LOAF = """\
Ferry loaf
Makes 2
500 g white flour
LINE
330 g water
10 g salt
7 g instant yeast

Method
MIX Prove for 1 hour. Divide in two and shape. TOP Prove for 40 minutes. Bake at 220C for 35 minutes.
"""
PLAIN = "Mix flour, water, salt and yeast and knead for 10 minutes."


def read(line: str, mix: str = "Mix and knead for 10 minutes.", top: str = "") -> Draft:
    draft = read_recipe(LOAF.replace("LINE", line).replace("MIX", mix).replace("TOP", top))
    load(toml_text(draft).encode(), "loaf")
    return draft


@pytest.mark.parametrize(
    ("line", "name", "grams"),
    [
        ("100 g rolled oats, plus a handful for the top", "rolled oats", 100),
        ("60 g sunflower seeds, plus extra for the top", "sunflower seeds", 60),
        ("45 g pumpkin seeds + a few for decorating", "pumpkin seeds", 45),
        ("50 g butter, plus melted butter for brushing", "butter", 50),
        ("40 g linseed, with a few extra for the tops", "linseed", 40),
        ("120 g raisins and a good handful to scatter", "raisins", 120),
        ("30 g honey (plus a little more to drizzle over)", "honey", 30),
        ("80 g oats & another spoonful for the crust", "oats", 80),
        ("40 g butter, plus a knob, melted, for brushing", "butter", 40),
        ("20 g caraway, plus a pinch to sprinkle", "caraway", 20),
    ],
)
def test_an_extra_for_the_top_leaves_the_amount_in_the_dough(line: str, name: str, grams: float) -> None:
    draft = read(line, top=f"Sprinkle with {name}.")
    assert {part.name: part.amount for part in draft.dough}[name] == grams
    (extra,) = draft.outside
    assert (extra.name, extra.use, extra.amount, extra.each_g) == (f"{name} for the top", "finish", None, 3.0)
    assert [guess.takes for guess in draft.open if guess.field == extra.name] == ["weight"]


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("40 g sesame seeds, plus 1 tbsp for the top", [("sesame seeds", 40, "dough"), ("sesame seeds", 1, "finish")]),
        ("300 g flour plus 2 tbsp for dusting", [("flour", 300, "dough"), ("flour", 2, "tin")]),
        ("500 g flour, plus 2 tbsp semolina for dusting", [("flour", 500, "dough"), ("semolina", 2, "tin")]),
        ("50 g sugar + 1 tbsp sugar for sprinkling", [("sugar", 50, "dough"), ("sugar", 1, "finish")]),
        ("1 egg, plus 1 beaten egg to glaze", [("egg", 1, "dough"), ("egg", 1, "finish")]),
        (
            "20 g starter, 80 g flour, 80 g water",
            [("starter", 20, "dough"), ("flour", 80, "dough"), ("water", 80, "dough")],
        ),
        ("50 g butter, 3 tbsp", [("butter", 50, "dough")]),
        ("1 egg yolk plus 1 tbsp milk to glaze", [("egg yolk", 1, "finish"), ("milk", 1, "finish")]),
    ],
)
def test_an_extra_with_an_amount_has_that(line: str, found: list[tuple[str, float, str]]) -> None:
    assert [(item.name, item.amounts[0].low, item.use) for item in read_line(line, 1)] == found


@pytest.mark.parametrize(
    ("line", "mix", "use"),
    [
        ("60 g sunflower seeds", "Mix and knead for 10 minutes.", "dough"),
        ("90 g rolled oats", "Mix everything and knead for 10 minutes.", "dough"),
        ("60 g sunflower seeds", PLAIN, "finish"),
        ("15 g sesame seeds", "Mix and knead for 10 minutes.", "finish"),
    ],
)
def test_a_sentence_alone_takes_no_large_amount_out_of_the_dough(line: str, mix: str, use: str) -> None:
    seeds = line.split(maxsplit=2)[2]
    draft = read(line, mix, f"Sprinkle with {seeds}.")
    assert [part.use for part in draft.parts if part.name == seeds] == [use]
    asked = [guess.value for guess in draft.open if guess.field == f"{seeds}, use"]
    assert asked == ([] if line.startswith("15") else ["in the dough" if use == "dough" else "on top"])


def test_what_the_baker_says_of_it_holds() -> None:
    text = (
        LOAF.replace("LINE", "60 g sunflower seeds").replace("MIX", "Mix.").replace("TOP", "Scatter sunflower seeds.")
    )
    draft = read_recipe(text, said={("60 g sunflower seeds", "sunflower seeds, use"): "on top"})
    assert [part.use for part in draft.parts if part.name == "sunflower seeds"] == ["finish"]


def test_butter_for_the_tin_is_for_greasing_and_flour_for_dusting() -> None:
    draft = read("50 g butter, plus more for the tin\n20 g rye flour, plus extra for dusting")
    assert [part.name for part in draft.outside] == ["butter for greasing", "rye flour for dusting"]


def test_an_egg_and_a_yolk_for_brushing_are_for_two_things_and_milk_with_it_is_for_one() -> None:
    assert [(item.name, item.use) for item in read_line("1 egg + 1 yolk for brushing", 1)] == [
        ("egg", "dough"), ("yolk", "finish"),
    ]  # fmt: skip
    assert {item.use for item in read_line("1 egg + 1 tbsp milk for brushing", 1)} == {"finish"}


def test_a_sachet_of_yeast_is_dry_however_little_flour_there_is() -> None:
    draft = read_recipe("Loaf\n330 g flour\n200 ml milk\n1 sachet yeast\n6 g salt\nKnead. Bake 30 min at 200C.")
    assert next(part.form for part in draft.dough if part.kind == "yeast") == "instant"
