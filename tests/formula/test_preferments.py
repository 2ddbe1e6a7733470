"""Which stages make a preferment, what is in it, what raises the dough: read, refused, and found odd."""

from __future__ import annotations

import pytest

from proofbell.bake.weigh.weigh_out import weigh_out
from proofbell.dough.weights import shares
from proofbell.faults import Fault
from proofbell.formula.model import Formula, PrefermentParts
from proofbell.formula.read import load, read_formula
from proofbell.kitchen.model import Kitchen
from proofbell.places import house_formulas
from tests.support.bakes import house
from tests.support.preferments import BAKE, FIRST_PROOF, HEADLAND, MIX, OVERNIGHT, RIPEN, STIR, headland

HERE = "⌖"
FIVE = 'kind = "hands"\ntime = "5 min"\n[[stages]]\n'


def faults(text: str) -> tuple[Fault, ...]:
    return read_formula(text, "file")[1]


def read(text: str) -> Formula:
    return load(text, "file")


def test_the_flour_in_it_has_a_name_where_the_file_gives_one() -> None:
    sour = weigh_out(house("coaling-pier-rye"), Kitchen()).bowls[0]
    assert [(line.name, line.kind) for line in sour.lines] == [
        ("medium rye flour", "flour"), ("water", "water"), ("ripe starter", "preferment"),
    ]  # fmt: skip
    unnamed = house_formulas()["coaling-pier-rye"].read_text("utf-8").replace(', flour_name = "medium rye flour"', "")
    formula, _ = read_formula(unnamed, "x.toml")
    assert formula is not None
    assert weigh_out(formula, Kitchen()).bowls[0].lines[0].name == "flour"


def test_a_stage_says_which_preferment_it_makes_and_the_others_make_the_dough() -> None:
    loaf = headland()
    assert faults(HEADLAND) == ()
    made_for = [stage.made_for for stage in loaf.stages]
    assert made_for == ["ripe levain", "ripe levain", "evening poolish", "evening poolish", *[None] * 6]
    assert loaf.dough_begins == MIX


def test_stages_of_one_follow_one_another_and_the_dough_follows_on_all() -> None:
    loaf = headland()
    assert loaf.follows(MIX) == (RIPEN, OVERNIGHT)
    assert (loaf.follows(0), loaf.follows(STIR)) == ((), ())
    assert loaf.follows(OVERNIGHT) == (STIR,)
    assert (loaf.followed_by(RIPEN), loaf.followed_by(OVERNIGHT)) == (MIX, MIX)
    assert loaf.strand(FIRST_PROOF) == range(MIX, 10)


@pytest.mark.parametrize(
    ("old", "new", "message", "remedy"),
    [
        ('for  = "ripe levain"', 'for  = ⌖"ripe leven"', "not an ingredient of this file", 'mean "ripe levain"?'),
        ('for  = "ripe levain"', 'for  = ⌖"salt"', 'not of kind "preferment"', '"ripe levain", "evening poolish"'),
        ('for  = "ripe levain"', 'for  = ⌖""', "nothing in this text", "Write something"),
        ('for  = "ripe levain"', "for  = ⌖3", "A text is wanted", "quotation marks"),
        ('name = "Shape"', 'name = "Shape"\nfor = ⌖"ripe levain"', 'has begun with "Mix"', "Move this stage up"),
        ('name = "Mix"', f'name = "Feed again"\nfor = ⌖"ripe levain"\n{FIVE}name = "Mix"', "stand apart", "all stages"),
        ('name = "Bake"', 'name = "Bake"\n⌖for = "ripe levain"', '"for" goes with kind', "Take it out"),
        ("starter = 20", 'starter = ⌖"20"', "this is a text", "starter = 20"),
        ("starter = 20", "starter = 20, starter_water = ⌖-1", "not a number from 0", "0 to 1000"),
        ('raising     = "yeast"', 'raising     = ⌖"levain"', "not what raises a dough", 'Did you mean "sourdough"?'),
    ],
)
def test_what_does_not_go_together_is_refused_where_it_stands(old: str, new: str, message: str, remedy: str) -> None:
    assert HEADLAND.count(old) == 1
    marked = HEADLAND.replace(old, new)
    before = marked[: marked.index(HERE)]
    line, column = before.count("\n") + 1, len(before) - before.rindex("\n")
    (fault,) = faults(marked.replace(HERE, ""))
    assert (fault.is_error, fault.line, fault.column) == (True, line, column)
    assert message in fault.message
    assert remedy in fault.remedy


