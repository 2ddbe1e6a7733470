"""What a file says of allergens beside what the kind or the name of an ingredient makes certain."""

from __future__ import annotations

import pytest

from proofbell.formula.foods.composition import CERTAIN, MIXTURES, composition
from proofbell.formula.foods.contains import contained_in, is_unknown
from proofbell.formula.ingredients import ALLERGENS
from proofbell.formula.model import Ingredient, IngredientKind
from proofbell.formula.read import read_formula

FILE = """\
name = "Galley loaf"
[batch]
pieces = 2
piece = "500 g"
[dough]
temperature = "25 °C"
[[ingredients]]
name = "bread flour"
percent = 100
kind = "flour"
{flour}
[[ingredients]]
name = "water"
percent = 65
kind = "water"
heat = true
[[ingredients]]
name = "salt"
percent = 2
kind = "salt"
[[ingredients]]
name = "yeast"
percent = 1
kind = "yeast"
form = "instant"
{more}
[[stages]]
name = "Mix"
kind = "hands"
time = "10 min"
"""
WHEAT = 'contains = ["wheat"]'


def warned(flour: str = WHEAT, more: str = "") -> list[tuple[int, str, str]]:
    text = FILE.format(flour=flour, more=more)
    formula, faults = read_formula(text.encode(), "galley.toml")
    assert formula is not None
    lines = text.split("\n")
    return [(fault.line, lines[fault.line - 1], f"{fault.message} {fault.remedy}") for fault in faults]


def line(name: str, kind: str, contains: str = "") -> str:
    return f'[[ingredients]]\nname = "{name}"\npercent = 5\nkind = "{kind}"\n{contains}'


def test_all_that_is_told_is_no_warning() -> None:
    assert warned() == []
    assert warned(more=line("egg", "egg", 'contains = ["egg"]')) == []


@pytest.mark.parametrize(
    ("name", "kind", "allergen"),
    [
        ("egg", "egg", "egg"), ("brushing", "egg", "egg"), ("sesame seeds", "other", "sesame"),
        ("butter", "fat", "milk"),
        ("walnuts, chopped", "other", "walnut"), ("oat milk", "milk", "oats"), ("tahini", "fat", "sesame"),
        ("milk powder", "dry milk", "milk"), ("anchovies", "other", "fish"), ("celeriac", "other", "celery"),
        ("malt extract", "sugar", "barley"),
    ],
)  # fmt: skip
def test_what_is_certain_and_not_told_is_warned_about_at_its_line(name: str, kind: str, allergen: str) -> None:
    # Regulation (EU) 1169/2011, Annex II: each is an allergen by itself or a product of one.
    ((_, at, told),) = warned(more=line(name, kind))
    assert at == f'name = "{name}"'
    assert f'contains = ["{allergen}"]' in told
    ((_, at, told),) = warned(more=line(name, kind, "contains = []"))
    assert at == "contains = []"
    assert f'contains = ["{allergen}"]' in told


def test_flour_is_asked_for_its_grain_by_its_name_or_by_its_kind() -> None:
    ((_, at, told),) = warned("")
    assert (at, 'contains = ["wheat"]' in told) == ('name = "bread flour"', True)
    ((_, at, told),) = warned("contains = []")
    assert at == "contains = []"
    own = FILE.replace("bread flour", "house flour").format(flour="", more="")
    _, faults = read_formula(own.encode(), "own.toml")
    assert [fault.line for fault in faults] == [8]
    rice = FILE.replace("bread flour", "house flour").format(flour="contains = []", more="")
    assert read_formula(rice.encode(), "rice.toml")[1] == ()


def test_what_is_told_already_stays_in_what_is_to_be_written() -> None:
    ((_, at, told),) = warned(more=line("egg and milk", "egg", 'contains = ["milk"]'))
    assert at == 'contains = ["milk"]'
    assert 'contains = ["milk", "egg"]' in told


def test_a_nut_by_its_name_and_nuts_tell_of_each_other() -> None:
    assert warned(more=line("walnuts", "other", 'contains = ["nuts"]')) == []
    assert warned(more=line("mixed nuts", "other", 'contains = ["almond", "cashew"]')) == []


@pytest.mark.parametrize("name", ["mayonnaise", "margarine", "mixed seeds", "pesto", "seaweed", "vegan butter"])
def test_a_mixture_is_warned_about_until_its_file_says_what_is_in_it(name: str) -> None:
    ((_, at, told),) = warned(more=line(name, "other"))
    assert at == f'name = "{name}"'
    assert "packet" in told
    assert "contains = []" in told
    assert "usually" in told or name in ("seaweed", "vegan butter")
    assert warned(more=line(name, "other", "contains = []")) == []
    assert warned(more=line(name, "other", 'contains = ["celery"]')) == []


def test_what_is_certain_in_a_mixture_stands_in_what_is_to_be_written() -> None:
    ((_, _, told),) = warned(more=line("soy sauce", "other"))
    assert 'contains = ["soya", …]' in told
    assert "contains = []" not in told


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("olive oil", "fat"), ("ground cardamom", "other"), ("poppy seeds", "other"), ("oil for the tins", "fat"),
        ("rice flour", "flour"), ("buckwheat flour", "other"), ("cream of tartar", "other"), ("well water", "water"),
        ("cocoa butter", "fat"), ("raw sugar", "sugar"), ("oyster mushrooms", "other"),
    ],
)  # fmt: skip
def test_plain_foods_are_known_to_hold_none(name: str, kind: IngredientKind) -> None:
    found = Ingredient(name, 5, kind)
    assert (contained_in(found), is_unknown(found)) == ((), False)


def test_a_name_that_denies_something_says_that_its_packet_must_be_read() -> None:
    for name in ("vegan cheese", "egg-free mayonnaise", "gluten-free bread flour", "dairy-free milk"):
        assert composition(name).certain == ()
        assert is_unknown(Ingredient(name, 5, "other"))
    assert composition("lactose-free milk").certain == ("milk",)
    assert composition("gluten-free oats").certain == ("oats",)


def test_the_longest_row_holds_and_takes_its_words() -> None:
    assert composition("peanut butter").certain == ("peanut",)
    assert composition("almond milk").certain == ("almond",)
    assert composition("coconut milk").certain == ()
    assert composition("wholemeal rye flour").certain == ("rye",)
    assert composition("wholemeal flour").certain == ("wheat",)
    soy = composition("soy sauce")
    assert (soy.certain, soy.mixture, "wheat" in soy.usual) == (("soya",), True, True)


def test_every_allergen_of_the_table_is_one_that_a_file_may_name() -> None:
    told = {*CERTAIN, *(each for _, usual in MIXTURES for each in usual)}
    assert told <= set(ALLERGENS)
    for allergen, names in CERTAIN.items():
        for name in names:
            assert allergen in composition(name).certain


def test_a_preferment_goes_by_the_name_of_its_flour() -> None:
    made_of = 'made_of = { flour = 50, water = 50, starter = 10, flour_name = "rye flour" }'
    text = FILE.replace("percent = 100", "percent = 97.5").format(flour=WHEAT, more=line("sour", "preferment", made_of))
    formula, faults = read_formula(text.encode(), "x")
    assert formula is not None, faults
    assert [fault.remedy[:24] for fault in faults if "holds rye" in fault.message] == ['Write contains = ["rye"]']
