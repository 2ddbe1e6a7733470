"""Core bands, bake loss and dough for a wanted loaf."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from proofbell.dough.done import CoreBand, bake_loss_percent, core_band, dough_for_loaf_g
from proofbell.formula.model import Style


# Bocevska, Dimeski and Aldabas, Kemija u industriji: dough = 45.654 + 1.0624 × loaf, checked by its authors at 600 g.
@pytest.mark.parametrize(("loaf_g", "dough_g"), [(600, 683.1), (700, 789.3), (800, 895.6)])
def test_the_dough_for_a_cooled_loaf_is_as_published(loaf_g: float, dough_g: float) -> None:
    assert dough_for_loaf_g(loaf_g) == pytest.approx(dough_g, abs=0.1)


def test_outside_the_fitted_range_the_loss_of_its_end_holds() -> None:
    low_g = (650 - 45.654) / 1.0624
    assert dough_for_loaf_g(100) == pytest.approx(100 * 650 / low_g)
    assert dough_for_loaf_g(2000) == pytest.approx(2000 * 1000 / ((1000 - 45.654) / 1.0624))
    # Gisslen, Professional Baking: 10 to 13 % of the dough is lost.
    assert 10 <= bake_loss_percent(dough_for_loaf_g(100), 100) <= 13
    assert 10 <= bake_loss_percent(dough_for_loaf_g(2000), 2000) <= 13


@given(st.floats(100, 5000), st.floats(0, 40))
def test_a_loss_of_ones_own_comes_out_again(loaf_g: float, loss: float) -> None:
    assert bake_loss_percent(dough_for_loaf_g(loaf_g, loss), loaf_g) == pytest.approx(loss, abs=1e-6)


def test_weights_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="no dough"):
        bake_loss_percent(0, 0)
    with pytest.raises(ValueError, match="more than its dough"):
        bake_loss_percent(500, 501)
    with pytest.raises(ValueError, match="more than its dough"):
        bake_loss_percent(500, -1)
    with pytest.raises(ValueError, match="more than nothing"):
        dough_for_loaf_g(0)
    with pytest.raises(ValueError, match="under 100"):
        dough_for_loaf_g(500, 100)
    with pytest.raises(ValueError, match="under 100"):
        dough_for_loaf_g(500, -0.1)
    assert bake_loss_percent(500, 0) == 100
    assert bake_loss_percent(500, 500) == 0


# A. Cohn, bread-bakers list, 2008: lean 200 to 208 °F, enriched 185 to 195 °F; the list in 2000: 190 °F at least.
@pytest.mark.parametrize(("style", "low_f", "high_f"), [("lean", 200, 208), ("enriched", 185, 195)])
def test_core_bands_are_as_published(style: Style, low_f: float, high_f: float) -> None:
    band = of_style(style)
    assert band.low_c == pytest.approx((low_f - 32) / 1.8, abs=0.5)
    assert band.high_c == pytest.approx((high_f - 32) / 1.8, abs=0.5)


def of_style(style: Style, boiling_c: float = 100.0) -> CoreBand:
    """The band of a style that has one."""
    band = core_band(style, boiling_c=boiling_c)
    assert band is not None
    return band


def test_rye_is_baked_hotter_and_a_dough_of_no_style_has_no_band() -> None:
    assert of_style("rye").low_c == 95
    assert core_band("other") is None


def test_at_altitude_no_crumb_is_asked_to_be_hotter_than_boiling_water() -> None:
    # ISO 2533 and IAPWS-IF97: water boils at 93.3 °C at 2000 m.
    high = of_style("lean", boiling_c=93.3)
    assert high.high_c == pytest.approx(92.3)
    assert high.low_c == pytest.approx(90.3)
    assert core_band("enriched", boiling_c=93.3) == core_band("enriched")


def test_a_band_says_where_it_comes_from() -> None:
    assert "Cohn" in of_style("lean", boiling_c=93).source


def test_a_roll_of_a_gram_is_still_a_roll() -> None:
    assert bake_loss_percent(1.0, 0.9) == pytest.approx(10)
    assert dough_for_loaf_g(0.9, 10) == pytest.approx(1.0)