def test_a_file_in_which_every_stage_is_for_a_preferment_makes_no_dough() -> None:
    text = HEADLAND[: HEADLAND.index('[[stages]]\nname = "Mix"')]
    (fault,) = faults(text)
    assert "No stage makes the dough" in fault.message


def test_without_for_check_asks_for_it_and_the_stages_stay_one_chain() -> None:
    text = "\n".join(line for line in HEADLAND.split("\n") if not line.startswith("for "))
    (odd,) = faults(text)
    assert not odd.is_error
    assert "cannot be told" in odd.message
    assert 'for = "ripe levain"' in odd.remedy
    chain = read(text)
    assert chain.dough_begins is None
    assert [chain.follows(index) for index in range(1, 10)] == [(index - 1,) for index in range(1, 10)]


def test_a_starter_counts_in_the_flour_and_the_water() -> None:
    """By hand: 22 % of 100 + 100 + 20 parts; of the starter's 20 half is flour. So 11 % flour and 11 % water."""
    levain = headland().ingredients[2]
    assert levain.flour_and_water_percent == pytest.approx((11.0, 11.0))
    stiff = PrefermentParts(100, 80, starter=18, starter_water=80)
    assert (stiff.total, stiff.all_flour, stiff.all_water) == pytest.approx((198, 110, 88))
    found = shares(headland().ingredients)
    assert found.prefermented == pytest.approx(11 + 19, abs=0.01)
    assert found.hydration == pytest.approx(38 + 11 + 19, abs=0.01)
    assert found.water == pytest.approx(38 + 11 + 19, abs=0.01)


@pytest.mark.parametrize(
    ("raising", "leavens", "by"),
    [
        ("", "levain", "sourdough"),
        ("", "both", "yeast"),
        ("sourdough", "both", "sourdough"),
        ("yeast", "both", "yeast"),
        ("", "yeast", "yeast"),
        ("", "none", "yeast"),
    ],
)
def test_the_dough_goes_by_the_rate_that_the_file_names_or_by_what_is_in_it(
    raising: str, leavens: str, by: str
) -> None:
    assert read(raised(raising, leavens)).raised_by == by


def raised(raising: str, leavens: str) -> str:
    """A one-stage dough with a levain, yeast, both or neither."""
    levain = '[[ingredients]]\nname = "levain"\npercent = 20\nkind = "preferment"\n' * (leavens in ("levain", "both"))
    levain += "made_of = { flour = 50, water = 50, starter = 10 }\n" * bool(levain)
    yeast = '[[ingredients]]\nname = "yeast"\npercent = 0.5\nkind = "yeast"\n' * (leavens in ("yeast", "both"))
    named = f'raising = "{raising}"\n' * bool(raising)
    feed = '[[stages]]\nname = "Feed"\nfor = "levain"\nkind = "hands"\ntime = "5 min"\n' * bool(levain)
    return f"""
name = "Loaf"
[batch]
dough = "1 kg"
[dough]
temperature = "25 °C"
{named}
[[ingredients]]
name = "flour"
percent = {90 if levain else 100}
kind = "flour"
[[ingredients]]
name = "water"
percent = 60
kind = "water"
[[ingredients]]
name = "salt"
percent = 2
kind = "salt"
{levain}{yeast}{feed}
[[stages]]
name = "Proof"
kind = "proof"
time = "2 h"
"""


@pytest.mark.parametrize(
    ("raising", "leavens", "says"),
    [
        ("sourdough", "yeast", "no levain in it"),
        ("sourdough", "none", "no levain in it"),
        ("yeast", "levain", "only a levain in it"),
        ("", "both", "go by the rate of yeast"),
        ("sourdough", "both", None),
        ("yeast", "both", None),
        ("sourdough", "levain", None),
        ("", "levain", None),
        ("", "yeast", None),
    ],
)
def test_what_raises_the_dough_is_odd_where_it_is_not_in_it_or_not_one_thing(
    raising: str, leavens: str, says: str | None
) -> None:
    found = [fault.message for fault in faults(raised(raising, leavens)) if "raise" in fault.message]
    assert len(found) == (says is not None)
    assert says is None or says in found[0]


def test_a_milk_dough_stands_from_where_it_is_made_and_not_from_its_preferment_on() -> None:
    milk = HEADLAND.replace('kind    = "water"\nheat', 'kind    = "milk"\nheat')
    assert not any(f"stage {OVERNIGHT + 1}" in fault.field for fault in faults(milk))
    assert read(milk).stages[BAKE].made_for is None
