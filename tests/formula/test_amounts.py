"""Another amount of one ingredient is what was typed, the others weigh what they did, and the batch follows."""

from __future__ import annotations

import pytest

from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.formula.editing.amounts import with_amount
from proofbell.formula.editing.figures import figures
from proofbell.formula.read import load
from proofbell.kitchen.model import Kitchen, Scale
from proofbell.quantities import QuantityError

KITCHEN = Kitchen(scale=Scale(step_g=0.1))

WEIGHTS = """\
name = "Slip buns"
[batch]
pieces = 12  # a dozen
piece = "78.25 g"
[[ingredients]]
name = "bread flour"  # the mill's
weight = "550 g"
kind = "flour"
contains = ["wheat"]
[[ingredients]]
name = "water"
weight = "370 g"
kind = "water"
[[ingredients]]
name = "salt"
weight = "11 g"
kind = "salt"
[[ingredients]]
name = "yeast"
weight = "8 g"
kind = "yeast"
form = "instant"
[[stages]]
name = "Mix"
kind = "hands"
time = "10 min"
"""
PERCENT = WEIGHTS.replace('"550 g"', "100").replace('"370 g"', "67.2727").replace('"11 g"', "2").replace(
    '"8 g"', "1.454545").replace("weight =", "percent =")  # fmt: skip
TWO = PERCENT.replace("percent = 100\n", "percent = 60\n").replace(
    '[[ingredients]]\nname = "water"',
    '[[ingredients]]\nname = "rye flour"\npercent = 40\nkind = "flour"\ncontains = ["rye"]\n'
    '[[ingredients]]\nname = "water"',
)


def typed(text: str, owner: str, value: str) -> str:
    data = text.encode()
    one = next(each for each in figures(data) if each.owner == owner and each.words in ("percent", "weight"))
    return with_amount(data, one, value, weigh_out(load(data, "x"), KITCHEN).size.flour_g).decode()


def grams(text: str) -> dict[str, float]:
    out = weigh_out(load(text.encode(), "x"), KITCHEN)
    return {line.name: out.size.flour_g * line.percent / 100 for line in out.lines}


@pytest.mark.parametrize("text", [WEIGHTS, PERCENT, TWO])
@pytest.mark.parametrize(("owner", "value"), [("bread flour", 560.0), ("water", 390.0), ("salt", 9.5)])
def test_what_is_typed_is_weighed_and_the_others_stay(text: str, owner: str, value: float) -> None:
    before = grams(text)
    changed = typed(text, owner, f"{value:g} g")
    assert grams(changed) == pytest.approx({**before, owner: value}, abs=0.06)
    size = load(changed.encode(), "x").batch
    assert size.pieces == 12
    assert size.piece_g == pytest.approx((sum(before.values()) - before[owner] + value) / 12, abs=0.01)
    assert "# a dozen" in changed
    assert "# the mill's" in changed


def test_a_percentage_that_is_typed_stands_and_the_piece_follows() -> None:
    # By hand: 939 g of dough with 550 g of flour; a percent more salt is 5.5 g, over twelve pieces 0.458 g.
    changed = typed(PERCENT, "salt", "3")
    assert "percent = 3\n" in changed
    assert 'piece = "78.71 g"' in changed
    assert grams(changed) == pytest.approx({**grams(PERCENT), "salt": 16.5}, abs=0.06)


def test_it_comes_back_as_it_was() -> None:
    assert typed(typed(WEIGHTS, "bread flour", "600 g"), "bread flour", "550 g") == WEIGHTS


@pytest.mark.parametrize(
    ("size", "follows"),
    [('dough = "939 g"', 'dough = "949 g"'), ('flour = "550 g"', 'flour = "560 g"')],
)
def test_a_batch_by_its_dough_or_its_flour_follows_too(size: str, follows: str) -> None:
    sized = PERCENT.replace('pieces = 12  # a dozen\npiece = "78.25 g"', size)
    changed = typed(sized, "bread flour", "560 g")
    assert follows in changed
    assert grams(changed) == pytest.approx({**grams(sized), "bread flour": 560}, abs=0.06)


def test_a_file_in_weights_of_another_size_than_its_batch_keeps_the_others_as_well() -> None:
    large = WEIGHTS.replace("78.25", "156.5")
    before, after = grams(large), grams(typed(large, "bread flour", "560 g"))
    assert after == pytest.approx({**before, "bread flour": 1120}, abs=0.1)


def test_what_goes_on_the_pieces_keeps_its_weight() -> None:
    glazed = PERCENT.replace(
        "[[stages]]",
        '[[ingredients]]\nname = "oil on top"\nkind = "fat"\nuse = "finish"\npercent = 4\nat = "Mix"\n[[stages]]',
    )
    out = weigh_out(load(typed(glazed, "bread flour", "600 g").encode(), "x"), KITCHEN)
    assert [line.grams for line in out.outside] == [pytest.approx(22, abs=0.1)]


def test_a_tin_takes_what_it_takes() -> None:
    tin = PERCENT.replace('pieces = 12  # a dozen\npiece = "78.25 g"', 'tin = "1800 ml"')
    assert load(typed(tin, "salt", "3").encode(), "x").batch == load(tin.encode(), "x").batch
    dough = [weigh_out(load(text.encode(), "x"), KITCHEN).dough_g for text in (tin, typed(tin, "salt", "3"))]
    assert dough[0] == pytest.approx(dough[1], abs=0.3)


def test_a_weight_of_nothing_is_refused_where_it_is_all_the_flour() -> None:
    with pytest.raises(QuantityError):
        typed(PERCENT, "bread flour", "0 g")
