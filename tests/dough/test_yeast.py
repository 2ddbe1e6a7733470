"""Yeast forms swapped with a stated ratio."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.dough.yeast import dose_times, swap, with_form
from proofbell.formula.model import Ingredient, PrefermentParts, YeastForm

forms: st.SearchStrategy[YeastForm] = st.sampled_from(["fresh", "active dry", "instant"])


def test_40_g_of_fresh_yeast_are_14_g_of_instant() -> None:
    # Gisslen, Professional Cooking; a bread textbook has 13.2 g (a third), so 13 to 14 is what sources say.
    found = swap("fresh", "instant")
    assert 40 * found.ratio == pytest.approx(14)
    assert 40 * found.low == pytest.approx(13.2)
    assert 40 * found.high == pytest.approx(14)


def test_fresh_yeast_is_twice_the_active_dry() -> None:
    # Gisslen: half; a bread textbook: 0.4.
    found = swap("fresh", "active dry")
    assert (found.ratio, found.low, found.high) == (0.5, 0.4, 0.5)


def test_the_dry_matter_of_the_forms_supports_a_third() -> None:
    # USDA Standard Reference: compressed yeast holds 69.00 % of water, active dry 5.08 %.
    assert pytest.approx(swap("fresh", "instant").low, abs=0.01) == (100 - 69.00) / (100 - 5.08)


@given(forms, forms)
def test_swapping_back_gives_the_same_weight(have: YeastForm, want: YeastForm) -> None:
    there, back = swap(have, want), swap(want, have)
    assert there.ratio * back.ratio == pytest.approx(1)
    assert there.low <= there.ratio <= there.high
    assert there.low * back.high == pytest.approx(1)


def test_the_line_changes_its_percentage_form_and_name() -> None:
    fresh = Ingredient("fresh yeast", 4.0, "yeast", form="fresh", water_percent=70.0)
    instant = with_form(fresh, "instant")
    assert instant == Ingredient("instant yeast", instant.percent, "yeast", form="instant")
    assert instant.percent == pytest.approx(1.4)
    assert with_form(fresh, "fresh") == fresh
    assert with_form(Ingredient("yeast", 4.0, "yeast"), "active dry").name == "yeast (active dry)"
    assert with_form(Ingredient("yeast", 4.0, "yeast"), "active dry").percent == pytest.approx(2.0)
    dry = Ingredient("quick active dry yeast", 1.0, "yeast", form="active dry")
    assert with_form(dry, "fresh").name == "quick fresh yeast"
    assert with_form(dry, "fresh").percent == pytest.approx(2.0)


def test_a_loose_name_is_put_right_too() -> None:
    loose = Ingredient("dry yeast", 1.0, "yeast", form="active dry")
    assert with_form(loose, "fresh").name == "fresh yeast"
    assert (
        with_form(Ingredient("instant sachet", 1.0, "yeast", form="instant"), "active dry").name == "active dry sachet"
    )
    assert with_form(Ingredient("fresh yeast", 1.0, "yeast"), "instant").name == "instant yeast"
    wrong = Ingredient("instant yeast", 1.0, "yeast", form="active dry")
    assert with_form(wrong, "fresh").name == "fresh yeast"


def test_the_same_form_is_no_swap() -> None:
    assert swap("active dry", "active dry").low == swap("active dry", "active dry").high == 1


# Names as packets carry them; the last two columns are what a baker should read after the swap.
@pytest.mark.parametrize(
    ("name", "form", "as_fresh", "as_active_dry"),
    [
        ("instant dry yeast", "instant", "fresh yeast", "active dry yeast"),
        ("Instant yeast", "instant", "fresh yeast", "active dry yeast"),
        ("active dry yeast", "instant", "fresh yeast", "active dry yeast"),
        ("yeast (instant)", "instant", "yeast (fresh)", "yeast (active dry)"),
        ("refreshed yeast", "instant", "refreshed yeast (fresh)", "refreshed yeast (active dry)"),
    ],
)
def test_no_name_tells_two_forms_after_a_swap(name: str, form: YeastForm, as_fresh: str, as_active_dry: str) -> None:
    have = Ingredient(name, 1.0, "yeast", form=form)
    assert with_form(have, "fresh").name == as_fresh
    assert with_form(have, "active dry").name == as_active_dry


def test_a_line_without_a_form_is_fresh_and_says_the_new_one() -> None:
    assert with_form(Ingredient("Fresh baker's yeast", 2.0, "yeast"), "active dry").name == "active dry baker's yeast"
    assert with_form(Ingredient("Fresh baker's yeast", 2.0, "yeast"), "active dry").percent == pytest.approx(1.0)


def test_a_preferments_yeast_is_swapped_by_its_own_form_and_its_flour_stays() -> None:
    parts = PrefermentParts(100, 100, 0.1, form="instant")
    poolish = Ingredient("poolish", 50.025, "preferment", made_of=parts)
    fresh = with_form(poolish, "fresh")
    assert fresh.made_of is not None
    # Gisslen: 14 g of instant do the work of 40 g of fresh.
    assert fresh.made_of.form == "fresh"
    assert fresh.made_of.yeast == pytest.approx(0.1 * 40 / 14)
    assert fresh.flour_and_water_percent == pytest.approx(poolish.flour_and_water_percent)
    untold = Ingredient("poolish", 50, "preferment", made_of=PrefermentParts(100, 100, 0.1))
    assert with_form(untold, "fresh") == untold
    flour = Ingredient("flour", 100, "flour")
    assert with_form(flour, "fresh") == flour


# habe-ich-selbstgemacht.de: 1 g of fresh yeast in some 600 g of flour at about 22 °C 24 h, 2 g 12 h, 5 g 4 h.
# back-cafe-wedel.de: 2 % 2 h. A baking book: 0.10 % instant 12 to 16 h.
DOSES = [(100 / 600, 24.0), (200 / 600, 12.0), (500 / 600, 4.0), (2.0, 2.0), (0.1 / 0.35, 14.0)]


@pytest.mark.parametrize("told", DOSES)
def test_published_doses_and_hours_lie_about_the_line(told: tuple[float, float]) -> None:
    old = Ingredient("fresh yeast", 200 / 600, "yeast", form="fresh")
    # The least of the doses is told as 0.17 %.
    times = dose_times(old, Ingredient("fresh yeast", max(told[0], 0.17), "yeast", form="fresh"))
    assert times is not None
    assert times[1] <= told[1] / 12.0 <= times[2]


def test_a_dose_goes_by_what_it_is_as_fresh_yeast_and_only_where_it_is_known() -> None:
    def yeast(percent: float, form: YeastForm) -> Ingredient:
        return Ingredient("yeast", percent, "yeast", form=form)

    # Gisslen: 14 g of instant for 40 g of fresh.
    assert dose_times(yeast(1.0, "fresh"), yeast(0.175, "instant")) == pytest.approx((2.0, 1.6, 2.5))
    assert dose_times(yeast(1.0, "fresh"), yeast(0.16, "fresh")) is None
    assert dose_times(yeast(2.1, "fresh"), yeast(1.0, "fresh")) is None
