"""Whatever lines stand in whatever order: a formula that is accepted, or a refusal in words."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from proofbell.errors import Failure
from proofbell.formula.read import read_formula
from proofbell.recipe.assembly import read_recipe
from proofbell.recipe.document import as_document
from proofbell.recipe.reading.mentions import mentions
from proofbell.recipe.reading.sections import take_apart
from proofbell.recipe.toml_text import toml_text

DATA = Path(__file__).parent / "data"
LINES = sorted({line for path in DATA.glob("*.txt") for line in path.read_text(encoding="utf-8").split("\n")})
ODD = st.text(st.characters(categories=("L", "N", "P", "S", "Z")), max_size=40)


def is_sound(text: str) -> None:
    try:
        draft = read_recipe(text)
    except Failure:
        return
    written = toml_text(draft)
    formula, faults = read_formula(written, "x")
    assert formula is not None, (text, [fault for fault in faults if fault.is_error], written)
    as_document(draft, written)


@settings(max_examples=150)
@given(st.lists(st.one_of(st.sampled_from(LINES), ODD), max_size=25))
def test_lines_in_any_order(lines: list[str]) -> None:
    is_sound("\n".join(["500 g strong flour", *lines]))


@settings(max_examples=100)
@given(st.lists(st.sampled_from(LINES), min_size=3, max_size=12).map(" ".join))
def test_all_in_one_paragraph(text: str) -> None:
    is_sound(f"Loaf\n500 g strong flour\n{text}")


def test_an_amount_of_nothing_is_told_as_not_read() -> None:
    is_sound("500 g strong flour\n0%")
    assert [each.text for each in read_recipe("500 g strong flour\n0%").unread] == ["0%"]


def test_a_share_of_what_is_listed_is_no_second_amount() -> None:
    found = mentions("Whisk 1 tablespoon of the sugar into 30 g of butter, then 360 g of the levain.", 1)
    assert [item.name for item in found] == ["butter", "levain"]


def test_a_name_with_a_number_of_its_own_is_never_given_twice() -> None:
    feed = "9 pm - feed: 40 g ripe starter, 180 g bread flour, 180 g water. Leave on the counter."
    is_sound(f"500 g strong flour\n{feed}\n{feed}\nPour 2 tablespoons of the oil into a tin. Let rise 2 hours.")


def test_a_preferment_outside_the_dough_is_an_ingredient_like_any_other() -> None:
    is_sound("500 g strong flour\n500 g strong flour, plus extra for dusting tide-table sourdough (two loaves)")


def test_a_line_as_long_as_a_paragraph_is_none_of_the_list() -> None:
    """Reading such a line as an ingredient takes as long as the square of its length."""
    long = "20 g nuts plus " + "verylongword" * 40
    assert [item.name for item in take_apart(f"Loaf\n500 g strong flour\n{long}\n300 g water\n").listed] == [
        "strong flour", "water",
    ]  # fmt: skip
