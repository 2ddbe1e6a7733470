"""The lists of the EU and the US."""

from dataclasses import replace

from proofbell.dough.allergens import EU, US, contained, eu_allergens, named_alone, us_allergens, with_unknown
from proofbell.formula.model import Formula, Ingredient
from tests.support.bakes import house


def test_there_are_fourteen_in_the_eu_and_nine_in_the_us() -> None:
    # Regulation (EU) 1169/2011, Annex II; US FDA with the FASTER Act of 2021.
    assert len(EU) == 14
    assert len(US) == 9


def test_a_rye_lupin_and_sesame_loaf_differs_between_the_two() -> None:
    contains = ["rye", "lupin", "sesame"]
    assert eu_allergens(contains) == ("cereals containing gluten (rye)", "sesame", "lupin")
    assert us_allergens(contains) == ("sesame",)
    assert us_allergens([*contains, "wheat"]) == ("wheat", "sesame")


def test_every_name_a_formula_may_use_is_in_the_eu_list() -> None:
    from proofbell.formula.ingredients import ALLERGENS

    for name in ALLERGENS:
        assert len(eu_allergens([name])) == 1
        assert eu_allergens([name])[0] in EU or "(" in eu_allergens([name])[0]


def test_only_the_eu_lists_these() -> None:
    for name in ("rye", "barley", "oats", "lupin", "mustard", "celery", "molluscs", "sulphites"):
        assert us_allergens([name]) == ()


def test_cereals_and_nuts_are_named_one_by_one() -> None:
    assert eu_allergens(["oats", "wheat"]) == ("cereals containing gluten (wheat, oats)",)
    assert eu_allergens(["hazelnut", "nuts"]) == ("nuts (hazelnut, others)",)  # nobody said that there are no more
    assert eu_allergens(["hazelnut"]) == ("nuts (hazelnut)",)
    assert eu_allergens(["nuts"]) == ("nuts",)
    assert us_allergens(["almond", "nuts", "cashew"]) == ("tree nuts (almond, cashew, others)",)
    assert us_allergens(["almond"]) == ("tree nuts (almond)",)
    assert us_allergens(["crustaceans", "soya", "peanut"]) == ("crustacean shellfish", "peanuts", "soybeans")


def test_what_neither_law_lists_is_still_told() -> None:
    assert eu_allergens(["Buckwheat", "egg"]) == ("egg", "buckwheat")
    assert us_allergens(["buckwheat"]) == ("buckwheat",)


def test_nothing_contained_is_nothing_listed() -> None:
    assert eu_allergens([]) == us_allergens([]) == ()


def test_each_cereal_and_nut_is_named_alone_in_the_order_of_the_regions_list() -> None:
    # Commission Notice 2017/C 428/01 on Annex II: the cereal's own name must stand there, "gluten" may; from memory.
    contains = ["sesame", "milk", "egg", "wheat", "nuts", "almond", "peanut", "own word"]
    assert named_alone(contains, "eu") == (
        "wheat",
        "egg",
        "peanuts",
        "milk",
        "almond",
        "other nuts",
        "sesame",
        "own word",
    )
    assert named_alone(contains, "us") == (
        "milk",
        "egg",
        "almond",
        "other nuts",
        "peanuts",
        "wheat",
        "sesame",
        "own word",
    )
    assert named_alone(["nuts"], "uk") == ("nuts",)


def made(*lines: Ingredient) -> Formula:
    return replace(house("harbour-knots"), ingredients=(*lines,), outside=())


def test_an_egg_is_in_the_list_whatever_the_file_says_of_it() -> None:
    flour = Ingredient("flour", 100, "flour", ("wheat",))
    assert contained(made(flour, Ingredient("brushing", 5, "egg", ("milk",)))) == ("wheat", "milk", "egg")
    assert contained(made(flour, Ingredient("brushing", 5, "egg", contains_none=True))) == ("wheat", "egg")


def test_a_name_tells_what_is_certain_where_the_file_says_nothing() -> None:
    lines = Ingredient("bread flour", 100, "flour"), Ingredient("sesame seeds", 3, "other")
    assert contained(made(*lines)) == ("wheat", "sesame")
    assert contained(made(replace(lines[0], contains=("rye",)), replace(lines[1], contains_none=True))) == ("rye",)


def test_of_what_nobody_has_said_the_list_says_that_it_is_not_complete() -> None:
    flour = Ingredient("flour", 100, "flour", ("wheat",))
    sauce, mayo = Ingredient("soy sauce", 3, "other"), Ingredient("mayonnaise", 3, "other", use="finish")
    formula = replace(made(flour, sauce), outside=(mayo,))
    listed = named_alone(contained(formula), "eu")
    assert with_unknown(listed, formula) == "wheat, soya; not known: soy sauce, mayonnaise"
    told = replace(formula, ingredients=(flour,), outside=(replace(mayo, contains_none=True),))
    assert with_unknown(named_alone(contained(told), "eu"), told) == "wheat"
    assert with_unknown((), made(mayo)) == "not known: mayonnaise"
    assert with_unknown((), made(Ingredient("salt", 2, "salt"))) == "none named"
